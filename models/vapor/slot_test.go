package vapor_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"

	"drylag/models/unit"
	"drylag/models/vapor"
)

// slotAt is the slot factor at πw/4t = x over insulation t thick.
func slotAt(x float64, t unit.Meter) float64 {
	return vapor.SlotFactor(unit.Meter(4*x/math.Pi)*t, t)
}

// Gonum has its own complete elliptic integral; it is exact as long as 1 − k² and
// 1 − k′² keep their digits, 1e-3 to 5; the tests below hold the ends.
func TestSlotFactorAgainstEllipticIntegral(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := drawDecades[float64](t, "x", 1e-3, 5)
		k, complement := math.Tanh(x), 1/math.Cosh(x)
		want := 2 * mathext.CompleteK(k*k) / mathext.CompleteK(complement*complement)
		require.InEpsilon(t, want, slotAt(x, draw[unit.Meter](t, "t", 0.003, 0.5)), 1e-6, "Gonum mathext.CompleteK")
	})
}

// Abramowitz and Stegun 17.3.26 (from memory): K(k′) goes to ln(4/k), K(k) to π/2.
func TestSlotFactorOfAHairline(t *testing.T) {
	for _, x := range []float64{1e-4, 1e-8, 1e-16, 1e-100, 1e-200} {
		require.InEpsilon(t, math.Pi/math.Log(4/math.Tanh(x)), slotAt(x, 1), 1e-6, "x = %g", x)
	}
	require.Zero(t, vapor.SlotFactor(0, 0.025))
}

// The asymptote takes over at πw/4t = 15 without a step.
func TestSlotFactorIsContinuousAtItsSwitch(t *testing.T) {
	for _, thickness := range []unit.Meter{0.003, 0.025, 0.5} {
		below, above := slotAt(15*(1-1e-12), thickness), slotAt(15*(1+1e-12), thickness)
		require.InEpsilon(t, below, above, 1e-11)
		require.InEpsilon(t, 60/math.Pi+4*math.Ln2/math.Pi, below, 1e-11)
	}
}

func TestSlotFactorRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, thickness := drawDecades[float64](t, "x", 1e-12, 1e4), draw[unit.Meter](t, "t", 0.001, 1)
		s := slotAt(x, thickness)
		require.Greater(t, slotAt(x*1.0001, thickness), s)
		require.Greater(t, s, 4*x/math.Pi, "spreading adds to w/t")
		require.InEpsilon(t, s, slotAt(x, 2*thickness), 1e-9, "only the ratio matters")
	})
}

// Any slot at all: finite above w/t and within the spreading of two edges, or
// NaN out of range.
func FuzzSlotFactor(f *testing.F) {
	for _, x := range []float64{0, 1e-300, 1e-9, 0.001, 0.4774648, 0.47746483, 1, 1e300, -1, math.NaN(), math.Inf(1)} {
		f.Add(x, 0.025)
		f.Add(0.001, x)
	}
	f.Fuzz(func(t *testing.T, w, thick float64) {
		s := vapor.SlotFactor(unit.Meter(w), unit.Meter(thick))
		if !(w >= 0 && thick > 0) || math.IsInf(w, 1) || math.IsInf(thick, 1) {
			require.True(t, math.IsNaN(s), "SlotFactor(%g, %g) = %g", w, thick, s)
			return
		}
		straight := w / thick
		require.GreaterOrEqual(t, s, straight*(1-1e-12), "SlotFactor(%g, %g)", w, thick)
		require.LessOrEqual(t, s, (straight+4*math.Ln2/math.Pi)*(1+1e-12), "SlotFactor(%g, %g)", w, thick)
	})
}
