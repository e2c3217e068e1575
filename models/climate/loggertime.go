package climate

import (
	"regexp"
	"slices"
	"strconv"
	"time"
)

// DateOrder is the order of day and month in dates such as 3/4/2026.
type DateOrder int

const (
	OrderUnstated DateOrder = iota // found over the whole file, or asked for
	MonthFirst
	DayFirst
)

// stamp is a time as written, before the order of day and month is known.
type stamp struct {
	year, first, second int
	slashed             bool // order open; else first is the month
	seconds             int  // of the day
	zoned               bool
	zone                int // seconds east of UTC
}

// stampRE reads the three numbers of a date, a time of day with or without
// AM/PM, and a zone. The separators of a date are equal, which RE2 cannot say.
var stampRE = regexp.MustCompile(`^(\d{1,4})([-/.])(\d{1,2})([-/.])(\d{1,4})(?:T|,?\s+)` +
	`(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?(?:\s*([AaPp])\.?\s?[Mm]\.?)?\s*(Z|UTC|GMT|[+-]\d{2}:?\d{2})?$`)

const badStamp = "is no time such as 2026-11-25 14:05, 11/25/2026 2:05 PM or 25.11.2026 14:05"

func parseStamp(text string) (stamp, string) {
	m := stampRE.FindStringSubmatch(text)
	if m == nil || m[2] != m[4] {
		return stamp{}, badStamp
	}
	var s stamp
	switch a, b, c := atoi(m[1]), atoi(m[3]), atoi(m[5]); {
	case len(m[1]) == 4 && len(m[5]) <= 2:
		s = stamp{year: a, first: b, second: c}
	case len(m[1]) > 2 || len(m[5]) == 1 || len(m[5]) == 3:
		return stamp{}, badStamp
	case m[2] == ".":
		s = stamp{year: century(c), first: b, second: a}
	default:
		s = stamp{year: century(c), first: a, second: b, slashed: true}
	}
	if s.year < 1990 || s.year > 2100 {
		return stamp{}, "has a year outside 1990 to 2100"
	}
	var ok bool
	if s.seconds, ok = secondsOf(atoi(m[6]), atoi(m[7]), atoi(m[8]), m[9]); !ok {
		return stamp{}, "is no time of day"
	}
	if m[10] != "" {
		s.zoned, s.zone = true, zoneSeconds(m[10])
	}
	return s, ""
}

