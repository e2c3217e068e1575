package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
)

func TestExpertPredictions(t *testing.T) {
	var want struct {
		Fail struct {
			Zero struct{ Predictions []prediction }
		}
	}
	readJSON(t, "expected.json", &want)
	covers := coversByID(t)
	require.Len(t, want.Fail.Zero.Predictions, 6)
	for _, w := range want.Fail.Zero.Predictions {
		w.agrees(t, Expert(Default()).Predict(covers[w.Cover.String()], w.U), 1e-9)
	}
}

func TestNodesAreGaussHermite(t *testing.T) {
	x, w := make([]float64, len(nodes)), make([]float64, len(nodes))
	quad.Hermite{}.FixedLocations(x, w, math.Inf(-1), math.Inf(1))
	total := 0.0
	for i, n := range nodes {
		require.InDelta(t, math.Sqrt2*x[i], n.z, 1e-12)
		require.InDelta(t, w[i]/math.Sqrt(math.Pi), n.weight, 1e-12)
		total += n.weight
	}
	require.InDelta(t, 1, total, 1e-12)
	require.InDelta(t, 3, mean(func(z float64) float64 { return z * z * z * z }), 1e-11, "fourth moment")
}

// risky is a cover about which the prior says much and knows little.
func risky() Covariates {
	return Covariates{Building: "1", Drive: ptr(2.5), Seal: Poor, Method: Mechanical, ServiceC: ptr(4.5), Dual: true,
		AgeYears: ptr(18), Openings: 5, PrevWet: true, Kind: Pump}
}

func TestProbabilityLaws(t *testing.T) {
	for name, c := range map[string]Covariates{"reference": {}, "risky": risky()} {
		o := Expert(Default()).Outlook(c)
		last := Probability{}
		for u := 1.0 / 64; u < 64; u *= 1.3 {
			p := o.At(u)
			require.GreaterOrEqual(t, p.P, last.P, "%s: P rises with age", name)
			if 0.02 < p.P && p.P < 0.98 { // nearer to 0 or 1 the long tail may carry the mean outside
				require.True(t, p.Lo < p.P && p.P < p.Hi, "%s %+v", name, p)
			}
			require.True(t, 0 <= p.Lo && p.Lo <= p.Hi && p.Hi <= 1, name)
			last = p
		}
		require.Equal(t, 0.0, o.At(0).P)
		require.True(t, math.IsNaN(o.At(-1).P))
		require.True(t, math.IsNaN(o.At(math.NaN()).P))
	}
}

func TestWhatMakesACoverWorse(t *testing.T) {
	f := Expert(Default())
	p := func(c Covariates) float64 { return f.Predict(c, 1).Eta }
	base := p(Covariates{})
	for name, c := range map[string]Covariates{
		"more drive": {Drive: ptr(2)}, "repaired": {Seal: Repaired}, "poor": {Seal: Poor}, "unknown is not sound": {Seal: Unknown},
		"no seal but straps": {Method: Mechanical}, "colder": {ServiceC: ptr(2)}, "dual": {Dual: true}, "older": {AgeYears: ptr(20)},
		"opened often": {Openings: 4}, "was wet": {PrevWet: true},
	} {
		require.Greater(t, p(c), base, name)
	}
	require.Equal(t, base, p(Covariates{Drive: ptr(1), Seal: Sound, ServiceC: ptr(7), AgeYears: ptr(0)}), "the reference is what is not known")
	require.Equal(t, p(Covariates{Drive: ptr(0)}), p(Covariates{Drive: ptr(1.0 / 16)}), "drive is clipped at -4")
	require.Equal(t, p(Covariates{AgeYears: ptr(45)}), p(Covariates{AgeYears: ptr(40)}), "age is clipped at 40")
	require.Equal(t, p(Covariates{Openings: 1}), p(Covariates{Seal: Poor}.NextClosing()))
}

func TestAfterDryLook(t *testing.T) {
	o := Expert(Default()).Outlook(Covariates{Seal: Poor})
	require.Equal(t, o.At(2), o.AfterDryLook(0, 2), "no look yet")
	require.Equal(t, 0.0, o.AfterDryLook(2, 2).P, "just seen dry")
	require.Equal(t, 0.0, o.AfterDryLook(2, 1).P)
	last := o.At(3).P
	for _, v := range []float64{0.5, 1, 2, 2.9} {
		p := o.AfterDryLook(v, 3)
		require.Less(t, p.P, last, "the later the dry look the less is left to happen")
		require.True(t, 0 < p.Lo && p.Lo < p.P && p.P < p.Hi, "%+v", p)
		last = p.P
	}
	// Without doubt about eta it is the Weibull ratio.
	sure := Outlook{eta: -1, k: 1.25}
	s := func(u float64) float64 { return math.Exp(-hazard(-1, 1.25, u)) }
	require.InDelta(t, 1-s(3)/s(2), sure.AfterDryLook(2, 3).P, 1e-14)
}

func TestWetShare(t *testing.T) {
	for name, c := range map[string]Covariates{"reference": {}, "risky": risky()} {
		o := Expert(Default()).Outlook(c)
		for _, years := range [][2]float64{{0, 0.25}, {0, 1}, {0, 5}, {0, 40}, {1, 6}, {3, 3.5}} {
			a, b := years[0], years[1]
			const n = 400_000 // midpoint rule
			sum := 0.0
			for i := range n {
				sum += o.At(a + (b-a)*(float64(i)+0.5)/n).P
			}
			require.InDelta(t, sum/n, o.WetShare(a, b), 1e-6, "%s %v", name, years)
		}
		require.Equal(t, o.At(2).P, o.WetShare(2, 2))
		require.True(t, math.IsNaN(o.WetShare(2, 1)))
		require.True(t, math.IsNaN(o.WetShare(-1, 1)))
	}
	// Closed form without doubt: 1 - mean life · P(1/k, H(b)) / b.
	sure := Outlook{eta: -1, k: 1.25}
	require.InDelta(t, 1-MeanLife(-1, 1.25)*lowerGamma(1/1.25, hazard(-1, 1.25, 3))/3, sure.WetShare(0, 3), 1e-7)
}

func TestFactors(t *testing.T) {
	f := Expert(Default())
	c := Covariates{Building: "north", Drive: ptr(2), Seal: Poor, Method: Tape}
	why := f.Factors(c, nil)
	require.Equal(t, "seal", why[0].Name)
	require.Equal(t, "poor", why[0].Word)
	require.InDelta(t, math.Exp(1.2), why[0].Times, 1e-12)
	require.InDelta(t, math.Exp(1.2-z90*0.5), why[0].Lo, 1e-12)
	require.Equal(t, "drive", why[1].Name)
	require.InDelta(t, math.Exp(0.7), why[1].Times, 1e-12)
	product := 1.0
	for _, w := range why {
		require.False(t, w.Learned, "%s: no opening has taught it", w.Name)
		product *= w.Times
	}
	require.InDelta(t, f.Predict(c, 1).Eta-f.Predict(Covariates{}, 1).Eta, math.Log(product), 1e-12, "the factors make up the difference")

	// Against a fleet of which half is poor, poor is half as special and sound counts too.
	m := f.FleetMean([]Covariates{{Seal: Poor}, {Seal: Sound}})
	require.InDelta(t, math.Exp(0.6), f.Factors(Covariates{Seal: Poor}, m)[0].Times, 1e-12)
	require.InDelta(t, math.Exp(-0.6), f.Factors(Covariates{Seal: Sound}, m)[0].Times, 1e-12)
	require.Empty(t, f.Factors(Covariates{}, nil))
}
