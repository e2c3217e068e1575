package sheet

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// format is what the format of a cell makes of its number.
type format int

const (
	plain    format = iota
	percent         // 0.45 shows as 45%
	day             // a calendar date
	moment          // a date with a time
	clock           // a time of day
	duration        // hours that may pass 24
)

// builtinFormat knows the formats that files name only by number: ECMA-376
// part 1, 18.8.30 (numFmt), 27 to 58 as its East Asian tables use them (from
// memory; where those tables differ the number is left plain).
func builtinFormat(id int) format {
	switch id {
	case 9, 10:
		return percent
	case 14, 15, 16, 17, 27, 28, 29, 30, 31, 36, 50, 51, 54, 57, 58:
		return day
	case 22:
		return moment
	case 18, 19, 20, 21, 32, 33, 34, 35, 45, 47:
		return clock
	case 46:
		return duration
	}
	return plain
}

var (
	// literal is what a format code shows as it stands: quoted or escaped
	// characters, paddings, and brackets with a color, condition or language.
	literal = regexp.MustCompile(`"[^"]*"|[\\_*].|\[[^\]]*\]`)
	elapsed = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
)

// formatOf reads a format code, its part for positive numbers.
func formatOf(code string) format {
	runs := elapsed.MatchString(code)
	code, _, _ = strings.Cut(strings.ToLower(literal.ReplaceAllString(code, "")), ";")
	timed := strings.ContainsAny(code, "hs")
	dated := strings.ContainsAny(code, "yd") || strings.Contains(code, "m") && !timed && !runs
	switch {
	case code == "general":
		return plain
	case dated && timed:
		return moment
	case dated:
		return day
	case runs:
		return duration
	case timed:
		return clock
	case strings.Contains(code, "%"):
		return percent
	}
	return plain
}

// number shows the number of a cell: plain digits, dates and times as ISO 8601
// has them, a percentage with its sign.
func (b *workbook) number(c cell) (text, msg string) {
	raw := strings.TrimSpace(c.value)
	v, err := strconv.ParseFloat(raw, 64)
	if raw == "" || err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return raw, ""
	}
	f := plain
	if c.style >= 0 && c.style < len(b.formats) {
		f = b.formats[c.style]
	}
	switch f {
	case plain:
		return digits(v), ""
	case percent:
		return shift(v, 2) + "%", ""
	}
	at, ok := b.moment(v)
	if dated := f == day || f == moment; !ok || dated && v < 1 && !b.since04 {
		return digits(v), fmt.Sprintf("the cell is formatted as a date or time, but holds %s, which is none; type the date, or format the cell as a number", digits(v))
	}
	switch f {
	case day:
		return at.Format(time.DateOnly), ""
	case moment:
		return at.Format("2006-01-02T15:04:05"), ""
	case clock:
		return at.Format(time.TimeOnly), ""
	}
	s := int64(math.Round(v * 86400))
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60), ""
}

// moment gives the date and time of a serial day, to the second. Serial 60 of
// the 1900 count is 29 February 1900, which never was, and numbers below 1 are
// times only; ok is false outside the years 1900 to 9999.
func (b *workbook) moment(serial float64) (at time.Time, ok bool) {
	if serial < 0 || serial >= 2958466 {
		return at, false
	}
	whole := math.Floor(serial)
	days, seconds := int(whole), math.Round((serial-whole)*86400)
	zero := time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case b.since04:
		days += 1462
	case days == 60:
		return at, false
	case days < 60:
		days++
	}
	return zero.AddDate(0, 0, days).Add(time.Duration(seconds) * time.Second), true
}

// digits writes a number without exponent, with as many digits as tell it
// from its neighbors.
func digits(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// shift is digits(v · 10^n) without the rounding of a product: 0.07 is 7, not
// 7.000000000000001.
func shift(v float64, n int) string {
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	e, _ := strconv.Atoi(exponent) // FormatFloat has just written it
	w, _ := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(e+n), 64)
	return digits(w)
}
