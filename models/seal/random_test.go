package seal

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// odd invents a small fleet of the kind that breaks fits: ages from a day to
// 40 years, rounded so that they tie, mixed or all wet or all dry.
func odd(r *rand.Rand) []Episode {
	episodes := make([]Episode, r.IntN(25))
	wet, looks := []float64{0, 0.3, 1}[r.IntN(3)], r.Float64()
	words := []State{"", Sound, Repaired, Poor, Unknown}
	for i := range episodes {
		u := math.Max(minAge, math.Round(math.Exp(r.Float64()*9.5-5.8)*50)/50)
		e := Episode{Dry: u, Wet: math.Inf(1), Covariates: Covariates{
			Building: string(rune('a' + r.IntN(3))), Drive: ptr(8 * r.Float64() * float64(r.IntN(2))), Seal: words[r.IntN(5)], Openings: r.IntN(30)}}
		if r.Float64() < wet {
			e.Dry, e.Wet = 0, u
			if r.Float64() < looks {
				e.Dry = u * r.Float64()
			}
		}
		episodes[i] = e
	}
	return episodes
}

func TestLearnAlwaysFindsTheMode(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		episodes := odd(r)
		f, err := Learn(Default(), episodes, Options{})
		require.NoError(t, err, "%+v", episodes)
		require.LessOrEqual(t, f.Steps, maxSteps*4)
		require.Greater(t, f.K(), 0.0)
		p := f.Predict(risky(), 2)
		require.True(t, 0 <= p.Lo && p.Lo <= p.Hi && p.Hi <= 1 && !math.IsNaN(p.P), "%+v", p)
		require.InDelta(t, 0, slopeAt(f, episodes), 1e-5, "the gradient is 0 at a mode")
	}
}

// slopeAt is the largest entry of the gradient at a fit.
func slopeAt(f Fit, episodes []Episode) float64 {
	q := compile(f.Names, f.Prior, episodes)
	at := q.begin(&f)
	q.evaluate(at, f.SigmaB)
	most := 0.0
	for _, g := range append(at.grad, at.gradB...) {
		most = math.Max(most, math.Abs(g))
	}
	return most
}

func TestStepsAlwaysSettle(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		episodes := odd(r)
		if len(episodes) == 0 {
			continue
		}
		s, err := NewSteps(episodes)
		require.NoError(t, err, "%+v", episodes)
		total := 0.0
		for _, m := range s.Mass {
			require.Less(t, m.Left, m.Right)
			total += m.P
		}
		require.InDelta(t, 1, total, 1e-6)
		if s.Rounds == 0 { // the exact answer of isotonic regression and the search agree
			searched, err := turnbull(episodes)
			require.NoError(t, err)
			require.InDelta(t, s.LogLik, searched.LogLik, 1e-7)
			require.Len(t, searched.Mass, len(s.Mass))
			for i, m := range s.Mass {
				require.Equal(t, m.Left, searched.Mass[i].Left)
				require.Equal(t, m.Right, searched.Mass[i].Right)
				require.InDelta(t, m.P, searched.Mass[i].P, 1e-6)
			}
		}
	}
}
