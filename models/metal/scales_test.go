package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

func TestD610Bands(t *testing.T) {
	const source = "ASTM D610-08 (2012), Table 1"
	for _, c := range []struct {
		grade     metal.D610
		low, high float64
	}{
		{10, 0, 0.01}, {9, 0.01, 0.03}, {8, 0.03, 0.1}, {7, 0.1, 0.3}, {6, 0.3, 1}, {5, 1, 3},
		{4, 3, 10}, {3, 10, 16}, {2, 16, 33}, {1, 33, 50}, {0, 50, 100},
	} {
		low, high, ok := c.grade.Band()
		require.True(t, ok)
		require.Equal(t, []float64{c.low, c.high}, []float64{low, high}, source)
		at, ok := metal.D610Of(high)
		require.True(t, ok)
		require.Equal(t, c.grade, at, "the upper end belongs to the grade: %s", source)
	}
	for _, grade := range []metal.D610{-1, 11} {
		_, _, ok := grade.Band()
		require.False(t, ok)
		_, ok = grade.Ri()
		require.False(t, ok)
	}
}

func TestRiByArea(t *testing.T) {
	for _, c := range []struct {
		ri        metal.Ri
		low, high float64
		d610      metal.D610 // by equal area
		annex     metal.D610 // ISO 4628-3 Annex B, from memory
	}{
		{0, 0, 0, 10, 10}, {1, 0.05, 0.05, 8, 9}, {2, 0.5, 0.5, 6, 7},
		{3, 1, 1, 6, 6}, {4, 8, 8, 4, 4}, {5, 40, 50, 1, 1},
	} {
		low, high, ok := c.ri.Area()
		require.True(t, ok)
		require.Equal(t, []float64{c.low, c.high}, []float64{low, high}, "ISO 4628-3:2016 Table 1, from memory")
		d610, ok := c.ri.D610()
		require.True(t, ok)
		require.Equal(t, c.d610, d610, "by area")
		annex, ok := c.ri.AnnexD610()
		require.True(t, ok)
		require.Equal(t, c.annex, annex)
	}
	for _, ri := range []metal.Ri{-1, 6} {
		_, _, area := ri.Area()
		_, byArea := ri.D610()
		_, annex := ri.AnnexD610()
		require.False(t, area || byArea || annex)
	}
}

// TestD610ToRi holds the table against the areas it is said to come from: the
// worst degree in the band, else the first degree above the band.
func TestD610ToRi(t *testing.T) {
	for grade := metal.D610(0); grade <= 10; grade++ {
		low, high, _ := grade.Band()
		want := metal.Ri(5)
		for ri := metal.Ri(5); ri >= 0; ri-- {
			if area, _, _ := ri.Area(); area > low || area == 0 && low == 0 {
				want = ri
				if area <= high {
					break
				}
			}
		}
		got, ok := grade.Ri()
		require.True(t, ok)
		require.Equal(t, want, got, "D610 %d", grade)
	}
}

func TestRiOf(t *testing.T) {
	for area, want := range map[float64]metal.Ri{0: 0, 0.005: 1, 0.05: 1, 0.06: 2, 0.5: 2, 1: 3, 1.1: 4, 8: 4, 9: 5, 45: 5, 100: 5} {
		got, ok := metal.RiOf(area)
		require.True(t, ok)
		require.Equal(t, want, got, "%g %%", area)
	}
	for _, area := range []float64{-0.1, 100.1, math.NaN()} {
		_, ri := metal.RiOf(area)
		_, d610 := metal.D610Of(area)
		require.False(t, ri || d610, "%g %%", area)
	}
}

func TestGradesFollowArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small := rapid.Float64Range(0, 100).Draw(t, "small")
		large := rapid.Float64Range(small, 100).Draw(t, "large")
		d610Small, _ := metal.D610Of(small)
		d610Large, _ := metal.D610Of(large)
		require.GreaterOrEqual(t, d610Small, d610Large, "more rust, lower D610")
		riSmall, _ := metal.RiOf(small)
		riLarge, _ := metal.RiOf(large)
		require.LessOrEqual(t, riSmall, riLarge, "more rust, higher Ri")
		low, high, ok := d610Small.Band()
		require.True(t, ok && small >= low && small <= high, "an area lies in the band of its grade")
	})
}

