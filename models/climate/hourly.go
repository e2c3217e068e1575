// Package climate is the air around a cover over a year, hour by hour: it reads
// hourly weather files, tables and humidity loggers, works out the air of a
// room from them, and answers how long metal lies below the dew point and how
// hard vapor is driven to it.
package climate

import (
	"math"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// Hours of a common and of a leap year.
const (
	CommonYear = 8760
	LeapYear   = 8784
)

// Origin says where the air of one hour comes from.
type Origin uint8

const (
	Missing      Origin = iota // nothing known; T and Vapor are NaN
	Measured                   // read from a file
	Interpolated               // a gap of at most six hours, bridged in t and dew point
	Estimated                  // a room's hour made from the building's air or from monthly means
)

// Hour is the mean air of one hour.
type Hour struct {
	T      unit.Celsius // dry bulb
	Vapor  unit.Pascal  // vapor pressure, at most saturation at T
	Origin Origin
}

// DewPoint returns the dew or frost point of the hour, NaN if it is missing or dry.
func (h Hour) DewPoint() unit.Celsius { return air.DewPointFromPressure(h.Vapor) }

// known reports whether both temperature and vapor pressure are there.
func (h Hour) known() bool { return !math.IsNaN(float64(h.T)) && !math.IsNaN(float64(h.Vapor)) }

// Hourly is a typical year of air in local standard time. Hours[0] is 1 January
// 00:00 to 01:00; there are 8760 of them, or 8784 with 29 February. The year
// itself has no number: each month may stem from another one.
type Hourly struct {
	Name      string
	Source    string
	Zone      time.Duration // local standard time minus UTC
	Elevation unit.Meter
	Pressure  unit.Pascal // mean station pressure
	Coarse    bool        // monthly means, not hours
	Hours     []Hour
	Filled    int // hours interpolated
}

// DewPoints returns the dew point of every hour in order.
func (h Hourly) DewPoints() []unit.Celsius {
	dew := make([]unit.Celsius, len(h.Hours))
	for i, hour := range h.Hours {
		dew[i] = hour.DewPoint()
	}
	return dew
}

// Temperatures returns the dry bulb of every hour in order.
func (h Hourly) Temperatures() []unit.Celsius {
	dry := make([]unit.Celsius, len(h.Hours))
	for i, hour := range h.Hours {
		dry[i] = hour.T
	}
	return dry
}

// yearOf returns a calendar year with the given number of hours, to count in.
func yearOf(hours int) int {
	if hours == LeapYear {
		return 2024
	}
	return 2023
}

// MonthOfHour returns the month of hour i in a year of the given length.
func MonthOfHour(i, hours int) time.Month {
	return startOf(i, hours).Month()
}

// startOf returns the start of hour i as a date of the counting year.
func startOf(i, hours int) time.Time {
	return time.Date(yearOf(hours), time.January, 1, i, 0, 0, 0, time.UTC)
}

// HourOfYear returns the index of the hour that starts at the given hour (0 to
// 23) of month and day in a year of the given length; false if there is no such
// hour, as for 29 February in a common year.
func HourOfYear(month time.Month, day, hour, hours int) (int, bool) {
	at := time.Date(yearOf(hours), month, day, hour, 0, 0, 0, time.UTC)
	if at.Month() != month || at.Day() != day || at.Hour() != hour {
		return 0, false
	}
	return (at.YearDay()-1)*24 + hour, true
}

// emptyYear returns hours without air.
func emptyYear(hours int) []Hour {
	year := make([]Hour, hours)
	for i := range year {
		year[i] = missingHour()
	}
	return year
}

func missingHour() Hour {
	return Hour{T: unit.Celsius(math.NaN()), Vapor: unit.Pascal(math.NaN())}
}
