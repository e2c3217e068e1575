package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

func TestStructuralMinimum(t *testing.T) {
	const source = "API 574, from memory; sizes between rows take the larger"
	for _, c := range []struct{ nps, minimum, alert float64 }{
		{0.5, .07, .08}, {0.75, .07, .08}, {1, .07, .08}, {1.25, .07, .09}, {1.5, .07, .09}, {2, .07, .10},
		{2.5, .08, .11}, {3, .08, .11}, {4, .09, .12}, {5, .11, .13}, {6, .11, .13}, {18, .11, .13}, {20, .12, .14}, {24, .12, .14},
	} {
		s, ok := metal.StructuralMinimum(c.nps)
		require.True(t, ok, "NPS %g", c.nps)
		require.InDelta(t, c.minimum, s.MinimumMM/25.4, 1e-9, "NPS %g: %s", c.nps, source)
		require.InDelta(t, c.alert, s.AlertMM/25.4, 1e-9, "NPS %g: %s", c.nps, source)
	}
	for _, nps := range []float64{0, 0.25, 30, -1, math.NaN()} {
		_, ok := metal.StructuralMinimum(nps)
		require.False(t, ok, "NPS %g", nps)
	}
}

func TestThreadDepth(t *testing.T) {
	const source = "ASME B1.20.1, height 0.8 p in inches, from memory"
	for nps, want := range map[float64]float64{0.5: .05714, 0.75: .05714, 1: .06957, 2: .06957, 2.5: .10000, 12: .10000} {
		got, ok := metal.ThreadDepth(nps)
		require.True(t, ok)
		require.InDelta(t, want, got/25.4, 5e-6, "NPS %g: %s", nps, source)
	}
	for _, nps := range []float64{0.25, 30, math.NaN()} {
		_, ok := metal.ThreadDepth(nps)
		require.False(t, ok)
	}
}

func TestRequired(t *testing.T) {
	for _, c := range []struct {
		name  string
		needs metal.Needs
		want  float64
		basis metal.Basis
	}{
		{"building pressure: the structure governs", metal.Needs{new(0.7), new(2.8), 0}, 2.8, metal.ForStructure},
		{"high pressure", metal.Needs{new(4.0), new(2.8), 0}, 4.0, metal.ForPressure},
		{"thread adds to the pressure only", metal.Needs{new(0.1), new(1.778), 1.451}, 1.778, metal.ForStructure},
		{"thread tips it", metal.Needs{new(0.5), new(1.778), 1.451}, 1.951, metal.ForPressure},
		{"no pressure known", metal.Needs{nil, new(2.8), 1.451}, 2.8, metal.ForStructure},
		{"no structural minimum known", metal.Needs{new(0.7), nil, 0}, 0.7, metal.ForPressure},
	} {
		got, basis, ok := c.needs.Required()
		require.True(t, ok, c.name)
		require.InDelta(t, c.want, got, 1e-9, c.name)
		require.Equal(t, c.basis, basis, c.name)
	}
	for name, needs := range map[string]metal.Needs{
		"neither":           {},
		"pressure missing":  {new(math.NaN()), new(2.8), 0},
		"structure missing": {new(1.0), new(math.NaN()), 0},
		"negative pressure": {new(-1.0), new(2.8), 0},
		"negative thread":   {new(1.0), new(2.8), -1},
		"thread missing":    {new(1.0), new(2.8), math.NaN()},
	} {
		_, _, ok := needs.Required()
		require.False(t, ok, name)
	}
}

// atPressure is NPS 6 seamless pipe.
func atPressure(mpa float64) metal.PressureDesign {
	return metal.PressureDesign{PressureMPa: mpa, ODMM: 168.3, StressMPa: metal.StressSeamlessB, E: 1, W: 1, Y: metal.FerriticY}
}

func TestPressureThicknessRefuses(t *testing.T) {
	require.Zero(t, atPressure(0).Thickness())
	for name, change := range map[string]func(*metal.PressureDesign){
		"negative pressure": func(p *metal.PressureDesign) { p.PressureMPa = -1 },
		"no pressure":       func(p *metal.PressureDesign) { p.PressureMPa = math.NaN() },
		"no diameter":       func(p *metal.PressureDesign) { p.ODMM = 0 },
		"no stress":         func(p *metal.PressureDesign) { p.StressMPa = 0 },
		"no quality factor": func(p *metal.PressureDesign) { p.E = 0 },
		"no weld factor":    func(p *metal.PressureDesign) { p.W = math.NaN() },
		"no Y":              func(p *metal.PressureDesign) { p.Y = 0 },
	} {
		p := atPressure(1)
		change(&p)
		require.True(t, math.IsNaN(p.Thickness()), name)
	}
}

func TestRequiredRisesWithPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0, 10).Draw(t, "low")
		high := low + rapid.Float64Range(0.01, 10).Draw(t, "more")
		require.Greater(t, atPressure(high).Thickness(), atPressure(low).Thickness())
		thread := rapid.Float64Range(0, 3).Draw(t, "thread")
		at := func(mpa float64) float64 {
			structural, _ := metal.StructuralMinimum(6)
			required, _, ok := metal.Needs{new(atPressure(mpa).Thickness()), &structural.MinimumMM, thread}.Required()
			require.True(t, ok)
			require.GreaterOrEqual(t, required, structural.MinimumMM)
			return required
		}
		require.GreaterOrEqual(t, at(high), at(low))
	})
}

func TestClassLimits(t *testing.T) {
	const source = "API 570 Table 2, as quoted in a public record"
	for class, want := range map[int][2]float64{1: {5, 5}, 2: {10, 5}, 3: {10, 10}} {
		limits, ok := metal.ClassLimits(class)
		require.True(t, ok)
		require.Equal(t, want, [2]float64{*limits.Thickness, *limits.Visual}, "class %d: %s", class, source)
	}
	own, ok := metal.ClassLimits(4)
	require.True(t, ok)
	require.Nil(t, own.Thickness)
	require.Nil(t, own.Visual)
	for _, class := range []int{0, 5, -1} {
		_, ok := metal.ClassLimits(class)
		require.False(t, ok)
	}
}

func TestERWStress(t *testing.T) {
	require.InDelta(t, 12800, metal.StressERWB/0.00689475729316836, 1, "ASME B31.9, 12 800 psi, from memory")
	require.InDelta(t, 20000, metal.StressSeamlessB/0.00689475729316836, 2, "ASME B31.3, 20 000 psi")
}
