package climate_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/unit"
)

// steady is a year of the same air.
func steady(dry unit.Celsius, rh unit.Fraction, hours int) climate.Hourly {
	year := climate.Hourly{Hours: make([]climate.Hour, hours)}
	for i := range year.Hours {
		year.Hours[i] = climate.Hour{T: dry, Vapor: air.VaporPressure(dry, rh), Origin: climate.Measured}
	}
	return year
}

func TestSteadyRoom(t *testing.T) {
	s := prepare(t, steady(24, 0.5, climate.CommonYear))
	e := s.At(7)
	require.Equal(t, unit.Hours(8760), e.BelowDewPoint)
	require.InEpsilon(t, 490.6*8760, float64(e.Drive), 1e-4,
		"490.6 Pa between 24 °C / 50 % and 7 °C: PsychroLib 2.5.0 GetVapPresFromRelHum(24,0.5) - GetSatVapPres(7)")
	require.InDelta(t, float64(e.Net), float64(e.Drive), 1e-6)
	require.Equal(t, unit.Fraction(1), e.Share())
	require.Zero(t, e.Dry())
}

// The count is strict: metal at the dew point itself is not below it.
func TestMetalAtTheDewPointIsDry(t *testing.T) {
	year := steady(20, 0.5, climate.CommonYear)
	for i := range year.Hours {
		year.Hours[i].Vapor = air.SatPressure(7)
	}
	s := prepare(t, year)
	require.Zero(t, s.HoursBelowDewPoint(7))
	require.Zero(t, s.Drive(7))
	require.Equal(t, unit.Hours(8760), s.HoursBelowDewPoint(6.999))
}

func TestTimeOfWetnessIsStrict(t *testing.T) {
	for name, c := range map[string]struct {
		dry  unit.Celsius
		rh   unit.Fraction
		want unit.Hours
	}{
		"80 % is not over 80 %": {20, 0.8, 0},
		"81 %":                  {20, 0.81, 8760},
		"frost does not count":  {-1, 0.95, 0},
		"0 °C is not above 0":   {0, 0.95, 0},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, prepare(t, steady(c.dry, c.rh, climate.CommonYear)).TimeOfWetness())
		})
	}
}

func TestMonthsAddUpToTheYear(t *testing.T) {
	s := prepare(t, readTable(t, "climates/room_open.csv"))
	rapid.Check(t, func(t *rapid.T) {
		metal := unit.Celsius(rapid.Float64Range(-20, 40).Draw(t, "metal"))
		year, months := s.At(metal), climate.Total(s.ByMonth(metal))
		require.Equal(t, year.Hours, months.Hours)
		require.Equal(t, year.BelowDewPoint, months.BelowDewPoint)
		require.Equal(t, year.OverRH80, months.OverRH80)
		require.InDelta(t, float64(year.Drive), float64(months.Drive), 1e-3)
		require.InDelta(t, float64(year.Net), float64(months.Net), 1e-3)
		dry := unit.Hours(0)
		for _, h := range s.DryHoursByMonth(metal) {
			dry += h
		}
		require.Equal(t, year.Dry(), dry)
	})
}

func TestWarmerMetalIsDrier(t *testing.T) {
	s := prepare(t, readTable(t, "climates/outdoor_open.csv"))
	rapid.Check(t, func(t *rapid.T) {
		cold := unit.Celsius(rapid.Float64Range(-40, 40).Draw(t, "cold"))
		warm := cold + unit.Celsius(rapid.Float64Range(0, 20).Draw(t, "step"))
		a, b := s.At(cold), s.At(warm)
		require.GreaterOrEqual(t, a.BelowDewPoint, b.BelowDewPoint)
		require.GreaterOrEqual(t, a.OverRH80, b.OverRH80)
		require.GreaterOrEqual(t, a.Drive, b.Drive)
		require.GreaterOrEqual(t, a.Net, b.Net)
		require.GreaterOrEqual(t, a.OverRH80, a.BelowDewPoint)
		require.GreaterOrEqual(t, a.Drive, max(0, a.Net))
	})
}

