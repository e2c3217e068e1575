package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

func saturation(t unit.Celsius) unit.Pascal { return air.SatPressure(t) }

// saturatedHours counts the hours in which air holds all it can.
func saturatedHours(year climate.Hourly, dew []unit.Celsius) float64 {
	n := 0.0
	for i, h := range year.Hours {
		if h.T-dew[i] < 1e-6 {
			n++
		}
	}
	return n
}

// thinYear is a year of every 19th hour, so that full solutions take no minutes
// and every hour of the day comes in.
type thinYear struct {
	climate.Hourly
	prepared *heat.SurfaceYear
	dew      []unit.Celsius
	slack    float64 // hours by which rounding may differ
}

func thinYears(t *testing.T) []thinYear {
	var years []thinYear
	for _, name := range []string{"climates/room_open.csv", "climates/outdoor_open.csv"} {
		year := readTable(t, name)
		var thin []climate.Hour
		for i := 0; i < len(year.Hours); i += 19 {
			thin = append(thin, year.Hours[i])
		}
		year.Hours = thin
		dew := year.DewPoints()
		years = append(years, thinYear{year, prepare(t, year), dew, math.Min(1, saturatedHours(year, dew))})
	}
	return years
}

// The hours without root finding are those of the full solution of every hour,
// give or take one hour if any is saturated: there both sides of the balance
// are 0 and rounding decides.
func TestHoursEqualTheFullSolution(t *testing.T) {
	years := thinYears(t)
	rapid.Check(t, func(t *rapid.T) {
		year := years[rapid.IntRange(0, len(years)-1).Draw(t, "year")]
		c := drawCylinder(t)
		c.Fluid = unit.Celsius(draw(t, "cold", -10, 20))
		if rapid.Bool().Draw(t, "inside") {
			c.Inner = draw(t, "inner", 0, 0.1)
		}
		speed := unit.MPerS(rapid.SampledFrom([]float64{0, 0, 0.3, 2}).Draw(t, "speed"))
		require.InDelta(t, float64(solvedHours(year.Hourly, year.dew, c, speed)), float64(year.prepared.Hours(c, speed)), year.slack)
	})
}

func TestHoursOfAFlatFaceEqualTheFullSolution(t *testing.T) {
	years := thinYears(t)
	rapid.Check(t, func(t *rapid.T) {
		year := years[rapid.IntRange(0, len(years)-1).Draw(t, "year")]
		f := drawFlat(t)
		f.Fluid = unit.Celsius(draw(t, "cold", -10, 20))
		speed := unit.MPerS(rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "speed"))
		want := 0.0
		for i, h := range year.Hours {
			if f.Solve(heat.Room{Air: h.T, Pressure: year.Pressure, Speed: speed}).Condenses(year.dew[i]) {
				want++
			}
		}
		require.InDelta(t, want, float64(year.prepared.HoursFlat(f, speed)), year.slack)
	})
}

// The whole years, one layer, still air.
func TestHoursOfAWholeYearEqualTheFullSolution(t *testing.T) {
	for _, name := range []string{"climates/room_open.csv", "climates/outdoor_open.csv"} {
		year := readTable(t, name)
		prepared, dew := prepare(t, year), year.DewPoints()
		slack := math.Min(1, saturatedHours(year, dew))
		for _, c := range fleet(4) {
			require.InDelta(t, float64(solvedHours(year, dew, c, 0)), float64(prepared.Hours(c, 0)), slack)
		}
	}
}

func TestSaturatedHoursWetEveryColdSurface(t *testing.T) {
	dry := []unit.Celsius{20, 20, 5, 6, 4}
	vapor := make([]unit.Pascal, len(dry))
	for i, at := range dry {
		vapor[i] = saturation(at)
	}
	vapor[1] = 0 // dry air has no dew point
	year, err := heat.NewSurfaceYear(dry, vapor, 101325)
	require.NoError(t, err)
	c := heat.Cylinder{Fluid: 5, Diameter: 0.1, Emissivity: 0.9, Layers: []heat.Layer{
		{Thickness: 0.5, K: heat.Conductivity{AtZero: 0.02}},
	}}
	require.Equal(t, unit.Hours(2), year.Hours(c, 0), "20 and 6 °C; at 5 °C the fluid is as warm")
	require.Equal(t, unit.Hours(2), year.Hours(c, 1))
	require.Equal(t, unit.Hours(5), year.Count())
	c.Fluid = -120
	require.True(t, math.IsNaN(float64(year.Hours(c, 0))))
}

