package climate_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

func TestFromMonths(t *testing.T) {
	var means [12]climate.MonthMean
	for m := range means {
		means[m] = climate.MonthMean{T: 20, DewPoint: unit.Celsius(m)}
	}
	year, err := climate.FromMonths("Testville", "figures by hand", means)
	require.NoError(t, err)
	require.True(t, year.Coarse)
	s := prepare(t, year)
	require.Equal(t, unit.Hours((31+30+31+30)*24), s.HoursBelowDewPoint(7.5), "September to December have 8 to 11 °C")
}

func TestFromMonthsRefuses(t *testing.T) {
	var means [12]climate.MonthMean
	means[time.March-1] = climate.MonthMean{T: 5, DewPoint: 6}
	means[time.May-1] = climate.MonthMean{T: unit.Celsius(math.NaN()), DewPoint: 6}
	_, err := climate.FromMonths("", "", means)
	require.ErrorContains(t, err, "March: needs a temperature")
	require.ErrorContains(t, err, "May: needs a temperature")
}

func TestSteady(t *testing.T) {
	year := climate.Steady(24, 0.5)
	require.True(t, year.Coarse)
	require.Equal(t, "assumed: 50 % relative humidity all year", year.Source)
	require.InEpsilon(t, 4.30e6, float64(prepare(t, year).Drive(7)), 1e-3, "490.6 Pa x 8760 h, PsychroLib 2.5.0")
	_, err := climate.Prepare(climate.Steady(24, 1.5))
	require.ErrorContains(t, err, "no air for the hour from 1 January 00:00")
}

// A stored dew point reads back as the vapor pressure it was made from, and the
// strict count of hours stays the same.
func TestHoursOfKeepsTheCount(t *testing.T) {
	outdoor := readTable(t, "climates/outdoor_open.csv")
	var tempC, dewC []float64
	for _, h := range outdoor.Hours {
		tempC, dewC = append(tempC, float64(h.T)), append(dewC, math.Round(float64(h.DewPoint())*10)/10)
	}
	first := climate.Hourly{Hours: climate.HoursOf(tempC, dewC)}
	var again []float64
	for _, dew := range first.DewPoints() {
		again = append(again, float64(dew))
	}
	second := climate.Hourly{Hours: climate.HoursOf(tempC, again)}
	a, b := prepare(t, first), prepare(t, second)
	for _, metal := range []unit.Celsius{-4, 0, 4, 6.7, 7, 10} {
		require.Equal(t, a.HoursBelowDewPoint(metal), b.HoursBelowDewPoint(metal))
	}
}

func TestHoursOfMissing(t *testing.T) {
	nan := math.NaN()
	hours := climate.HoursOf([]float64{20, nan, 20, 20}, []float64{10, 10, nan})
	require.Len(t, hours, 3)
	require.Equal(t, climate.Hour{T: 20, Vapor: air.SatPressure(10), Origin: climate.Measured}, hours[0])
	require.Equal(t, climate.Missing, hours[1].Origin)
	require.Equal(t, climate.Missing, hours[2].Origin)
}
