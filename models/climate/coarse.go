package climate

import (
	"fmt"
	"math"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// MonthMean is the mean air of one month.
type MonthMean struct {
	T        unit.Celsius
	DewPoint unit.Celsius // at most T
}

// FromMonths makes a common year of monthly means, marked coarse: every hour of
// a month is its mean. The error is a *FileError with code CLIMATE_MONTHS.
func FromMonths(name, source string, means [12]MonthMean) (Hourly, error) {
	var faults []Fault
	var months [12]Hour
	for m, mean := range means {
		months[m] = Hour{T: mean.T, Vapor: air.SatPressure(mean.DewPoint), Origin: Estimated}
		if !(mean.DewPoint <= mean.T) || !months[m].known() || math.IsNaN(float64(air.SatPressure(mean.T))) {
			faults = append(faults, Fault{Field: time.Month(m + 1).String(),
				Msg: "needs a temperature and a dew point at or below it, from -100 to 200 °C"})
		}
	}
	if len(faults) > 0 {
		return Hourly{}, &FileError{Code: CodeMonths, Faults: faults}
	}
	year := Hourly{Name: name, Source: source, Coarse: true, Pressure: air.PressureAtAltitude(0)}
	year.Hours = make([]Hour, CommonYear)
	for i := range year.Hours {
		year.Hours[i] = months[MonthOfHour(i, CommonYear)-1]
	}
	return year, nil
}

// Steady is a common year of the same air, for a room of which nothing is
// known; it is marked coarse. The hours are missing if t or rh is out of range.
func Steady(t unit.Celsius, rh unit.Fraction) Hourly {
	hour := Hour{T: t, Vapor: air.VaporPressure(t, rh), Origin: Estimated}
	if !hour.known() {
		hour = missingHour()
	}
	year := Hourly{
		Name:     "steady air",
		Source:   fmt.Sprintf("assumed: %.4g %% relative humidity all year", 100*rh),
		Coarse:   true,
		Pressure: air.PressureAtAltitude(0),
		Hours:    make([]Hour, CommonYear),
	}
	for i := range year.Hours {
		year.Hours[i] = hour
	}
	return year
}

// HoursOf makes hours of temperatures and dew points in °C as they are stored;
// an hour with a NaN in either is missing. The shorter of the two sets the length.
func HoursOf(tempC, dewPointC []float64) []Hour {
	hours := make([]Hour, min(len(tempC), len(dewPointC)))
	for i := range hours {
		hours[i] = Hour{T: unit.Celsius(tempC[i]), Vapor: vaporAt(dewPointC[i], tempC[i]), Origin: Measured}
		if !hours[i].known() {
			hours[i] = missingHour()
		}
	}
	return hours
}
