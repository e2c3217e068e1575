package metal_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/metal"
	"drylag/models/unit"
)

// TestWorkedIllustration carries one component through the package: NPS 6
// Schedule 40 at 44 °F, wall read as 7.11 mm, 2.8 mm required. The expected
// figures are hand arithmetic on API RP 581 Table 16.2 with the factors from
// memory; each to the digits written.
func TestWorkedIllustration(t *testing.T) {
	pipe, ok := metal.PipeOf(6, "40")
	require.True(t, ok)
	structural, ok := metal.StructuralMinimum(6)
	require.True(t, ok)
	required, basis, ok := metal.Needs{
		PressureMM:   new(atPressure(1).Thickness()),
		StructuralMM: &structural.MinimumMM,
	}.Required()
	require.True(t, ok)
	require.Equal(t, metal.ForStructure, basis, "at building pressures the structural minimum governs")
	require.InDelta(t, 2.8, required, 0.05)
	const requiredMM = 2.8

	for _, c := range []struct {
		name                            string
		wet                             float64
		at                              metal.Surroundings
		driver                          metal.Driver
		mpy, rate, life, half, fromMill float64
	}{
		{
			"seal poor, many penetrations, fibrous", 0.7,
			metal.Surroundings{Insulation: metal.Fibrous, Penetrations: new(5), Seal: metal.SealPoor},
			metal.Severe, 19.5, 0.496, 8.7, 4.3, 6.9,
		},
		{
			"seal sound", 0.065,
			metal.Surroundings{Insulation: metal.Fibrous, Penetrations: new(2), Seal: metal.SealSound},
			metal.Mild, 2.81, 0.071, 60, 30, 48,
		},
	} {
		driver := metal.DriverOf(c.wet, true)
		require.Equal(t, c.driver, driver, c.name)
		rate := metal.TableRate(celsius(44), driver) * metal.DefaultFactors().At(c.at).Product()
		require.InEpsilon(t, c.mpy, metal.Mpy(rate), 0.002, c.name)
		require.InDelta(t, c.rate, rate, 0.0005, c.name)
		life := metal.RemainingLife(pipe.WallMM, requiredMM, rate)
		require.InEpsilon(t, c.life, life, 0.01, c.name)
		require.InEpsilon(t, c.half, metal.ThicknessInterval(life, nil), 0.012, c.name)
		least := metal.LeastNewWall(pipe.WallMM, metal.DefaultMillTolerance)
		require.InEpsilon(t, c.fromMill, metal.RemainingLife(least, requiredMM, rate), 0.01, c.name)
	}
}

func TestSourcesAreShowable(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range metal.Sources() {
		require.NotEmpty(t, s.Text)
		require.Contains(t, unit.Tags(), s.Tag, s.Text)
		require.False(t, seen[s.Text], "twice: %s", s.Text)
		seen[s.Text] = true
	}
	require.Equal(t, "ISO 4628-3:2016, Table 1 (from memory)", metal.RiSource.String())
}
