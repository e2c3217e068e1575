package unit

import (
	"fmt"
	"math"
	"strings"
)

// ParseAs reads a value as Parse does, where no kind says what is measured: a
// bare number is in the unit like, and the unit typed is any that converts into
// it. With like "" every known unit is taken and a bare number has none, "1".
// Refused with an *EntryError as by Parse.
func ParseAs(field, text, like string) (Reading, error) {
	plain := strings.Join(strings.Fields(typed.Replace(text)), " ")
	refuse := func(format string, args ...any) (Reading, error) {
		return Reading{}, &EntryError{Field: field, Text: strings.TrimSpace(text), Msg: fmt.Sprintf(format, args...)}
	}
	value, rest, msg := leadingNumber(plain)
	switch {
	case plain == "":
		return refuse("give a number%s", inUnit(like))
	case len(plain) > longestEntry:
		return refuse("is too long for a number with its unit")
	case strings.Contains(plain, ","):
		return refuse("has a comma: write the decimal point as a point (5.6), and 1200 without a separator")
	case msg != "":
		return refuse("%s: give a number%s", msg, inUnit(like))
	}
	r := Reading{Value: value, Unit: like}
	if inches, ok := feetAndInches(value, rest); ok {
		r, rest = Reading{Value: inches, Unit: "in"}, "in"
	} else if rest != "" {
		_, r.Unit, ok = lookUp(rest)
		if !ok {
			return refuse("has a unit that is not known here: give a number%s", inUnit(like))
		}
	}
	if r.Unit == "" {
		r.Unit = "1"
	}
	if _, err := Convert(0, r.Unit, like); like != "" && err != nil {
		return refuse("has a unit of something else: give a number%s", inUnit(like))
	}
	if si := r.SI(); math.IsInf(si, 0) || math.IsNaN(si) {
		return refuse("is too large")
	}
	return r, nil
}

// inUnit says in which unit a number is wanted.
func inUnit(like string) string {
	switch Symbol(like) {
	case "":
		if like == "1" {
			return " without a unit"
		}
		return " with its unit, such as 12 in"
	}
	return " in " + Symbol(like)
}
