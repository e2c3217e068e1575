package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReplacementAgreesWithR(t *testing.T) {
	p := readPolicy(t)
	uniform := Replacement{100, 200, func(u float64) float64 { return math.Max(0, 1-u/40000) }} // Jardine & Tsang, ch. 2 problem 2
	require.Len(t, p.Uniform.Grid, 4)
	for _, g := range p.Uniform.Grid {
		relative(t, g.CR, uniform.Rate(g.T), 1e-6, "at %v", g.T)
		require.InDelta(t, g.CPrinted, uniform.Rate(g.T), 0.5e-4, "as printed, at %v", g.T)
	}
	relative(t, p.Uniform.TExact, uniform.Age(40000), 1e-6, "optimum")
	relative(t, p.Uniform.COpt, uniform.Rate(uniform.Age(40000)), 1e-6, "its cost")

	weibull := Replacement{1, 5, func(u float64) float64 { return math.Exp(-math.Pow(u/1000, 2.5)) }}
	relative(t, p.Weibull.TOpt, weibull.Age(5000), 1e-6, "optimum")
	relative(t, p.Weibull.COpt, weibull.Rate(weibull.Age(5000)), 1e-6, "its cost")

	young := Replacement{1, 5, func(u float64) float64 { return math.Exp(-u) }}
	require.Equal(t, 20.0, young.Age(20), "what does not age is not re-made in time")
}
