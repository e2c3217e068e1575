package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

// Ozone monitor calibration, NIST Statistical Reference Datasets, "Norris".
var (
	norrisX = []float64{
		0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
		0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
		0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
	}
	norrisY = []float64{
		0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
		0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
		0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
	}
)

// Corrosion loss of copper-nickel in the sea (mg per dm² and day) against iron
// content (%): Draper and Smith, Applied Regression Analysis, 13 specimens.
// Data from memory; they reproduce every printed figure, lack of fit included.
var (
	ironPct = []float64{0.01, 0.48, 0.71, 0.95, 1.19, 0.01, 0.48, 1.44, 0.71, 1.96, 0.01, 1.44, 1.96}
	seaLoss = []float64{127.6, 124.0, 110.8, 103.9, 101.5, 130.1, 122.0, 92.3, 113.1, 83.7, 128.0, 91.4, 86.2}
)

func TestFitLinePublished(t *testing.T) {
	norris, ok := metal.FitLine(norrisX, norrisY)
	require.True(t, ok)
	sea, ok := metal.FitLine(ironPct, seaLoss)
	require.True(t, ok)
	const strd = "NIST StRD Norris, certified"
	const book = "Draper and Smith, printed digits"
	for _, c := range []struct {
		name      string
		got, want float64
		within    float64
		source    string
	}{
		{"slope", norris.Slope, 1.00211681802045, 1e-9 * 1.00211681802045, strd},
		{"intercept", norris.Intercept, -0.262323073774029, 1e-9 * 0.262323073774029, strd},
		{"residual SD", norris.ResidualSD, 0.884796396144373, 1e-9 * 0.884796396144373, strd},
		{"slope SE", norris.SlopeSE, 0.429796848199937e-3, 1e-9 * 0.429796848199937e-3, strd},
		{"intercept SE", norris.InterceptSE, 0.232818234301152, 1e-9 * 0.232818234301152, strd},
		{"slope", sea.Slope, -24.01989, 5e-6, book},
		{"residual SD", sea.ResidualSD, 3.05778, 5e-6, book},
	} {
		require.InDelta(t, c.want, c.got, c.within, "%s: %s", c.name, c.source)
	}
	require.Equal(t, 36, norris.N)
	require.InDelta(t, -24.01989+129.78660, sea.At(1), 1e-5, "intercept 129.78660, "+book)
}

func TestSlopeInterval(t *testing.T) {
	for _, c := range []struct {
		n     int
		level float64
		t     float64
	}{ // Student's t, NIST/SEMATECH e-Handbook 1.3.6.7.2
		{3, 0.90, 6.314},
		{4, 0.90, 2.920},
		{12, 0.90, 1.812},
		{13, 0.95, 2.201},
		{102, 0.90, 1.660},
	} {
		low, high := metal.Line{N: c.n, Slope: 5, SlopeSE: 1}.SlopeInterval(c.level)
		require.InDelta(t, 5-c.t, low, 5e-4)
		require.InDelta(t, 5+c.t, high, 5e-4)
	}
	for _, level := range []float64{0, 1, math.NaN()} {
		low, _ := metal.Line{N: 3, SlopeSE: 1}.SlopeInterval(level)
		require.True(t, math.IsNaN(low))
	}
}

func TestFitLineRefuses(t *testing.T) {
	for name, c := range map[string]struct{ x, y []float64 }{
		"nothing":      {nil, nil},
		"two points":   {[]float64{1, 2}, []float64{1, 2}},
		"two dates":    {[]float64{1, 1, 2}, []float64{1, 2, 3}},
		"unequal":      {[]float64{1, 2, 3}, []float64{1, 2}},
		"missing wall": {[]float64{1, 2, 3}, []float64{1, math.NaN(), 3}},
		"missing date": {[]float64{1, math.NaN(), 3}, []float64{1, 2, 3}},
		"infinite":     {[]float64{1, 2, 3}, []float64{1, math.Inf(1), 3}},
	} {
		_, ok := metal.FitLine(c.x, c.y)
		require.False(t, ok, name)
	}
}

func TestFitLineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		slope := rapid.Float64Range(-1, 1).Draw(t, "slope")
		x, y, shifted := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = 2000 + float64(i) + rapid.Float64Range(0, 0.9).Draw(t, "day")
			y[i] = 7 + slope*(x[i]-2000)
			shifted[i] = x[i] - 2000
		}
		exact, ok := metal.FitLine(x, y)
		require.True(t, ok)
		require.InDelta(t, slope, exact.Slope, 1e-9, "points on a line give the line back")
		require.InDelta(t, 0, exact.ResidualSD, 1e-9)

		y[rapid.IntRange(0, n-1).Draw(t, "which")] += rapid.Float64Range(-1, 1).Draw(t, "noise")
		calendar, _ := metal.FitLine(x, y)
		sinceFirst, _ := metal.FitLine(shifted, y)
		require.InDelta(t, sinceFirst.Slope, calendar.Slope, 1e-9, "the slope does not depend on year zero")
		require.InDelta(t, sinceFirst.SlopeSE, calendar.SlopeSE, 1e-9)
	})
}
