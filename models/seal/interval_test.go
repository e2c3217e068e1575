package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"
)

// The inverse gives back what it inverts, for every shape and however cheap
// opening is against water.
func TestInverseGamma(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Exp(rapid.Float64Range(math.Log(0.05), math.Log(50)).Draw(t, "ln k"))
		a, lnP := 1+1/k, rapid.Float64Range(-600, -1e-9).Draw(t, "ln p")
		x := inverseGamma(a, math.Exp(lnP))
		if x < 1e-3 { // P by its series, the library's own loses digits there
			lnGamma, _ := math.Lgamma(a + 1)
			require.InDelta(t, lnP, a*math.Log(x)-x+math.Log1p(x/(a+1)+x*x/((a+1)*(a+2)))-lnGamma, 1e-6)
			return
		}
		require.InEpsilon(t, math.Exp(lnP), mathext.GammaIncReg(a, x), 1e-6)
	})
}

func TestIntervalOfCheapOpening(t *testing.T) {
	got := Interval(-1, 1.4, Costs{Opening: 1e-40, WetYear: 1})
	require.Greater(t, got.Years, 0.0)
	require.Less(t, got.Years, 1e-12)
}
