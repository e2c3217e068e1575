package seal

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
)

// A simulated fleet whose truth is not the model. Water gets in at a breach of
// the seal, Weibull with k = 1.5, and shows after a lognormal lag that is
// shorter the stronger the drive. Drive above twice the reference does no more
// harm, a poor seal harms a mechanical closure most, every cover has a frailty
// (sd 0.6) that no record shows and every building an effect (sd 0.5). 3 in 100
// wet ones are missed, 1 in 100 dry ones is called wet. An opening leaves the
// seal sound, repaired or poor with 80, 13, 7 in 100. All numbers are invented.
const (
	breachShape  = 1.5
	lagMedian    = 0.2 // years at the reference drive
	lagSpread    = 0.6 // log scale
	frailtySD    = 0.6
	simSpread    = 0.5
	missedWet    = 0.03
	falseWet     = 0.01
	simYears     = 8.0
	roundsAYear  = 4
	countedFrom  = 2.0 // the first two years are for learning and are not counted
	startedUntil = 4.0 // at the start covers have been closed for up to so many years
)

// simLaw are the true coefficients of the log hazard of a breach.
type simLaw map[string]float64

// expertRight is a fleet much like the default prior says, but drier.
var expertRight = simLaw{colIntercept: -3.2, colDrive: 0.8, "seal_repaired": 0.4, "seal_poor": 1.3, "method_sealant": -0.3,
	"method_tape_sealant": -0.5, "method_mechanical": 0.7, colCold: 0.15, colDual: 0.4, colAge: 0.2, colOpenings: 0.1, colPrevWet: 0.3,
	"kind_strainer": 0.1, "kind_pump": 0.3, "kind_flex": 0.3}

// expertWrong is a fleet in which most of what the prior says is not so.
var expertWrong = simLaw{colIntercept: -2.7, colDrive: 0.1, "seal_repaired": 0.1, "seal_poor": 0.5, "method_tape": 0.3,
	"method_sealant": 0.3, "method_tape_sealant": 0.6, "method_mechanical": -0.6, colCold: -0.1, colDual: -0.4, colAge: -0.2, colOpenings: 0.1,
	colPrevWet: 0.3, "kind_valve": 0.3, "kind_flange": 0.6, "kind_pump": -0.4, "kind_flex": -0.4}

const poorMechanical = 0.8

// simCover is one cover between a closing and the next opening.
type simCover struct {
	record   Covariates // as known
	seal     State      // as it is
	own      float64    // frailty and building
	closed   float64    // years from the start; below 0 before it
	closings uint64
	wetFrom  float64 // years from the start
	age0     float64 // of the cover at the start, years
}

// simFleet is one fleet under one policy.
type simFleet struct {
	law      simLaw
	design   design
	names    []string
	seed     uint64
	covers   []simCover
	episodes []Episode
	fit      Fit // of the learning policies

	opened, wet int     // openings counted, and found wet
	unseen      float64 // cover-years wet, counted
}

// newSimFleet makes the covers. No history: closing days are known, seals and
// findings are not.
func newSimFleet(law simLaw, covers, buildings int, seed uint64) *simFleet {
	r := rand.New(rand.NewPCG(seed, 0))
	names := Default().names()
	s := &simFleet{law: law, names: names, design: newDesign(names), seed: seed, covers: make([]simCover, covers), fit: Expert(Default())}
	effect := make([]float64, buildings)
	for g := range effect {
		effect[g] = simSpread * r.NormFloat64()
	}
	for i := range s.covers {
		g := r.IntN(buildings)
		c := &s.covers[i]
		c.age0 = 25 * r.Float64()
		c.own = effect[g] + frailtySD*r.NormFloat64()
		c.record = Covariates{Building: strconv.Itoa(g), Drive: ptr(math.Exp(0.5 * r.NormFloat64())), ServiceC: ptr(4 + 10*r.Float64()), Dual: r.IntN(5) == 0,
			Method: weighed(r, []Method{Tape, Sealant, TapeAndSealant, Mechanical}, 0.4, 0.2, 0.25, 0.15),
			Kind:   weighed(r, []Kind{Valve, Strainer, Flange, Pump, Flex, Fitting}, 0.35, 0.15, 0.2, 0.12, 0.08, 0.1)}
		s.close(i, -startedUntil*r.Float64())
		c.record.Seal = Unknown
	}
	return s
}

