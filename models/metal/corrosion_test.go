package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

func celsius(f float64) float64 { return (f - 32) / 1.8 }

// TestRateTable reads the published table back, row by row.
func TestRateTable(t *testing.T) {
	for _, row := range []struct{ f, severe, moderate, mild, dry float64 }{
		{10, 0, 0, 0, 0}, {18, 3, 1, 0, 0}, {43, 10, 5, 3, 1}, {90, 10, 5, 3, 1}, {160, 20, 10, 5, 2},
		{225, 10, 5, 1, 1}, {275, 10, 2, 1, 0}, {325, 5, 1, 0, 0}, {350, 0, 0, 0, 0},
	} {
		for driver, mpy := range map[metal.Driver]float64{
			metal.Severe: row.severe, metal.Moderate: row.moderate, metal.Mild: row.mild, metal.Dry: row.dry,
		} {
			require.InDelta(t, mpy, metal.Mpy(metal.TableRate(celsius(row.f), driver)), 1e-9,
				"%g °F %s: API RP 581 Part 2 Table 16.2", row.f, driver)
		}
	}
}

func TestTableRateEnds(t *testing.T) {
	for _, d := range metal.Drivers() {
		for _, c := range []float64{-273, -40, celsius(9), celsius(351), 1000, math.Inf(1), math.Inf(-1)} {
			require.Zero(t, metal.TableRate(c, d), "%g °C", c)
		}
		require.True(t, math.IsNaN(metal.TableRate(math.NaN(), d)))
	}
	require.True(t, math.IsNaN(metal.TableRate(7, "")))
	require.True(t, math.IsNaN(metal.TableRate(7, "wet")))
}

func TestRateLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-50, 250).Draw(t, "c")
		below := 0.0
		for _, d := range metal.Drivers() {
			rate := metal.TableRate(c, d)
			require.GreaterOrEqual(t, rate, below, "a wetter class never rusts slower")
			require.LessOrEqual(t, rate, metal.MMPerYear(20), "no more than the table's largest")
			near := metal.TableRate(c+1e-6, d)
			require.InDelta(t, rate, near, 1e-6, "no steps")
			below = rate
		}
		cold := metal.Season{Hours: rapid.Float64Range(1, 8760).Draw(t, "h"), MetalC: c}
		hot := metal.Season{Hours: rapid.Float64Range(0, 8760).Draw(t, "h2"), MetalC: 60}
		mixed := metal.SeasonRate([]metal.Season{cold, hot}, metal.Mild)
		a, b := metal.TableRate(c, metal.Mild), metal.TableRate(60, metal.Mild)
		require.GreaterOrEqual(t, mixed, min(a, b)-1e-12)
		require.LessOrEqual(t, mixed, max(a, b)+1e-12)
		require.InDelta(t, a, metal.SeasonRate([]metal.Season{cold}, metal.Mild), 1e-12)
	})
}

func TestSeasonRate(t *testing.T) {
	half := metal.SeasonRate([]metal.Season{{Hours: 4380, MetalC: celsius(43)}, {Hours: 4380, MetalC: celsius(160)}}, metal.Severe)
	require.InDelta(t, 15, metal.Mpy(half), 1e-9, "arithmetic: half a year at 10 mpy, half at 20")
	for _, bad := range [][]metal.Season{
		nil,
		{{Hours: 0, MetalC: 7}},
		{{Hours: -1, MetalC: 7}},
		{{Hours: math.NaN(), MetalC: 7}},
		{{Hours: 1, MetalC: math.NaN()}},
	} {
		require.True(t, math.IsNaN(metal.SeasonRate(bad, metal.Mild)))
	}
}

func TestDriverOf(t *testing.T) {
	const source = "API RP 581 Part 2, 15.6.2: mild < 30 %, moderate 30 to 60 %, severe > 60 %"
	for share, want := range map[float64]metal.Driver{
		0: metal.Mild, 0.2999: metal.Mild, 0.30: metal.Moderate, 0.60: metal.Moderate, 0.6001: metal.Severe, 1: metal.Severe,
		-0.1: "", 1.1: "",
	} {
		require.Equal(t, want, metal.DriverOf(share, true), "%g: %s", share, source)
	}
	require.Equal(t, metal.Dry, metal.DriverOf(0.9, false))
	require.Empty(t, metal.DriverOf(math.NaN(), true))
	require.Empty(t, metal.DriverOf(math.NaN(), false))
}