// atoi reads digits that the pattern has already matched; nothing is 0.
func atoi(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

func century(year int) int {
	if year < 100 {
		return 2000 + year
	}
	return year
}

// secondsOf returns the second of the day; half is "a", "p" or empty. 24:00 is allowed.
func secondsOf(hour, minute, second int, half string) (int, bool) {
	if half != "" {
		if hour < 1 || hour > 12 {
			return 0, false
		}
		hour %= 12
		if half == "p" || half == "P" {
			hour += 12
		}
	}
	total := hour*3600 + minute*60 + second
	return total, minute < 60 && second < 60 && total <= 24*3600
}

// zoneSeconds reads Z, UTC, GMT, +05:30 or -0500.
func zoneSeconds(text string) int {
	if text[0] != '+' && text[0] != '-' {
		return 0
	}
	seconds := atoi(text[1:3])*3600 + atoi(text[len(text)-2:])*60
	if text[0] == '-' {
		return -seconds
	}
	return seconds
}

// open reports whether the order of day and month matters and is not known. A
// date with both numbers above 12 is wrong either way.
func (s stamp) open() bool {
	return s.slashed && s.first != s.second && (s.first <= 12 || s.second <= 12)
}

// monthDay returns month and day under an order.
func (s stamp) monthDay(order DateOrder) (month, day int) {
	if s.slashed && order == DayFirst {
		return s.second, s.first
	}
	return s.first, s.second
}

// wall returns the time as a wall clock in loc; false if there is no such day,
// or no such time of day because clocks were put forward.
func (s stamp) wall(order DateOrder, loc *time.Location) (time.Time, bool) {
	month, day := s.monthDay(order)
	if s.zoned {
		loc = time.FixedZone("", s.zone)
	}
	midnight := time.Date(s.year, time.Month(month), day, 12, 0, 0, 0, time.UTC)
	if int(midnight.Month()) != month || midnight.Day() != day {
		return time.Time{}, false
	}
	at := time.Date(s.year, time.Month(month), day, 0, 0, s.seconds, 0, loc)
	return at, secondOfDay(at) == s.seconds%(24*3600)
}

func secondOfDay(at time.Time) int { return at.Hour()*3600 + at.Minute()*60 + at.Second() }

// setTimes gives every reading its instant. Readings whose time does not exist
// are left out and listed.
func setTimes(readings []reading, loc *time.Location, order DateOrder) (timed []reading, bad []Fault) {
	if newestFirst(readings, order) {
		slices.Reverse(readings)
	}
	var last time.Time
	for _, r := range readings {
		at, ok := r.stamp.wall(order, loc)
		if !ok {
			bad = append(bad, Fault{r.line, FieldTime, r.text, "does not exist in " + loc.String()})
			continue
		}
		r.at = afterFold(at, last)
		last = r.at
		timed = append(timed, r)
	}
	return timed, bad
}

// newestFirst reports whether the file runs backward.
func newestFirst(readings []reading, order DateOrder) bool {
	if len(readings) < 2 {
		return false
	}
	first, okFirst := readings[0].stamp.wall(order, time.UTC)
	last, okLast := readings[len(readings)-1].stamp.wall(order, time.UTC)
	return okFirst && okLast && last.Before(first)
}

// afterFold picks between the two instants of an hour that clocks ran through
// twice: the first that comes after the reading before.
func afterFold(at, last time.Time) time.Time {
	first, second := at, at
	if t := at.Add(-time.Hour); secondOfDay(t) == secondOfDay(at) {
		first = t
	}
	if t := at.Add(time.Hour); secondOfDay(t) == secondOfDay(at) {
		second = t
	}
	if first.After(last) {
		return first
	}
	return second
}

// dateOrder finds the order of day and month: from a number above 12 anywhere in
// the file, else from the only order in which no two readings in a row are more
// than six hours apart. Where neither decides, it asks. why says by what it was
// found.
func dateOrder(readings []reading, stated DateOrder) (order DateOrder, why string, err error) {
	day1, day2, open := evidence(readings)
	switch {
	case stated != OrderUnstated || !open:
		return stated, "", nil
	case day1 != "" && day2 != "":
		return 0, "", whole(CodeLogger, "time", "%s has the day first, %s the month: write dates as 2026-11-25", day1, day2)
	case day1 != "":
		return DayFirst, day1 + " cannot be read otherwise", nil
	case day2 != "":
		return MonthFirst, day2 + " cannot be read otherwise", nil
	}
	steadyDay, steadyMonth := steadySteps(readings, DayFirst), steadySteps(readings, MonthFirst)
	const steady = "only so no reading is more than six hours after the one before"
	switch {
	case steadyDay && !steadyMonth:
		return DayFirst, steady, nil
	case steadyMonth && !steadyDay:
		return MonthFirst, steady, nil
	}
	return 0, "", askOrder(readings)
}

// askOrder shows the first time that can be read both ways.
func askOrder(readings []reading) error {
	r := readings[slices.IndexFunc(readings, func(r reading) bool { return r.stamp.open() })]
	e := whole(CodeLogger, "time", "%q can be read with the day or the month first: say which, or write dates as 2026-11-25", r.text)
	month, _ := r.stamp.wall(MonthFirst, time.UTC)
	day, _ := r.stamp.wall(DayFirst, time.UTC)
	e.Open = &OpenTime{Line: r.line, Text: r.text, MonthFirst: month, DayFirst: day}
	return e
}

// evidence returns a time whose first number is too large for a month, one whose
// second is, and whether any time is open and would differ.
func evidence(readings []reading) (day1, day2 string, open bool) {
	for _, r := range readings {
		if !r.stamp.open() {
			continue
		}
		open = true
		if r.stamp.first > 12 && day1 == "" {
			day1 = r.text
		}
		if r.stamp.second > 12 && day2 == "" {
			day2 = r.text
		}
	}
	return day1, day2, open
}

// steadySteps reports whether no two readings in a row are more than BridgedHours apart.
func steadySteps(readings []reading, order DateOrder) bool {
	for i := 1; i < len(readings); i++ {
		a, okA := readings[i-1].stamp.wall(order, time.UTC)
		b, okB := readings[i].stamp.wall(order, time.UTC)
		if !okA || !okB || b.Sub(a).Abs() > BridgedHours*time.Hour {
			return false
		}
	}
	return true
}
