package climate

import (
	"fmt"
	"io"
	"slices"
	"time"

	"drylag/models/unit"
)

// LoggerOptions states what a logger file cannot say itself.
type LoggerOptions struct {
	// Location is the time zone of times without one of their own; nil is UTC.
	// Give a fixed zone for a logger that ignores daylight saving time.
	Location *time.Location
	// DateOrder settles 3/4/2026 where the file does not.
	DateOrder DateOrder
	// TempUnit is "degC" or "degF" for a file that does not name its unit.
	TempUnit string
	// DecimalComma reads 23,4 as 23.4.
	DecimalComma bool
	// Columns maps a heading, as it stands in the file, to FieldTime or another
	// field, where the headings are not understood by themselves.
	Columns map[string]string
}

// Log is what a humidity logger recorded: hourly means from Start on.
type Log struct {
	Start   time.Time // of Hours[0], a whole hour UTC
	Hours   []Hour
	Step    time.Duration // median time between readings, 0 for a single one
	Rows    int           // readings used
	Filled  int           // hours interpolated
	Gaps    []Gap         // hours missing, longer than BridgedHours
	Bad     []Fault       // lines that were left out, each with its reason
	Columns []LoggerColumn

	Order    DateOrder // of dates such as 3/4/2026, OrderUnstated where there are none
	OrderWhy string    // by what in the file it was found, "" where it was stated
}

// At returns the start of hour i.
func (l Log) At(i int) time.Time { return l.Start.Add(time.Duration(i) * time.Hour) }

// Newest returns the end of the last hour, the zero time for an empty log.
func (l Log) Newest() time.Time {
	if len(l.Hours) == 0 {
		return time.Time{}
	}
	return l.At(len(l.Hours))
}

// GapWords says each gap in words, in local time of loc.
func (l Log) GapWords(loc *time.Location) []string {
	words := make([]string, len(l.Gaps))
	for i, gap := range l.Gaps {
		words[i] = fmt.Sprintf("%d h without reading from %s", gap.Hours, l.At(gap.First).In(loc).Format("2006-01-02 15:04"))
	}
	return words
}

// Limits of a logger file.
const (
	longestStep   = time.Hour + time.Minute // a step "up to 1 h", and a clock that drifts
	longestSpan   = 20 * 366 * 24           // hours: a longer one is a clock that was reset
	mostReadings  = 3_000_000               // 5 years of minutes
	enoughForRule = 24                      // readings from which a pattern is believed
)

// reading is one line of a logger; moisture is of the head's kind.
type reading struct {
	line      int
	stamp     stamp
	text      string // the time as written
	at        time.Time
	dryC      float64
	vapor     unit.Pascal
	rhPercent float64 // NaN where the file has no relative humidity
}

// ReadLogger reads the file of a temperature and humidity logger: text with a
// heading for time, temperature and one of vapor pressure, dew point and
// relative humidity, separated by comma, semicolon or tab; lines before the
// heading are passed over. Times are 2026-11-25 14:05, 11/25/2026 2:05 PM or
// 25.11.2026 14:05, of any length and with steps up to one hour. The order of
// day and month is found over the whole file or asked for, never guessed.
//
// Readings become hourly means of temperature and vapor pressure; gaps of at
// most six hours are interpolated in temperature and dew point, longer ones
// listed. A line that cannot be read is left out and listed. The error is a
// *FileError with code CLIMATE_LOGGER if nothing can be read or a choice has to
// be made.
func ReadLogger(r io.Reader, o LoggerOptions) (Log, error) {
	lines, err := readLines(r)
	if err != nil {
		return Log{}, err
	}
	head, rows, err := findHead(lines, o)
	if err != nil {
		return Log{}, err
	}
	readings, bad := head.readAll(rows)
	if len(readings) > mostReadings {
		return Log{}, whole(CodeLogger, "rows", "%d readings; split the file, at most %d", len(readings), mostReadings)
	}
	if err := refuseShares(head, readings); err != nil {
		return Log{}, err
	}
	order, why, err := dateOrder(readings, o.DateOrder)
	if err != nil {
		return Log{}, err
	}
	readings, late := setTimes(readings, head.zone(o), order)
	bad = append(bad, late...)
	slices.SortStableFunc(bad, func(a, b Fault) int { return a.Line - b.Line })
	if len(readings) == 0 {
		return Log{}, noReading(bad)
	}
	log, err := hourlyLog(readings)
	log.Bad, log.Columns, log.Order, log.OrderWhy = bad, head.columns, order, why
	return log, err
}

func noReading(bad []Fault) error {
	if len(bad) == 0 {
		return whole(CodeLogger, "rows", "no line follows the heading")
	}
	return &FileError{Code: CodeLogger, Faults: bad}
}

// refuseShares refuses humidity written as 0 to 1: read as percent it would make
// any room bone dry.
func refuseShares(head *loggerHead, readings []reading) error {
	if head.moisture != FieldRH || len(readings) < enoughForRule {
		return nil
	}
	for _, r := range readings {
		if r.rhPercent > 1 {
			return nil
		}
	}
	return whole(CodeLogger, "humidity", "never above 1: write it in percent")
}

// hourlyLog turns timed readings into a log.
func hourlyLog(readings []reading) (Log, error) {
	slices.SortStableFunc(readings, func(a, b reading) int { return a.at.Compare(b.at) })
	start := readings[0].at.UTC().Truncate(time.Hour)
	hours := int(readings[len(readings)-1].at.Sub(start)/time.Hour) + 1
	if hours > longestSpan {
		return Log{}, whole(CodeLogger, "time", "runs from %s to %s: was the clock of the logger reset?",
			readings[0].text, readings[len(readings)-1].text)
	}
	log := Log{Start: start, Rows: len(readings), Step: medianStep(readings)}
	if log.Step > longestStep {
		return Log{}, whole(CodeLogger, "time", "%v between readings; at most one hour", log.Step)
	}
	sums := newHourSums(hours)
	for _, r := range readings {
		sums.add(int(r.at.Sub(start)/time.Hour), unit.Celsius(r.dryC), r.vapor)
	}
	log.Hours = sums.hours()
	log.Filled, log.Gaps = bridge(log.Hours, false)
	return log, nil
}

// medianStep returns the (lower) median time between different times, 0 if there are none.
func medianStep(readings []reading) time.Duration {
	var steps []time.Duration
	for i := 1; i < len(readings); i++ {
		if step := readings[i].at.Sub(readings[i-1].at); step > 0 {
			steps = append(steps, step)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	return steps[(len(steps)-1)/2]
}
