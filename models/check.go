package models

import (
	"fmt"
	"math"
	"time"
	"unicode/utf8"
)

// between notes a fault where a number is given but out of its range, or is
// not a number at all.
func between(f *Faults, field string, v *float64, lo, hi float64, unit string) {
	if v == nil {
		return
	}
	if math.IsNaN(*v) || *v < lo || *v > hi {
		f.Add(field, "must be between %g and %g %s", lo, hi, unit)
	}
}

// checkLen keeps text within what a page and a label can show.
func checkLen(f *Faults, field, s string, most int) {
	if !utf8.ValidString(s) {
		f.Add(field, "holds characters that cannot be read")
	} else if n := utf8.RuneCountInString(s); n > most {
		f.Add(field, "is %d characters long; %d is the most", n, most)
	}
}

func monthDay(month, day int) string { return fmt.Sprintf("%02d-%02d", month, day) }

func (s Season) check(f *Faults, field string) {
	if s.Empty() {
		return
	}
	for _, d := range []string{s.From, s.To} {
		if _, err := time.Parse("2006-01-02", "2024-"+d); err != nil {
			f.Add(field, "%q is not a day of the year: write month and day as 10-15", d)
		}
	}
}
