package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

// policy is policy.json.
type policy struct {
	Uniform struct {
		Grid []struct {
			T        float64
			CR       float64 `json:"C_R"`
			CPrinted float64 `json:"C_printed"`
		}
		TExact float64 `json:"T_exact"`
		COpt   float64 `json:"C_opt"`
	} `json:"age_replacement_uniform"`
	Weibull struct {
		TOpt float64 `json:"T_opt"`
		COpt float64 `json:"C_opt"`
	} `json:"age_replacement_weibull"`
	Exponential []struct{ Ratio, LambdaT float64 } `json:"exponential_renewing"`
	Index       []struct{ Eta, K, U, W, F float64 }
	Threshold   []struct{ Eta, K, P, T float64 }
	IndexAfter  []struct {
		Eta      float64
		EtaAfter float64 `json:"eta_after"`
		K, U, CW float64
		W        float64
	} `json:"index_after"`
}

func readPolicy(t *testing.T) policy {
	var p policy
	readJSON(t, "policy.json", &p)
	require.Len(t, p.Index, 27)
	require.Len(t, p.Threshold, 3)
	require.Len(t, p.IndexAfter, 4)
	require.Len(t, p.Exponential, 3)
	return p
}

func TestIndexAgreesWithR(t *testing.T) {
	p := readPolicy(t)
	for _, w := range p.Index {
		relative(t, w.W, Index(w.Eta, w.K, w.U, 1, 0), 1e-9, "%+v", w)
		relative(t, w.F, Chance(w.Eta, w.K, w.U), 1e-9, "%+v", w)
		relative(t, w.W, IndexAfter(w.Eta, w.Eta, w.K, w.U, 1), 1e-9, "same cover after: %+v", w)
	}
	for _, w := range p.IndexAfter {
		relative(t, w.W, IndexAfter(w.Eta, w.EtaAfter, w.K, w.U, w.CW), 1e-9, "%+v", w)
	}
	for _, w := range p.Threshold {
		relative(t, w.T, Threshold(w.Eta, w.K, w.P), 1e-9, "%+v", w)
	}
}

func TestIntervalAgreesWithR(t *testing.T) {
	var want struct {
		Interval []struct {
			Eta, K, Co, Cw, Cr, Pi, Gam float64
			T                           *float64
			C, P                        float64
		}
	}
	readJSON(t, "expected.json", &want)
	require.Len(t, want.Interval, 57)
	for _, w := range want.Interval {
		got := Interval(w.Eta, w.K, Costs{w.Co, w.Cw, w.Cr, w.Pi, w.Gam})
		relative(t, w.C, got.Rate, 1e-7, "%+v", w)
		near(t, w.P, got.P, 1e-6, "%+v", w)
		if w.T == nil {
			require.True(t, math.IsInf(got.Years, 1), "%+v never pays", w)
			continue
		}
		relative(t, *w.T, got.Years, 1e-4, "%+v", w)
	}
}

// An exponential cover: 1 - (1+x) e^-x = lambda c_o/c_w (policy.json, R uniroot).
func TestIntervalOfTheExponential(t *testing.T) {
	for _, w := range readPolicy(t).Exponential {
		const lambda = 0.4
		got := Interval(math.Log(lambda), 1, Costs{Opening: 1, WetYear: lambda / w.Ratio})
		relative(t, w.LambdaT, lambda*got.Years, 1e-6, "%+v", w)
	}
}

func TestIntervalLaws(t *testing.T) {
	c := Costs{Opening: 1, WetYear: 2}
	best := Interval(-1.8, 1.25, c)
	require.InDelta(t, best.Rate/c.WetYear, best.P, 1e-12, "at the optimum F = C/c_w")
	require.InDelta(t, best.Years, Threshold(-1.8, 1.25, best.Rate/c.WetYear), 1e-9, "p* = C/c_w is the same policy")
	require.InDelta(t, c.Opening, Index(-1.8, 1.25, best.Years, c.WetYear, 0), 1e-9, "there the index is the cost of one opening")
	for _, t1 := range []float64{0.9, 1.1} {
		require.Greater(t, c.Rate(-1.8, 1.25, t1*best.Years), best.Rate)
	}
	scanned := Interval(-1.8, 1.25, Costs{Opening: 1, WetYear: 2, Spoil: 1e-300, SpoilBy: 1.2})
	require.InDelta(t, best.Years, scanned.Years, 1e-9, "scan and closed form agree")
	require.Equal(t, 10.0, ClampInterval(math.Inf(1)))
	require.Equal(t, 0.25, ClampInterval(0.01))
	require.Equal(t, 3.0, ClampInterval(3))
}

