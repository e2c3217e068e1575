package takeoff_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/takeoff"
	"drylag/models/unit"
)

// Sizes of measuredGate: pipe 0.1143, flange 0.229, length 0.229, bonnet 0.14 by
// 0.2, 25 mm of insulation.
func TestPartByHand(t *testing.T) {
	p := takeoff.PartOf(measuredGate())
	require.Empty(t, p.Assumed)
	require.InDelta(t, 0.229, float64(p.Length), 1e-12)
	require.InDelta(t, math.Pi*(0.229*0.229+0.14*0.2), float64(p.Bare), 1e-12, "body and bonnet, no ends")
	require.InDelta(t, math.Pi/4*(0.279*0.279-0.1143*0.1143), float64(p.End), 1e-12)
	require.InDelta(t, math.Pi*0.279, float64(p.Girth), 1e-12)
	require.InDelta(t, 0.4, float64(p.Seam), 1e-12, "as measured")
}

func TestPartOfAPump(t *testing.T) {
	c := takeoff.Closing{Kind: "pump", Thickness: known[unit.Meter](0.05),
		Measured: takeoff.Measured{Pipe: known[unit.Meter](0.1143), Box: &takeoff.Box{Length: 1.1, Width: 0.6, Height: 0.7}}}
	p := takeoff.PartOf(c)
	require.InDelta(t, 1.0, float64(p.Length), 1e-12)
	require.InDelta(t, 2*(0.5+0.6)*1.0, float64(p.Bare), 1e-12, "four sides of 1.0 by 0.5 and 0.6, by hand")
	require.InDelta(t, 0.6*0.7, float64(p.End), 1e-12)
	require.InDelta(t, 2*(0.6+0.7), float64(p.Girth), 1e-12)
}

// The whole cover is its sides, its ends and what the bonnet adds: at no
// thickness the sides and ends of the part are what a coat covers.
func TestPartAgreesWithForCover(t *testing.T) {
	for _, kind := range []string{"gate_valve", "butterfly_valve", "check_valve", "control_valve", "strainer", "flange_pair", "flexible_connector", "elbow", "pump"} {
		for _, nps := range []float64{2, 6, 12, 24} {
			c := takeoff.Closing{Kind: kind, Connection: "flanged", Standard: standard(nps), Thickness: known[unit.Meter](0.025),
				Coat: &takeoff.Coat{Coating: takeoff.Coating{Film: 100, VolumeSolids: 1, Coats: 1}}}
			p := takeoff.PartOf(c)
			coated := float64(takeoff.ForCover(c).Coating.Amount) / 0.1 // m² at 100 µm
			require.InEpsilon(t, coated, float64(p.Metal), 1e-9)
			require.Greater(t, coated, float64(p.Bare), "%s NPS %g: with its ends", kind, nps)
			require.Greater(t, float64(takeoff.ForCover(c).Cover.Amount), float64(2*p.End), "%s NPS %g", kind, nps)
			require.Positive(t, float64(p.Seam))
		}
	}
}
