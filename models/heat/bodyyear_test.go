package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/heat"
	"drylag/models/unit"
)

// A body of the area of a plain pipe without ends is that pipe, and its ends add
// what a flat face takes up.
func TestBodyHeatOfAPlainPipe(t *testing.T) {
	prepared := prepare(t, readTable(t, "climates/room_open.csv"))
	c := heat.Cylinder{Fluid: 7, Diameter: 0.1143, Emissivity: 0.9, Layers: []heat.Layer{{Thickness: 0.025, K: heat.Conductivity{AtZero: 0.034, PerK: 1e-4}}}}
	b := heat.Body{Length: 2, Bare: unit.M2(2 * math.Pi * 0.1143)}
	pipe := prepared.CoveredHeat(c, 0)
	plain := prepared.BodyHeat(b, c, 0)
	require.InEpsilon(t, 2*pipe.GainKWh, plain.GainKWh, 1e-12)
	b.End = 0.05
	ends := prepared.BodyHeat(b, c, 0).GainKWh - plain.GainKWh
	require.Positive(t, ends)
	b.End = 0.10
	require.InEpsilon(t, 2*ends, prepared.BodyHeat(b, c, 0).GainKWh-plain.GainKWh, 1e-9)
	b.End = -1
	require.True(t, math.IsNaN(prepared.BodyHeat(b, c, 0).GainKWh))
}
