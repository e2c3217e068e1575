package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

func TestClasses(t *testing.T) {
	for loss, want := range map[float64]string{0: "C1", 1.3: "C1", 1.31: "C2", 25: "C2", 50: "C3", 80: "C4", 200: "C5", 201: "CX", 900: "CX", -1: ""} {
		require.Equal(t, want, metal.Category(loss), "%g um: ISO 9223:2012, carbon steel", loss)
	}
	for hours, want := range map[float64]string{0: "T1", 10: "T1", 250: "T2", 2500: "T3", 5500: "T4", 5501: "T5", 8784: "T5", 8785: "", -1: ""} {
		require.Equal(t, want, metal.WetnessClass(hours), "%g h: ISO 9223:1992", hours)
	}
	require.Empty(t, metal.Category(math.NaN()))
	require.Empty(t, metal.WetnessClass(math.NaN()))
}

func TestFirstYearLossRefuses(t *testing.T) {
	good := metal.Atmosphere{TempC: 10, RelHumidity: 0.75, SO2: 10, Chloride: 3}
	require.True(t, good.InRange())
	for name, change := range map[string]func(*metal.Atmosphere){
		"humidity in percent": func(a *metal.Atmosphere) { a.RelHumidity = 75 },
		"humidity missing":    func(a *metal.Atmosphere) { a.RelHumidity = math.NaN() },
		"temperature missing": func(a *metal.Atmosphere) { a.TempC = math.NaN() },
		"negative SO2":        func(a *metal.Atmosphere) { a.SO2 = -1 },
		"negative chloride":   func(a *metal.Atmosphere) { a.Chloride = -1 },
	} {
		bad := good
		change(&bad)
		require.True(t, math.IsNaN(metal.FirstYearLoss(bad)), name)
		require.False(t, bad.InRange(), name)
	}
	cold := good
	cold.TempC = -18
	require.False(t, cold.InRange())
	require.False(t, math.IsNaN(metal.FirstYearLoss(cold)), "out of range it extrapolates and InRange says so")
}

func TestAtmosphereLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := metal.Atmosphere{
			TempC:       rapid.Float64Range(-17, 28).Draw(t, "c"),
			RelHumidity: rapid.Float64Range(0.34, 0.92).Draw(t, "rh"),
			SO2:         rapid.Float64Range(0.7, 150).Draw(t, "so2"),
			Chloride:    rapid.Float64Range(0.4, 760).Draw(t, "cl"),
		}
		loss := metal.FirstYearLoss(a)
		for _, worse := range []metal.Atmosphere{
			{a.TempC, a.RelHumidity + 0.01, a.SO2, a.Chloride},
			{a.TempC, a.RelHumidity, a.SO2 + 1, a.Chloride},
			{a.TempC, a.RelHumidity, a.SO2, a.Chloride + 1},
		} {
			require.Greater(t, metal.FirstYearLoss(worse), loss, "damper or dirtier air rusts faster")
		}
		require.InEpsilon(t, metal.FirstYearLoss(metal.Atmosphere{10, a.RelHumidity, a.SO2, a.Chloride}),
			metal.FirstYearLoss(metal.Atmosphere{10 + 1e-9, a.RelHumidity, a.SO2, a.Chloride}), 1e-6, "no step at 10 °C")

		years := rapid.Float64Range(0, 60).Draw(t, "years")
		now := metal.LongTermLoss(loss, years, metal.CarbonSteelB)
		require.Greater(t, metal.LongTermLoss(loss, years+0.1, metal.CarbonSteelB), now, "loss only grows")
		require.LessOrEqual(t, now, loss*max(1, years)+1e-9, "and slows down")
	})
}

func TestLongTermLoss(t *testing.T) {
	require.InDelta(t, 50, metal.LongTermLoss(50, 1, metal.CarbonSteelB), 1e-12, "one year is the first-year loss")
	require.InDelta(t, metal.LongTermLoss(50, 20, metal.CarbonSteelB), metal.LongTermLoss(50, 20+1e-9, metal.CarbonSteelB), 1e-6, "no step at 20 years")
	yearly := metal.LongTermLoss(50, 31, metal.CarbonSteelB) - metal.LongTermLoss(50, 30, metal.CarbonSteelB)
	require.InDelta(t, 50*0.523*math.Pow(20, 0.523-1), yearly, 1e-9, "steady beyond 20 years, ISO 9224, from memory")
	require.True(t, math.IsNaN(metal.LongTermLoss(50, -1, metal.CarbonSteelB)))
	require.True(t, math.IsNaN(metal.LongTermLoss(50, math.NaN(), metal.CarbonSteelB)))
}
