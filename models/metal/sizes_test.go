package metal_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/metal"
)

// TestPipeUnitsAgree sets the two printed units of every pipe against each
// other: the mm are the inches, rounded (OD from NPS 18 to whole mm).
func TestPipeUnitsAgree(t *testing.T) {
	sizes := metal.PipeSizes()
	require.Len(t, sizes, 19)
	require.True(t, slices.IsSorted(sizes))
	for _, nps := range sizes {
		within := 0.051
		if nps >= 18 {
			within = 0.5
		}
		thinner := 0.0
		for _, schedule := range []string{"10", "40", "80"} {
			p, ok := metal.PipeOf(nps, schedule)
			require.True(t, ok)
			require.InDelta(t, p.ODIn*25.4, p.ODMM, within, "NPS %g", nps)
			require.InDelta(t, p.WallIn*25.4, p.WallMM, 0.0051, "NPS %g Sch %s", nps, schedule)
			require.Greater(t, p.WallMM, thinner, "NPS %g: a higher schedule is thicker", nps)
			thinner = p.WallMM
		}
	}
}

func TestPipeSTD(t *testing.T) {
	for _, nps := range metal.PipeSizes() {
		std, _ := metal.PipeOf(nps, "STD")
		forty, _ := metal.PipeOf(nps, "40")
		if nps <= 10 {
			require.Equal(t, forty, std, "NPS %g: STD is Schedule 40 up to NPS 10, ASME B36.10M", nps)
			continue
		}
		require.Equal(t, 0.375, std.WallIn, "NPS %g: STD is 3/8 in above NPS 10, ASME B36.10M", nps)
	}
}

func TestUnknownSizes(t *testing.T) {
	for _, c := range []struct {
		nps      float64
		schedule string
	}{
		{7, "40"},
		{6, "160"},
		{6, ""},
		{math.NaN(), "40"},
	} {
		_, ok := metal.PipeOf(c.nps, c.schedule)
		require.False(t, ok, "%g %q", c.nps, c.schedule)
	}
	for _, nps := range []float64{0.5, 3.5, 30, math.NaN()} {
		_, flange := metal.FlangeOf(nps)
		_, gate := metal.GateFaceToFace(nps)
		require.False(t, flange || gate, "%g", nps)
	}
}

func TestFlangesAndValvesFitTheirPipe(t *testing.T) {
	smaller, shorter := 0.0, 0.0
	for _, nps := range []float64{2, 2.5, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24} {
		p, ok := metal.PipeOf(nps, "40")
		require.True(t, ok)
		f, ok := metal.FlangeOf(nps)
		require.True(t, ok)
		require.Greater(t, f.BoltCircleMM-f.HoleMM, p.ODMM, "NPS %g: bolts clear the pipe", nps)
		require.Greater(t, f.ODMM, f.BoltCircleMM+f.HoleMM, "NPS %g: holes lie inside the rim", nps)
		require.Zero(t, f.Bolts%4, "NPS %g: bolts come in fours, ASME B16.5", nps)
		require.Greater(t, f.ODMM, smaller)
		smaller = f.ODMM
		length, ok := metal.GateFaceToFace(nps)
		require.True(t, ok)
		require.Greater(t, length, shorter)
		shorter = length
	}
}

func TestGateFaceToFace(t *testing.T) {
	const source = "ASME B16.10 in inches (7, 7 1/2, 8, 9, 10, 10 1/2, 11 1/2, 13, 14 ...), from memory"
	for nps, in := range map[float64]float64{2: 7, 2.5: 7.5, 3: 8, 4: 9, 5: 10, 6: 10.5, 8: 11.5, 10: 13, 12: 14, 14: 15, 16: 16, 18: 17, 20: 18, 24: 20} {
		mm, ok := metal.GateFaceToFace(nps)
		require.True(t, ok)
		require.InDelta(t, in*25.4, mm, 0.51, "NPS %g: %s", nps, source)
	}
}
