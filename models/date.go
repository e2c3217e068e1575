package models

import (
	"fmt"
	"math"
	"time"
)

// Date is a calendar day in the building's time zone, written YYYY-MM-DD.
// Due dates, openings and looks happen on days, not at instants, so they do
// not move when the viewer sits in another zone. The zero Date is "no day".
// Dates compare as text.
type Date string

const dateForm = "2006-01-02"

// DaysPerYear is the mean Gregorian year, used to turn ages into years.
const DaysPerYear = 365.2425

// DateOf is the calendar day on which the instant t falls in zone loc.
func DateOf(t time.Time, loc *time.Location) Date {
	return Date(t.In(loc).Format(dateForm))
}

// ParseDate reads YYYY-MM-DD and refuses anything else, such as 2026-02-30.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(dateForm, s)
	if err != nil || t.Year() < 1900 || t.Year() > 2200 {
		return "", fmt.Errorf("%q is not a date: write it as 2026-11-25", s)
	}
	return Date(s), nil
}

// Time is midnight UTC of the day; the zero time for no day.
func (d Date) Time() time.Time {
	t, err := time.Parse(dateForm, string(d))
	if err != nil {
		return time.Time{}
	}
	return t
}

// AddDays is the day n days later (earlier for n < 0); no day stays no day.
func (d Date) AddDays(n int) Date {
	if d == "" {
		return ""
	}
	return Date(d.Time().AddDate(0, 0, n).Format(dateForm))
}

// AddYears is the day y mean years later, rounded to whole days.
func (d Date) AddYears(y float64) Date {
	if d == "" {
		return ""
	}
	return d.AddDays(int(math.Round(y * DaysPerYear)))
}

// DaysSince is the number of days from e to d, negative if d is earlier.
func (d Date) DaysSince(e Date) int {
	return int(math.Round(d.Time().Sub(e.Time()).Hours() / 24))
}

// YearsSince is the time from e to d in mean years.
func (d Date) YearsSince(e Date) float64 {
	return float64(d.DaysSince(e)) / DaysPerYear
}

// Year is the calendar year, 0 for no day.
func (d Date) Year() int {
	if d == "" {
		return 0
	}
	return d.Time().Year()
}

// Quarter is the calendar quarter as "2026 Q4", empty for no day.
func (d Date) Quarter() string {
	if d == "" {
		return ""
	}
	t := d.Time()
	return fmt.Sprintf("%d Q%d", t.Year(), (int(t.Month())+2)/3)
}

// Month is the month in words, "March 2027", empty for no day.
func (d Date) Month() string {
	if d == "" {
		return ""
	}
	return d.Time().Format("January 2006")
}

// Say is the day as a person writes it, "25 Nov 2026", empty for no day.
func (d Date) Say() string {
	if d == "" {
		return ""
	}
	return d.Time().Format("2 Jan 2006")
}