func TestOneSeasonIsTheWholeYear(t *testing.T) {
	s := prepare(t, readTable(t, "climates/room_open.csv"))
	rapid.Check(t, func(t *rapid.T) {
		metal := unit.Celsius(rapid.Float64Range(-20, 40).Draw(t, "metal"))
		seasonal := s.Seasonal(func(time.Month, int) *unit.Celsius { return &metal })
		for m, want := range s.ByMonth(metal) {
			require.Equal(t, want.Hours, seasonal[m].Hours)
			require.Equal(t, want.BelowDewPoint, seasonal[m].BelowDewPoint)
			require.Equal(t, want.OverRH80, seasonal[m].OverRH80)
			require.InDelta(t, float64(want.Drive), float64(seasonal[m].Drive), 1e-3)
			require.InDelta(t, float64(want.Net), float64(seasonal[m].Net), 1e-3)
		}
	})
}

// A loop that heats from 15 October, is stopped from 1 April and cools from 16 May.
func heatStopCool(month time.Month, day int) *unit.Celsius {
	hot, cold := unit.Celsius(44), unit.Celsius(7)
	switch date := 100*int(month) + day; {
	case date < 401 || date >= 1015:
		return &hot
	case date < 516:
		return nil
	default:
		return &cold
	}
}

func TestSeasons(t *testing.T) {
	for _, hours := range []int{climate.CommonYear, climate.LeapYear} {
		s := prepare(t, steady(24, 0.5, hours))
		months := s.Seasonal(heatStopCool)
		require.Zero(t, months[time.January-1].BelowDewPoint, "heating")
		require.Zero(t, months[time.January-1].Drive)
		require.Zero(t, months[time.April-1].BelowDewPoint, "stopped: at room temperature")
		require.Zero(t, months[time.April-1].Drive)
		require.Negative(t, float64(months[time.April-1].Net), "air below saturation dries warm metal")
		require.Equal(t, unit.Hours(16*24), months[time.May-1].BelowDewPoint, "16 to 31 May")
		require.Equal(t, unit.Hours(14*24), months[time.October-1].BelowDewPoint, "1 to 14 October")
		require.Equal(t, unit.Hours(hours), climate.Total(months).Hours)
	}
}

func TestSeasonOutOfRangeIsNaN(t *testing.T) {
	s := prepare(t, steady(24, 0.5, climate.CommonYear))
	tooCold := unit.Celsius(-101)
	months := s.Seasonal(func(month time.Month, _ int) *unit.Celsius {
		if month == time.June {
			return &tooCold
		}
		return nil
	})
	require.Zero(t, months[time.May-1].Drive)
	june := months[time.June-1]
	require.Equal(t, unit.Hours(30*24), june.Hours)
	for _, v := range []float64{float64(june.BelowDewPoint), float64(june.OverRH80), float64(june.Drive), float64(june.Net)} {
		require.True(t, math.IsNaN(v))
	}
}

func TestMetalOutOfRangeIsNaN(t *testing.T) {
	s := prepare(t, steady(24, 0.5, climate.CommonYear))
	for _, metal := range []float64{-101, 201, math.NaN(), math.Inf(1)} {
		e := s.At(unit.Celsius(metal))
		require.Equal(t, unit.Hours(8760), e.Hours)
		for _, v := range []float64{float64(e.BelowDewPoint), float64(e.OverRH80), float64(e.Drive), float64(e.Net)} {
			require.True(t, math.IsNaN(v), "metal %v", metal)
		}
	}
}

func TestPrepareRefusesAnIncompleteYear(t *testing.T) {
	short := steady(24, 0.5, 100)
	holed := steady(24, 0.5, climate.LeapYear)
	holed.Hours[1416].Vapor = unit.Pascal(math.NaN())
	for want, year := range map[string]climate.Hourly{
		"100 hours": short,
		"no air for the hour from 29 February 00:00": holed,
	} {
		_, err := climate.Prepare(year)
		require.ErrorContains(t, err, want)
	}
}
