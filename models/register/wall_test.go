package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/metal"
)

func wallFile(required *float64, points map[string][]float64) models.CoverFile {
	file := models.CoverFile{Score: &models.Score{RequiredMM: required}}
	days := []models.Date{"2018-01-01", "2022-01-01", "2026-01-01"}
	for i, on := range days {
		for name, walls := range points {
			if i < len(walls) {
				file.Readings = append(file.Readings, models.ThicknessReading{Point: name, On: on, Value: walls[i], Unit: "mm"})
			}
		}
	}
	return file
}

// 7.1 - 2.8 mm of margin at 0.25 mm a year: the rate is the loss of 1.0 mm over
// four mean years (arithmetic); the interval is metal's.
func TestWallPointsFollowTheMeasuredRate(t *testing.T) {
	points := WallPoints(wallFile(new(2.8), map[string][]float64{"6 o'clock": {6, 5, 4}, "12 o'clock": {7, 7, 7}}), metal.DefaultGaugeErrorMM)
	require.Len(t, points, 2)
	require.Equal(t, "12 o'clock", points[0].Name, "by name")
	require.Nil(t, points[0].Rate, "no loss, no rate")
	require.Empty(t, points[0].Trend)

	p := points[1]
	require.InDelta(t, 0.25, p.Rate.Mid, 1e-3)
	require.InDelta(t, 1.645*0.13, p.ErrorMM, 1e-3)
	require.InDelta(t, (4-2.8)/p.Rate.Mid, p.Meets.On.YearsSince("2026-01-01"), 0.01)
	require.Less(t, p.Meets.Early, p.Meets.On)
	require.Less(t, p.Meets.On, p.Meets.Late)
	require.InDelta(t, 4, p.Trend[1].Mid, 1e-9, "through the last reading")
	require.Less(t, p.Trend[2].Mid, 2.8, "drawn past the required wall")
	for _, d := range p.Trend {
		require.LessOrEqual(t, d.Low, d.Mid)
		require.LessOrEqual(t, d.Mid, d.Hi)
	}
}

func TestWallPointsClaimNothing(t *testing.T) {
	tests := []struct {
		name     string
		required *float64
		walls    []float64
		rate     bool
	}{
		{"one reading", new(2.8), []float64{7}, false},
		{"within gauge error", new(2.8), []float64{7, 6.9}, false},
		{"required not known", nil, []float64{7, 6}, true},
		{"far ahead", new(0.5), []float64{12, 11.6}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := WallPoints(wallFile(tt.required, map[string][]float64{"A": tt.walls}), metal.DefaultGaugeErrorMM)[0]
			require.Equal(t, tt.rate, p.Rate != nil)
			require.Empty(t, p.Meets.On)
			require.Equal(t, tt.rate, len(p.Trend) > 0)
		})
	}
	below := WallPoints(wallFile(new(6.5), map[string][]float64{"A": {7, 6}}), metal.DefaultGaugeErrorMM)[0]
	require.Equal(t, models.Date("2022-01-01"), below.Meets.On, "at or below what is required already")
	require.Empty(t, WallPoints(models.CoverFile{}, metal.DefaultGaugeErrorMM))
}
