package risk

import (
	"math"

	"drylag/models"
)

// lossSteps and likelihoodSteps are the corners of the likelihood line: share
// of the margin used by the end of the horizon against likelihood 0 to 5; .50
// is half the remaining life (judgement).
var (
	lossSteps       = []float64{0, .05, .15, .30, .50, 1}
	likelihoodSteps = []float64{0, 1, 2, 3, 4, 5}
)

// likelihood is 0 to 5 from the loss, with the floors that findings set.
func likelihood(in Input, t timeline, w wall) float64 {
	l := 0.0
	if !math.IsNaN(w.u) {
		l = interpolate(lossSteps, likelihoodSteps, w.u)
	}
	if w.lastMM == nil {
		l = min(l, 2) // the wall gives no more until it is measured
	}
	if (t.seen && t.lastWet) || t.condition == models.WetKnown || badlyRusted(in) {
		l = max(l, 3)
	}
	if t.condition == models.Bare || t.dripping {
		l = max(l, 4)
	}
	if w.lastMM != nil && w.required != nil && *w.lastMM <= *w.required {
		l = 5
	}
	return l
}

// badlyRusted tells whether the last metal that was seen was Ri 4 or worse.
func badlyRusted(in Input) bool {
	for i := len(in.Openings) - 1; i >= 0; i-- {
		if ri, ok := RiOf(in.Openings[i].Metal); ok {
			return ri >= 4
		}
	}
	return false
}

func interpolate(xs, ys []float64, x float64) float64 {
	if x <= xs[0] {
		return ys[0]
	}
	for i := 1; i < len(xs); i++ {
		if x <= xs[i] {
			return ys[i-1] + (ys[i]-ys[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
		}
	}
	return ys[len(ys)-1]
}

// stake is one answer that makes a leak matter.
type stake struct {
	name  string
	class int
	say   string
}

// consequence is the worst of the answers (risk.md 5, judgement); where
// nothing is answered it is 3 and marked assumed.
func consequence(c models.Component) (worst int, stakes []stake) {
	add := func(name string, class int, say string) {
		if class > 0 {
			stakes = append(stakes, stake{name, class, say})
			worst = max(worst, class)
		}
	}
	if c.PressureBar != nil {
		add("pressure", step(*c.PressureBar, 2, 7, 10, 16), sayBar(*c.PressureBar))
	}
	if c.NPS != nil {
		add("size", step(*c.NPS, 2, 4, 8, 12), "NPS "+models.SayNPS(*c.NPS))
	}
	add("below it", place(models.Belows, c.Below), models.Belows.Say(c.Below))
	add("spare", place(models.Spares, c.Spare), models.Spares.Say(c.Spare))
	add("without it", place(models.Withouts, c.Without), models.Withouts.Say(c.Without))
	if len(stakes) == 0 {
		return 3, nil
	}
	return worst, stakes
}

func step(v float64, upTo ...float64) int {
	for i, top := range upTo {
		if v <= top {
			return i + 1
		}
	}
	return len(upTo) + 1
}

func place(words models.Vocabulary, code string) int {
	for i, w := range words {
		if w.Code == code {
			return i + 1
		}
	}
	return 0
}
