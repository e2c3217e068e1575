package seal

import (
	"math"
	"slices"
)

// Factor is one line of a why-list: this cover gets wet Times as fast as the
// average cover of the fleet because of it, 90 % interval Lo..Hi.
type Factor struct {
	Name          string // drive, seal, method, cold, dual, age, openings, prev_wet, kind, group, building
	Word          string // the word behind it where there is one: poor, tape, valve
	Times, Lo, Hi float64
	Learned       bool // the openings have at least halved the expert's variance
}

// FleetMean is the mean design vector of covers, to measure Factors against.
func (f Fit) FleetMean(covers []Covariates) []float64 {
	d := newDesign(f.Names)
	m := make([]float64, len(f.Names))
	for i := range covers {
		d.each(&covers[i], func(j int, x float64) { m[j] += x })
	}
	for j := range m {
		m[j] /= float64(max(1, len(covers)))
	}
	return m
}

// Factors tells why a cover is wetter or drier than the fleet's mean, the
// strongest factor first. The columns of one word (seal, method, kind) make one
// factor. fleetMean comes from FleetMean; nil compares with the reference cover.
func (f Fit) Factors(c Covariates, fleetMean []float64) []Factor {
	x := newDesign(f.Names).vector(c)
	away := map[string][]float64{} // factor -> distance from the mean, by column
	var order []string
	for j, name := range f.Names {
		factor := factorOf(name)
		if fleetMean != nil {
			x[j] -= fleetMean[j]
		}
		if x[j] == 0 || factor == colIntercept {
			continue
		}
		if away[factor] == nil {
			away[factor] = make([]float64, len(f.Theta))
			order = append(order, factor)
		}
		away[factor][j] = x[j]
	}
	factors := make([]Factor, 0, len(order)+1)
	for _, name := range order {
		factors = append(factors, f.factor(name, c, away[name]))
	}
	if c.Building != "" {
		factors = append(factors, f.buildingFactor(c.Building))
	}
	slices.SortStableFunc(factors, func(a, b Factor) int {
		return compareDown(math.Abs(math.Log(a.Times)), math.Abs(math.Log(b.Times)))
	})
	return factors
}

func compareDown(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

// factor weighs the columns of one factor by their distance from the mean.
func (f Fit) factor(name string, c Covariates, away []float64) Factor {
	m, before := 0.0, 0.0
	for j, dx := range away {
		if dx == 0 {
			continue
		}
		m += dx * f.Theta[j]
		before += dx * dx * f.priorVariance(j)
	}
	after := quadratic(f.Cov, away, away)
	word := map[string]string{"seal": string(c.Seal), "method": string(c.Method), "kind": string(c.Kind), "group": c.Group}[name]
	return newFactor(name, word, m, after, before)
}

// priorVariance is +Inf for a fit without a prior: all of it is learned.
func (f Fit) priorVariance(j int) float64 {
	if len(f.Prior.Columns) == 0 {
		return math.Inf(1)
	}
	sd := f.Prior.Columns[j].SD
	return sd * sd
}

// buildingFactor compares a building with the middle one.
func (f Fit) buildingFactor(building string) Factor {
	spread := f.SigmaB * f.SigmaB
	e, known := f.Buildings[building]
	if !known {
		return newFactor("building", building, 0, spread, spread)
	}
	return newFactor("building", building, e.B, e.SD*e.SD, spread)
}

// newFactor reads a log factor m with variance after, before that before.
func newFactor(name, word string, m, after, before float64) Factor {
	sd := math.Sqrt(after)
	return Factor{
		Name: name, Word: word, Times: math.Exp(m), Lo: math.Exp(m - z90*sd), Hi: math.Exp(m + z90*sd),
		Learned: 1-after/before >= 0.5,
	}
}

// Coefficient is one column of the fit: per unit of its coding a cover gets
// wet Times as fast, 90 % interval Lo..Hi.
type Coefficient struct {
	Name          string
	Mean, SD      float64 // log scale
	Times, Lo, Hi float64
	Learned       bool
}

// Coefficients lists every column of the fit in order.
func (f Fit) Coefficients() []Coefficient {
	out := make([]Coefficient, len(f.Names))
	for j, name := range f.Names {
		sd := f.SD(j)
		g := newFactor(name, "", f.Theta[j], sd*sd, f.priorVariance(j))
		out[j] = Coefficient{name, f.Theta[j], sd, g.Times, g.Lo, g.Hi, g.Learned}
	}
	return out
}