// weighed draws one of words with the given chances.
func weighed[T any](r *rand.Rand, words []T, chance ...float64) T {
	x := r.Float64()
	for i, c := range chance {
		if x -= c; x < 0 {
			return words[i]
		}
	}
	return words[len(words)-1]
}

// luck is the chance of one closing of one cover: the same under every policy,
// so that policies are compared on the same fleets.
func (s *simFleet) luck(cover int) *rand.Rand {
	return rand.New(rand.NewPCG(s.seed, uint64(cover+1)<<20+s.covers[cover].closings))
}

// close starts the next wet-or-dry clock of a cover.
func (s *simFleet) close(i int, now float64) {
	c := &s.covers[i]
	r := s.luck(i)
	c.seal = weighed(r, []State{Sound, Repaired, Poor}, 0.8, 0.13, 0.07)
	c.record.Seal, c.closed = c.seal, now
	c.record.AgeYears = ptr(math.Max(0, c.age0+now))
	breach := math.Exp((math.Log(r.ExpFloat64()) - s.eta(c, c.seal, c.record.Openings)) / breachShape)
	c.wetFrom = now + breach + c.lag(r.NormFloat64())
	c.closings++
}

// eta is the true log hazard of a breach within a year.
func (s *simFleet) eta(c *simCover, seal State, openings int) float64 {
	x := c.record
	x.Seal, x.Openings, x.Drive = seal, openings, ptr(math.Min(2, *x.Drive))
	eta := c.own
	s.design.each(&x, func(j int, v float64) { eta += v * s.law[s.names[j]] })
	if seal == Poor && x.Method == Mechanical {
		eta += poorMechanical
	}
	return eta
}

// lag is the time from breach to water, z standard deviations from its median.
func (c *simCover) lag(z float64) float64 {
	return lagMedian * math.Exp(lagSpread*z) / math.Min(2, *c.record.Drive)
}

// open looks under a cover, writes down what is seen and closes it again.
func (s *simFleet) open(i int, now float64) {
	c := &s.covers[i]
	r := rand.New(rand.NewPCG(^s.seed, uint64(i+1)<<20+c.closings))
	wet := c.wetFrom <= now
	found := wet
	if slip := r.Float64(); wet && slip < missedWet || !wet && slip < falseWet {
		found = !wet
	}
	s.count(c, now)
	e := Episode{Covariates: c.record, Dry: now - c.closed, Wet: math.Inf(1)}
	if found {
		e.Dry, e.Wet = 0, now-c.closed
	}
	s.episodes = append(s.episodes, e)
	if now > countedFrom {
		s.opened++
		s.wet += int(oneIf(found))
	}
	c.record.Openings++
	c.record.PrevWet = found
	s.close(i, now)
}

// count adds the time a cover was wet and nobody knew.
func (s *simFleet) count(c *simCover, until float64) {
	s.unseen += math.Max(0, until-math.Max(c.wetFrom, countedFrom))
}

// run lives through the years: each round the covers with the highest rank are
// opened, so many of 100 a year.
func (s *simFleet) run(rate float64, rank ranking) error {
	n := int(math.Round(rate * float64(len(s.covers)) / roundsAYear))
	order := make([]int, len(s.covers))
	for q := 1; q < simYears*roundsAYear; q++ {
		now := float64(q) / roundsAYear
		ranks, err := rank(s, now)
		if err != nil {
			return err
		}
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return compareDown(ranks[a], ranks[b]) })
		for _, i := range order[:n] {
			s.open(i, now)
		}
	}
	for i := range s.covers {
		s.count(&s.covers[i], simYears)
	}
	return nil
}