func TestCracking(t *testing.T) {
	const source = "API RP 581 Part 2 Table 18.2"
	for _, c := range []struct {
		f    float64
		want []metal.Susceptibility // dry, mild, moderate, severe
	}{
		{43, []metal.Susceptibility{"none", "none", "none", "none"}},
		{119.9, []metal.Susceptibility{"none", "none", "none", "none"}},
		{120, []metal.Susceptibility{"low", "medium", "high", "high"}},
		{200, []metal.Susceptibility{"low", "medium", "high", "high"}},
		{201, []metal.Susceptibility{"none", "low", "medium", "high"}},
		{300, []metal.Susceptibility{"none", "low", "medium", "high"}},
		{301, []metal.Susceptibility{"none", "none", "none", "none"}},
	} {
		for i, d := range metal.Drivers() {
			require.Equal(t, c.want[i], metal.Cracking(celsius(c.f), d), "%g °F %s: %s", c.f, d, source)
		}
	}
	require.Empty(t, metal.Cracking(math.NaN(), metal.Dry))
	require.Empty(t, metal.Cracking(60, "wet"))
}

func TestFactors(t *testing.T) {
	const source = "API RP 581 section 16, steps 0.75 / 1.0 / 1.25, from memory; cuts of this project"
	for _, c := range []struct {
		name string
		at   metal.Surroundings
		want metal.Applied
	}{
		{"nothing known", metal.Surroundings{}, metal.Applied{1.25, 1.25, 1.25, 1}},
		{"best", metal.Surroundings{metal.CellularGlass, new(0), metal.SealSound, false}, metal.Applied{0.75, 0.75, 0.75, 1}},
		{"one penetration", metal.Surroundings{metal.Fibrous, new(1), metal.SealSound, false}, metal.Applied{1.25, 0.75, 0.75, 1}},
		{"two", metal.Surroundings{metal.Nitrile, new(2), metal.SealRepaired, true}, metal.Applied{1, 1, 1, 2}},
		{"three", metal.Surroundings{metal.Polyethylene, new(3), metal.SealUnknown, true}, metal.Applied{1, 1, 1.25, 2}},
		{"four", metal.Surroundings{metal.Foam, new(4), metal.SealPoor, false}, metal.Applied{1, 1.25, 1.25, 1}},
	} {
		got := metal.DefaultFactors().At(c.at)
		require.Equal(t, c.want, got, "%s: %s", c.name, source)
		require.InDelta(t, c.want.Insulation*c.want.Complexity*c.want.Condition*c.want.Pooling, got.Product(), 1e-12)
	}
	require.True(t, math.IsNaN(metal.DefaultFactors().At(metal.Surroundings{Penetrations: new(-1)}).Product()))
	own := metal.DefaultFactors()
	own.Pooling = 3
	require.Equal(t, 3.0, own.At(metal.Surroundings{Pools: true}).Pooling, "the engineer may change a factor")
}

func TestCoating(t *testing.T) {
	const source = "API RP 581 Part 2, 17.6.3; API 581 (2000) Table N-4"
	for quality, years := range map[metal.CoatingQuality]float64{metal.NoCoating: 0, metal.MediumCoating: 5, metal.HighCoating: 15, "": 0, "other": 0} {
		require.Equal(t, years, metal.CoatingCredit(quality), source)
	}
	require.False(t, metal.CoatingSpent(2))
	require.True(t, metal.CoatingSpent(3))
	for _, c := range []struct{ from, to, coated, credit, want float64 }{
		{2020, 2025, 2000, 15, 5},   // credit long over
		{2020, 2025, 2015, 5, 5},    // just over
		{2020, 2025, 2018, 5, 2},    // ends in 2023
		{2020, 2025, 2018, 15, 0},   // outlasts the span
		{2020, 2025, 2022, 0, 3},    // nothing before the coating date
		{2025, 2020, 2000, 0, 0},    // reversed
		{2020, 2020.5, 2000, 5, .5}, // part of a year
	} {
		require.InDelta(t, c.want, metal.BareYears(c.from, c.to, c.coated, c.credit), 1e-9, "arithmetic")
	}
	require.True(t, math.IsNaN(metal.BareYears(2020, math.NaN(), 2000, 5)))
}
