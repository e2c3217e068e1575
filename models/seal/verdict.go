package seal

import (
	"math"
	"slices"
)

// Verdict says in a word whether the predictions may be trusted here.
type Verdict string

// The verdicts.
const (
	TooFew Verdict = "too_few" // rank by what is learned so far, marked "expert guess"
	Holds  Verdict = "holds"
	Fails  Verdict = "fails" // go by age, oldest first; not by the expert
)

// Judgment is a verdict with what it rests on.
type Judgment struct {
	Verdict Verdict
	Calibration
	OverBase   *float64 // skill against the share found wet before each round
	BaseLow    *float64 // its 5 % bootstrap quantile
	OverAge    *float64 // skill against the model of age alone
	OverExpert *float64 // skill against the prior alone
}

// What a verdict asks for; judgment, no source.
const (
	leastScored, leastEach = 100, 20
	leastOverE, mostOverE  = 0.8, 1.25
	leastSlope, mostSlope  = 0.7, 1.3
	resamples              = 1000
	lowQuantile            = 0.05
)

// Judge weighs predictions. pick(n) draws from 0..n-1 with equal chance and
// makes the bootstrap repeatable; openings of one round in one building are
// drawn together, since they share their luck.
func Judge(scored []Scored, pick func(n int) int) Judgment {
	j := Judgment{Verdict: Fails, Calibration: Calibrate(scored)}
	base := func(s *Scored) *float64 { return s.Base }
	j.OverBase = SkillOver(scored, base)
	j.OverAge = SkillOver(scored, func(s *Scored) *float64 { return s.AgeOnly })
	j.OverExpert = SkillOver(scored, func(s *Scored) *float64 { return s.Expert })
	if j.N < leastScored || j.Wet < leastEach || j.N-j.Wet < leastEach {
		j.Verdict = TooFew
		return j
	}
	j.BaseLow = bootstrapLow(scored, base, pick)
	if within(j.OverE, leastOverE, mostOverE) && within(j.Slope, leastSlope, mostSlope) && j.BaseLow != nil && *j.BaseLow > 0 {
		j.Verdict = Holds
	}
	return j
}

func within(x *float64, lo, hi float64) bool { return x != nil && lo <= *x && *x <= hi }

// SkillOver is 1 - Σ(P-y)²/Σ(yard-y)² over the openings that have a yardstick:
// above 0 the predictions beat it. nil if none has, or the yardstick is perfect.
func SkillOver(scored []Scored, yard func(*Scored) *float64) *float64 {
	var t tally
	for i := range scored {
		t.add(&scored[i], yard)
	}
	return defined(t.skill())
}

// tally sums squared errors of the predictions and of a yardstick.
type tally struct{ ours, theirs float64 }

func (t *tally) add(s *Scored, yard func(*Scored) *float64) {
	if q := yard(s); q != nil {
		t.ours += (s.P - s.y()) * (s.P - s.y())
		t.theirs += (*q - s.y()) * (*q - s.y())
	}
}

func (t tally) skill() float64 { return 1 - t.ours/t.theirs }

// bootstrapLow resamples the blocks of round and building.
func bootstrapLow(scored []Scored, yard func(*Scored) *float64, pick func(n int) int) *float64 {
	at := map[[2]string]int{}
	var blocks []tally
	for i := range scored {
		key := [2]string{scored[i].Round, scored[i].Building}
		b, ok := at[key]
		if !ok {
			b = len(blocks)
			at[key] = b
			blocks = append(blocks, tally{})
		}
		blocks[b].add(&scored[i], yard)
	}
	skills := make([]float64, resamples)
	for r := range skills {
		var t tally
		for range blocks {
			b := blocks[pick(len(blocks))]
			t.ours += b.ours
			t.theirs += b.theirs
		}
		skills[r] = t.skill()
	}
	if slices.ContainsFunc(skills, math.IsNaN) {
		return nil
	}
	slices.Sort(skills)
	return defined(skills[int(lowQuantile*resamples)])
}
