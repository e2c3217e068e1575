package air_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/unit"
)

func drawTemp(t *rapid.T, name string, low, high float64) unit.Celsius {
	return unit.Celsius(rapid.Float64Range(low, high).Draw(t, name))
}

func drawRH(t *rapid.T) unit.Fraction {
	return unit.Fraction(rapid.Float64Range(0.01, 1).Draw(t, "rh"))
}

func drawPressure(t *rapid.T) unit.Pascal {
	return unit.Pascal(rapid.Float64Range(60000, 110000).Draw(t, "p"))
}

func TestSaturationRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := drawTemp(t, "low", -100, 199)
		high := low + unit.Celsius(rapid.Float64Range(0.01, 1).Draw(t, "step"))
		require.Less(t, air.SatPressure(low), air.SatPressure(high))
	})
}

func TestDewPointNeverAboveDryBulb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry := drawTemp(t, "t", -40, 120)
		dew := air.DewPoint(dry, drawRH(t))
		require.LessOrEqual(t, dew, dry)
		require.Equal(t, dry, air.DewPoint(dry, 1), "saturated air condenses where it is")
	})
}

// The two branches differ by 0.01 % where ice meets water, so the way back is
// exact only off that point.
func TestDewPointAndRelHumidityAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry, rh := drawTemp(t, "t", -40, 120), drawRH(t)
		dew := air.DewPoint(dry, rh)
		tolerance := 1e-9
		if math.Abs(float64(dew)-0.01) < 1e-3 {
			tolerance = 1e-4
		}
		require.InEpsilon(t, float64(rh), float64(air.RelHumidityFromDewPoint(dry, dew)), tolerance)
		require.InDelta(t, float64(dew), float64(air.DewPointFromPressure(air.VaporPressure(dry, rh))), 1e-3)
	})
}

func TestWetBulbBetweenDewPointAndDryBulb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry, rh, p := drawTemp(t, "t", -40, 60), drawRH(t), drawPressure(t)
		bulb := air.WetBulb(dry, rh, p)
		require.LessOrEqual(t, bulb, dry+1e-9)
		require.GreaterOrEqual(t, bulb, air.DewPoint(dry, rh)-1e-9)
	})
}

func TestWetBulbAndRelHumidityAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry, rh, p := drawTemp(t, "t", -30, 60), drawRH(t), drawPressure(t)
		bulb := air.WetBulb(dry, rh, p)
		require.InDelta(t, float64(rh), float64(air.RelHumidityFromWetBulb(dry, bulb, p)), 1e-6)
	})
}

func TestHumidityRatioAndVaporPressureAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t)
		pw := unit.Pascal(rapid.Float64Range(1, 50000).Draw(t, "pw"))
		require.InEpsilon(t, float64(pw), float64(air.VaporPressureFromRatio(air.HumidityRatio(pw, p), p)), 1e-12)
	})
}

func TestDensityFallsWithHeatAndVapor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cold, p := drawTemp(t, "t", -30, 50), drawPressure(t)
		rh := unit.Fraction(rapid.Float64Range(0, 0.9).Draw(t, "rh"))
		require.Greater(t, air.Density(cold, rh, p), air.Density(cold+1, rh, p))
		require.GreaterOrEqual(t, air.Density(cold, rh, p), air.Density(cold, rh+0.1, p))
	})
}

func TestPressureFallsWithAltitude(t *testing.T) {
	require.Equal(t, unit.Pascal(101325), air.PressureAtAltitude(0))
	rapid.Check(t, func(t *rapid.T) {
		z := unit.Meter(rapid.Float64Range(-500, 10999).Draw(t, "z"))
		require.Greater(t, air.PressureAtAltitude(z), air.PressureAtAltitude(z+1))
	})
}

func TestLatentHeat(t *testing.T) {
	cases := []struct {
		name   string
		t      unit.Celsius
		want   float64
		source string
	}{
		{"water at 0 C", 0, 2501e3, "constant of ASHRAE 2017 ch. 1 eq 33"},
		{"water at 25 C", 25, 2442.3e3, "steam tables give 2442.3 kJ/kg at 25 C (from memory)"},
		{"frost at -20 C", -20, 2834.8e3, "constants of ASHRAE 2017 ch. 1 eq 35; ice tables 2838 kJ/kg (from memory)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			require.InEpsilon(t, c.want, float64(air.LatentHeat(c.t)), 5e-4, c.source)
		})
	}
}

func TestDryAir(t *testing.T) {
	require.Zero(t, air.VaporPressure(25, 0))
	require.Equal(t, unit.KgPerKg(1e-7), air.HumidityRatioFromRH(25, 0, 101325))
	require.InDelta(t, 8.0, float64(air.WetBulb(25, 0, 101325)), 0.3, "dry air at 25 C: about 8 C on a chart (from memory)")
}

func TestOutOfRangeIsNaN(t *testing.T) {
	nan := math.NaN()
	cases := map[string]float64{
		"saturation below range":           float64(air.SatPressure(-100.1)),
		"saturation above range":           float64(air.SatPressure(200.1)),
		"saturation of NaN":                float64(air.SatPressure(unit.Celsius(nan))),
		"saturation of Inf":                float64(air.SatPressure(unit.Celsius(math.Inf(1)))),
		"humidity above 1":                 float64(air.VaporPressure(20, 1.01)),
		"humidity below 0":                 float64(air.VaporPressure(20, -0.01)),
		"humidity NaN":                     float64(air.VaporPressure(20, unit.Fraction(nan))),
		"dew point of dry air":             float64(air.DewPoint(20, 0)),
		"dew point below range":            float64(air.DewPoint(-99, 0.1)),
		"dew point of no vapor":            float64(air.DewPointFromPressure(0)),
		"dew point of NaN":                 float64(air.DewPointFromPressure(unit.Pascal(nan))),
		"dew point above range":            float64(air.DewPointFromPressure(2e6)),
		"negative vapor pressure":          float64(air.RelHumidity(20, -1)),
		"ratio of vapor alone":             float64(air.HumidityRatio(101325, 101325)),
		"ratio at infinite pressure":       float64(air.HumidityRatio(1000, unit.Pascal(math.Inf(1)))),
		"pressure of negative ratio":       float64(air.VaporPressureFromRatio(-1e-3, 101325)),
		"wet bulb above dry bulb":          float64(air.HumidityRatioFromWetBulb(20, 20.1, 101325)),
		"wet bulb of impossible air":       float64(air.WetBulb(20, 2, 101325)),
		"wet bulb without pressure":        float64(air.WetBulb(20, 0.5, 0)),
		"humidity from wet bulb above dry": float64(air.RelHumidityFromWetBulb(20, 21, 101325)),
		"density above boiling":            float64(air.Density(120, 1, 101325)),
		"altitude above range":             float64(air.PressureAtAltitude(11001)),
		"altitude below range":             float64(air.PressureAtAltitude(-501)),
		"latent heat above range":          float64(air.LatentHeat(201)),
	}
	for name, got := range cases {
		require.True(t, math.IsNaN(got), "%s: got %v", name, got)
	}
}