func TestRustOn(t *testing.T) {
	for _, c := range []struct {
		scale metal.RustScale
		value float64
		want  metal.Rust
	}{
		{metal.ByArea, 0.4, metal.Rust{LowPct: 0.4, HighPct: 0.4, D610: 6, Ri: 2, D610Derived: true, RiDerived: true}},
		{metal.ByD610, 4, metal.Rust{LowPct: 3, HighPct: 10, D610: 4, Ri: 4, AreaDerived: true, RiDerived: true}},
		{metal.ByRi, 5, metal.Rust{LowPct: 40, HighPct: 50, D610: 1, Ri: 5, AreaDerived: true, D610Derived: true}},
	} {
		got, ok := metal.RustOn(c.scale, c.value)
		require.True(t, ok)
		require.Equal(t, c.want, got)
	}
	for _, c := range []struct {
		scale metal.RustScale
		value float64
	}{
		{metal.ByArea, 101},
		{metal.ByD610, 11},
		{metal.ByD610, 4.5},
		{metal.ByRi, 6},
		{metal.ByRi, 2.5},
		{metal.ByRi, math.NaN()},
		{"iso8501", 1},
		{"", 1},
	} {
		_, ok := metal.RustOn(c.scale, c.value)
		require.False(t, ok, "%s %g", c.scale, c.value)
	}
}

func TestISO8501(t *testing.T) {
	for _, g := range []metal.ISO8501{"A", "B", "C", "D"} {
		require.NotEmpty(t, g.Meaning())
	}
	require.Empty(t, metal.ISO8501("E").Meaning())
}

func TestPreparation(t *testing.T) {
	const source = "SSPC and ISO 8501-1 comparison"
	for sspc, iso := range map[string]string{
		"SSPC-SP 2": "St 2", "SSPC-SP 3": "St 3", "SSPC-SP 7": "Sa 1", "SSPC-SP 6": "Sa 2",
		"SSPC-SP 10": "Sa 2 1/2", "SSPC-SP 5": "Sa 3", "SSPC-SP 11": "", "SSPC-SP 15": "",
	} {
		p, ok := metal.PreparationNamed(sspc)
		require.True(t, ok, sspc)
		require.Equal(t, iso, p.ISO, source)
		if iso != "" {
			back, ok := metal.PreparationNamed(iso)
			require.True(t, ok)
			require.Equal(t, sspc, back.SSPC, source)
		}
	}
	require.Len(t, metal.Preparations(), 8)
	for _, name := range []string{"", "SSPC-SP 1", "Sa"} {
		_, ok := metal.PreparationNamed(name)
		require.False(t, ok, name)
	}
}

func TestPitClasses(t *testing.T) {
	const source = "ASTM G46 chart, from memory"
	for depth, want := range map[float64]int{0: 0, 0.1: 1, 0.4: 1, 0.5: 2, 0.8: 2, 1.6: 3, 3.2: 4, 6.4: 5, 9: 5} {
		got, ok := metal.PitDepthClass(depth)
		require.True(t, ok)
		require.Equal(t, want, got, "%g mm: %s", depth, source)
	}
	for count, want := range map[float64]int{0: 0, 2500: 1, 1e4: 2, 5e4: 3, 1e5: 4, 5e5: 5, 1e6: 5} {
		got, ok := metal.PitCountClass(count)
		require.True(t, ok)
		require.Equal(t, want, got, "%g per m2: %s", count, source)
	}
	for _, bad := range []float64{-1, math.NaN()} {
		_, depth := metal.PitDepthClass(bad)
		_, count := metal.PitCountClass(bad)
		require.False(t, depth || count)
	}
}