func TestCostsAsked(t *testing.T) {
	f := Expert(Default())
	c := f.Costs(2, 0.5)
	require.Equal(t, Costs{Opening: 1, WetYear: 2, FoundWet: 0.5, Spoil: 0.05, SpoilBy: 1.2}, c)
	sound, poor := f.Outlook(Covariates{}), f.Outlook(Covariates{Seal: Poor})
	require.Less(t, poor.Interval(c).Years, sound.Interval(c).Years, "a poor seal is opened sooner")
	require.Less(t, sound.Interval(f.Costs(4, 0.5)).Years, sound.Interval(c).Years, "the dearer a wet year, the sooner")
	require.True(t, math.IsInf(poor.Interval(f.Costs(0.1, 0)).Years, 1), "a hopeless seal is not kept dry by opening")
	require.Zero(t, Expert(ForGroups(nil)).Costs(2, 0).SpoilBy, "no such column")
}

// The index is the integral it stands for, done by brute force.
func TestIndexIsItsIntegral(t *testing.T) {
	const eta, k, cw, cr = -1.2, 1.4, 3.0, 0.7
	density := func(u float64) float64 { return k * hazard(eta, k, u) / u * math.Exp(-hazard(eta, k, u)) }
	for _, u := range []float64{0.3, 1, 4} {
		inner := quad.Fixed(func(s float64) float64 { return s * density(s) }, 0, u, 400, quad.Legendre{}, 0)
		want := cw*inner + cr*(u*density(u)-wetAt(eta+k*math.Log(u)))
		require.InDelta(t, want, Index(eta, k, u, cw, cr), 1e-7)
	}
	require.Equal(t, 0.0, Index(eta, k, 0, cw, cr))
	require.InDelta(t, cw*MeanLife(eta, k), Index(eta, k, 1e6, cw, 0), 1e-9, "in the end the mean life")
	require.InDelta(t, cw*MeanLife(eta, k)-cr, Index(eta, k, math.Inf(1), cw, cr), 1e-9)
	require.True(t, math.IsNaN(Index(math.NaN(), k, 1, cw, cr)))
}

func TestOutlookIndex(t *testing.T) {
	f := Expert(Default())
	c := Covariates{Building: "1", Seal: Poor}
	now, after := f.Outlook(c), f.Outlook(c.NextClosing())
	last := 0.0
	for u := 0.05; u < 30; u *= 1.5 {
		w := now.Index(after, u, 2)
		require.Greater(t, w, last, "waiting makes opening worth more")
		require.Greater(t, w, now.Index(now, u, 2), "a poor seal to be made sound comes earlier")
		last = w
	}
	require.Equal(t, 0.0, now.Index(after, 0, 2))

	due, ok := now.DueAge(after, 1, 2)
	require.True(t, ok)
	require.InDelta(t, 1, now.Index(after, due, 2), 1e-6)
	late, ok := after.DueAge(after, 1, 2)
	require.True(t, ok)
	require.Greater(t, late, due)
	_, ok = now.DueAge(after, 1e6, 2)
	require.False(t, ok, "too dear ever to pay")

	age, ok := now.AgeAt(0.3)
	require.True(t, ok)
	require.InDelta(t, 0.3, now.At(age).P, 1e-6)
	sure := Outlook{eta: -1.817, k: 1.25}
	age, ok = sure.AgeAt(0.2)
	require.True(t, ok)
	relative(t, 1.2887181093, age, 1e-6, "policy.json threshold, first row")
	require.InDelta(t, MeanLife(-1.817, 1.25), sure.MeanLife(), 1e-9)
	require.Greater(t, now.MeanLife(), MeanLife(now.eta, now.k), "doubt lengthens the mean")
	require.Equal(t, Interval(sure.eta, sure.k, Costs{Opening: 1, WetYear: 2}), sure.Interval(Costs{Opening: 1, WetYear: 2}))
}

func BenchmarkScoreOneCover(b *testing.B) {
	f := Expert(Default())
	for b.Loop() {
		c := risky()
		now, after := f.Outlook(c), f.Outlook(c.NextClosing())
		now.At(1.5)
		now.WetShare(0, 5)
		now.DueAge(after, 1, 2)
	}
}