func TestHoursAreMonotone(t *testing.T) {
	prepared := prepare(t, readTable(t, "climates/room_open.csv"))
	rapid.Check(t, func(t *rapid.T) {
		c := drawCylinder(t)
		c.Fluid, c.Layers = unit.Celsius(draw(t, "cold", -10, 20)), c.Layers[:1]
		hours := prepared.Hours(c, 0)
		colder, duller, thicker := c, c, c
		colder.Fluid--
		require.GreaterOrEqual(t, prepared.Hours(colder, 0), hours)
		duller.Emissivity = 1
		require.LessOrEqual(t, prepared.Hours(duller, 0), hours)
		layer := c.Layers[0]
		layer.Thickness += 0.005
		thicker.Layers = []heat.Layer{layer}
		require.LessOrEqual(t, prepared.Hours(thicker, 0), hours)
	})
}

func TestSurfaceYearRefuses(t *testing.T) {
	for _, c := range []struct {
		name     string
		dry      []unit.Celsius
		vapor    []unit.Pascal
		pressure unit.Pascal
		want     string
	}{
		{"lengths", []unit.Celsius{20}, nil, 101325, "1 temperatures but 0 vapor pressures"},
		{"pressure", nil, nil, 0, "a station pressure of 0 Pa"},
		{"supersaturated", []unit.Celsius{20, 20}, []unit.Pascal{1000, 2400}, 101325, "hour 1: 2400 Pa of vapor in air of 20 °C"},
		{"missing", []unit.Celsius{unit.Celsius(math.NaN())}, []unit.Pascal{1000}, 101325, "hour 0"},
		{"missing vapor", []unit.Celsius{20}, []unit.Pascal{unit.Pascal(math.NaN())}, 101325, "hour 0"},
	} {
		_, err := heat.NewSurfaceYear(c.dry, c.vapor, c.pressure)
		require.ErrorContains(t, err, c.want, c.name)
	}
	empty, err := heat.NewSurfaceYear(nil, nil, 101325)
	require.NoError(t, err)
	require.Zero(t, empty.Hours(fleet(1)[0], 0))
	require.Zero(t, empty.Compare(fleet(1)[0], 0.9, 0))
}

// The sum by nodes is that of every hour within the error that CoveredHeat states.
func TestCoveredHeatEqualsEveryHour(t *testing.T) {
	years := thinYears(t)
	rapid.Check(t, func(t *rapid.T) {
		year := years[rapid.IntRange(0, len(years)-1).Draw(t, "year")]
		c := drawCylinder(t)
		c.Fluid = unit.Celsius(draw(t, "cold", -10, 30))
		speed := unit.MPerS(rapid.SampledFrom([]float64{0, 0, 1}).Draw(t, "speed"))
		gain, loss := 0.0, 0.0
		for _, h := range year.Hours {
			q := float64(c.Solve(heat.Room{Air: h.T, Pressure: year.Pressure, Speed: speed}).PerMeter) / 1000
			gain += math.Max(0, q)
			loss += math.Max(0, -q)
		}
		got := year.prepared.CoveredHeat(c, speed)
		require.InDelta(t, gain, got.GainKWh, 0.002*(gain+loss))
		require.InDelta(t, loss, got.LossKWh, 0.002*(gain+loss))
	})
}

// BareHeat is the sum of every hour, and a cover keeps most of it out.
func TestCompare(t *testing.T) {
	year := readTable(t, "climates/room_open.csv")
	prepared := prepare(t, year)
	c := heat.Cylinder{Fluid: 6, Diameter: 0.1143, Emissivity: 0.9, Layers: []heat.Layer{
		{Thickness: 0.025, K: heat.Conductivity{AtZero: 0.035, PerK: 1e-4}},
	}}
	bare := heat.Bare{Fluid: 6, Size: 0.1143, Emissivity: 0.85}
	want := 0.0
	for _, h := range year.Hours {
		want += math.Max(0, float64(bare.Solve(heat.Room{Air: h.T, Pressure: year.Pressure}, h.Vapor).Total())) / 1000
	}
	require.InEpsilon(t, want, prepared.BareHeat(bare, 0).GainKWh, 1e-9)
	got := prepared.Compare(c, 0.85, 0)
	require.InEpsilon(t, want*math.Pi*0.1143, got.Bare.GainKWh, 1e-9)
	require.InDelta(t, got.Bare.GainKWh-got.Covered.GainKWh, got.SavedKWh(), 1e-9)
	require.Greater(t, got.Bare.GainKWh, 5*got.Covered.GainKWh)
	require.True(t, math.IsNaN(prepared.Compare(c, 2, 0).Bare.GainKWh), "emissivity of the metal")
}
