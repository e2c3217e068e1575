package seal

import (
	"math"
	"slices"
)

// Scored is a prediction as it stood when the round was planned, and what the
// opening found. It is never scored again with a later fit.
type Scored struct {
	P        float64
	Wet      bool
	Base     *float64 // share found wet before that round; nil if nothing was
	AgeOnly  *float64 // what a model of age alone said
	Expert   *float64 // what the prior alone said
	Round    string
	Building string
}

func (s *Scored) y() float64 { return oneIf(s.Wet) }

// ofFound is the chance that was given to what was found.
func (s *Scored) ofFound() float64 {
	if s.Wet {
		return s.P
	}
	return 1 - s.P
}

// Calibration says how predictions have held. A nil pointer is not defined.
type Calibration struct {
	N, Wet    int
	Brier     float64  // mean squared error of P
	BrierBase float64  // of the share found wet among these very openings
	Skill     *float64 // 1 - Brier/BrierBase; nil if all or none were wet
	LogScore  *float64 // mean -ln of the chance given to what was found; nil if that was ever 0
	AUC       *float64 // chance that a wet one was ranked above a dry one; nil if all or none were wet
	OverE     *float64 // found wet over expected wet; nil if nothing was expected
	Intercept *float64 // of the cloglog regression of the outcome on the predicted one,
	Slope     *float64 // 0 and 1 if all is well; nil where it has no maximum
	Bins      []Bin
}

// Bin compares predictions in (From, To] with what was found; the first bin
// holds 0 too.
type Bin struct {
	From, To float64
	N, Wet   int
	MeanP    float64 // 0 in an empty bin
	Found    *Share  // nil in an empty bin
}

// binEdges part the predictions.
var binEdges = [...]float64{0, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1}

// Calibrate measures predictions; Brier, Mon. Weather Rev. 78 (1950) 1 (from
// memory). No predictions give the zero value.
func Calibrate(scored []Scored) Calibration {
	n := float64(len(scored))
	if n == 0 {
		return Calibration{}
	}
	c := Calibration{N: len(scored), Bins: bins(scored)}
	expected, logs := 0.0, 0.0
	for i := range scored {
		s := &scored[i]
		c.Wet += int(s.y())
		c.Brier += (s.P - s.y()) * (s.P - s.y()) / n
		expected += s.P
		logs -= math.Log(s.ofFound())
	}
	share := float64(c.Wet) / n
	c.BrierBase = share * (1 - share)
	c.LogScore = defined(logs / n)
	c.Skill = defined(1 - c.Brier/c.BrierBase)
	c.OverE = defined(float64(c.Wet) / expected)
	c.AUC = defined(auc(scored, float64(c.Wet)))
	c.Intercept, c.Slope = recalibrate(scored)
	return c
}

// defined is nil for NaN and infinities.
func defined(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// auc is the rank sum of the wet, mid-ranks for ties (Mann-Whitney); NaN if
// there are no wet or no dry.
func auc(scored []Scored, wet float64) float64 {
	order := slices.Clone(scored)
	slices.SortFunc(order, func(a, b Scored) int { return -compareDown(a.P, b.P) })
	sum := 0.0
	for i := 0; i < len(order); {
		j, tied := i, 0.0
		for ; j < len(order) && order[j].P == order[i].P; j++ {
			tied += order[j].y()
		}
		sum += tied * float64(i+j+1) / 2
		i = j
	}
	return (sum - wet*(wet+1)/2) / (wet * (float64(len(order)) - wet))
}

// sureP keeps the log hazard of a prediction finite.
const sureP = 1e-12

// recalibrate regresses the outcome on the predicted log hazard
// ln(-ln(1-P)) with a complementary-log-log link. That is the Weibull fit of
// MaxLikelihood with the predicted hazard in the place of the age.
func recalibrate(scored []Scored) (intercept, slope *float64) {
	episodes := make([]Episode, len(scored))
	for i := range scored {
		h := -math.Log1p(-clip(scored[i].P, sureP, 1-sureP))
		episodes[i] = Episode{Dry: h, Wet: math.Inf(1)}
		if scored[i].Wet {
			episodes[i] = Episode{Wet: h}
		}
	}
	f, err := MaxLikelihood(ForGroups(nil), episodes)
	if err != nil {
		return nil, nil
	}
	return &f.Theta[0], &f.Theta[1]
}

// bins counts predictions between the edges.
func bins(scored []Scored) []Bin {
	out := make([]Bin, len(binEdges)-1)
	for i := range out {
		out[i].From, out[i].To = binEdges[i], binEdges[i+1]
	}
	for i := range scored {
		at, _ := slices.BinarySearch(binEdges[1:], scored[i].P)
		b := &out[min(at, len(out)-1)]
		b.N++
		b.Wet += int(scored[i].y())
		b.MeanP += scored[i].P
	}
	for i := range out {
		if b := &out[i]; b.N > 0 {
			b.MeanP /= float64(b.N)
			found := Wilson(b.Wet, b.N)
			b.Found = &found
		}
	}
	return out
}
