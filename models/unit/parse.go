package unit

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// EntryError says why a typed value was refused and what to type instead.
type EntryError struct {
	Field string // as the form names it
	Text  string // as typed
	Msg   string
}

// Error returns `wall: "5,6" has a comma: ...`.
func (e *EntryError) Error() string {
	if e.Text == "" {
		return fmt.Sprintf("%s: %s", e.Field, e.Msg)
	}
	return fmt.Sprintf("%s: %q %s", e.Field, e.Text, e.Msg)
}

const longestEntry = 60

// Parse reads a value as a person types it: "3/4 in", "1 1/2 in", "20 mm",
// "42F", "42 °F", "5 ft 6 in". A bare number is in the unit of the system. The
// unit stays as typed. Refused with an *EntryError that names the field: an
// empty text, a comma, what is not a finite number, a unit that is unknown or
// does not fit the kind. Whether the value makes sense is for the caller.
func Parse(field, text string, kind Kind, s System) (Reading, error) {
	refuse := func(format string, args ...any) (Reading, error) {
		return Reading{}, &EntryError{Field: field, Text: strings.TrimSpace(text), Msg: fmt.Sprintf(format, args...)}
	}
	plain := strings.Join(strings.Fields(typed.Replace(text)), " ")
	switch {
	case plain == "":
		return refuse("give %s, such as %s", kind.Name(), kind.example(s))
	case len(plain) > longestEntry:
		return refuse("is too long for a number with its unit")
	case strings.Contains(plain, ","):
		return refuse("has a comma: write the decimal point as a point (5.6), and 1200 without a separator")
	}
	value, rest, msg := leadingNumber(plain)
	if msg != "" {
		return refuse("%s: give %s, such as %s", msg, kind.Name(), kind.example(s))
	}
	if inches, ok := feetAndInches(value, rest); ok && kind.dims() == dimLength {
		return Reading{Value: inches, Unit: "in"}, nil
	}
	unit, ok := kind.Unit(s), true
	if rest != "" {
		unit, ok = kind.unitTyped(rest)
	}
	if !ok {
		return refuse("has no unit of %s: write %s or %s", kind.measured(), Symbol(kind.Unit(s)), Symbol(kind.Unit(1-s)))
	}
	r := Reading{Value: value, Unit: unit}
	if si := r.SI(); math.IsInf(si, 0) || math.IsNaN(si) {
		return refuse("is too large")
	}
	return r, nil
}

// ParseOptional reads as Parse, but an empty text is no reading: nil, not 0.
func ParseOptional(field, text string, kind Kind, s System) (*Reading, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	r, err := Parse(field, text, kind, s)
	if err != nil {
		return nil, err
	}
	return &r, nil
}

// typed puts what keyboards and phones make of a value into plain letters.
var typed = strings.NewReplacer("\u2212", "-", "⁄", "/", "″", `"`, "”", `"`, "“", `"`, "′", "'", "’", "'",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8")

var (
	mixedRE   = regexp.MustCompile(`^([+-]?)(?:(\d+)(?: |-|- ))?(\d+) ?/ ?(\d+)`)
	decimalRE = regexp.MustCompile(`^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`)
	feetRE    = regexp.MustCompile(`^(?:ft\.?|feet|foot|')[ -]*(\d.*)$`)
)

// leadingNumber reads a decimal number, a fraction or a mixed number and
// returns what follows it. The message is empty unless there is none.
func leadingNumber(text string) (value float64, rest, msg string) {
	if m := mixedRE.FindStringSubmatch(text); m != nil {
		whole, _ := strconv.ParseFloat("0"+m[2], 64)
		above, _ := strconv.ParseFloat(m[3], 64)
		below, _ := strconv.ParseFloat(m[4], 64)
		value = whole + above/below
		if m[1] == "-" {
			value = -value
		}
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return 0, "", "divides by nothing"
		}
		return value, strings.TrimSpace(text[len(m[0]):]), ""
	}
	digits := decimalRE.FindString(text)
	if digits == "" {
		return 0, "", "is not a number"
	}
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, "", "is too large"
	}
	if mantissa, _, _ := strings.Cut(strings.ToLower(digits), "e"); value == 0 && strings.ContainsAny(mantissa, "123456789") {
		return 0, "", "is too small"
	}
	return value, strings.TrimSpace(text[len(digits):]), ""
}

// feetAndInches reads the rest of 5 ft 6 in and 5'-6 1/2" after the feet.
func feetAndInches(feet float64, rest string) (inches float64, ok bool) {
	m := feetRE.FindStringSubmatch(rest)
	if m == nil {
		return 0, false
	}
	more, name, msg := leadingNumber(m[1])
	if _, name, ok = lookUp(name); msg != "" || !ok || name != "in" || more >= 12 {
		return 0, false
	}
	return 12*feet + math.Copysign(more, feet), true
}

// dims returns the dimensions of a kind.
func (k Kind) dims() dims {
	s, _, _ := lookUp(k.Unit(SI))
	return s.dims
}

// measured returns the kind without its article.
func (k Kind) measured() string {
	_, noun, _ := strings.Cut(k.Name(), " ")
	return noun
}

// example shows how a value of the kind may be typed.
func (k Kind) example(s System) string { return "12 " + Symbol(k.Unit(s)) }

// unitTyped returns the unit that text means in an entry of this kind, as
// Convert takes it. In a difference °F and °C are differences. A second number
// is no unit, though 1 is one elsewhere.
func (k Kind) unitTyped(text string) (unit string, ok bool) {
	for _, spelled := range []string{text, strings.ToLower(text), k.fold(text)} {
		s, name, known := lookUp(spelled)
		if !known || s.dims != k.dims() || name[0] >= '0' && name[0] <= '9' {
			continue
		}
		switch {
		case s.affine == (k == Temperature):
			return name, true
		case s.affine && k == TempDifference:
			return map[string]string{"degC": "K", "degF": "delta degF"}[name], true
		}
	}
	return "", false
}

// fold returns the one atom of this kind's dimensions that differs from text in
// case only, else "". A small m where an atom has the large one is milli, not mega.
func (k Kind) fold(text string) string {
	found := ""
	for name, s := range atoms {
		milli := strings.HasPrefix(name, "M") && text == "m"+name[1:]
		if milli || !strings.EqualFold(name, text) || s.dims != k.dims() {
			continue
		}
		if found != "" {
			return ""
		}
		found = name
	}
	return found
}
