package unit

import (
	"fmt"
	"math"
	"strings"
)

// names maps what people and tables write to the units that this package
// writes. A unit that is not here stands for itself.
var names = map[string]string{
	`"`: "in", "in.": "in", "inch": "in", "inches": "in", "'": "ft", "ft.": "ft", "foot": "ft", "feet": "ft",
	"mils": "mil", "thou": "mil", "micron": "um", "microns": "um", "yard": "yd", "yards": "yd",
	"millimeter": "mm", "millimeters": "mm", "meter": "m", "meters": "m",
	"F": "degF", "deg F": "degF", "C": "degC", "deg C": "degC", "fahrenheit": "degF", "celsius": "degC",
	"percent": "%", "pct": "%", "psig": "psi", "perms": "perm", "perm (gr/(ft2 h inHg))": "perm", "perm inch": "perm in",
	"metric perm": "g/(m2 d mmHg)", "metric perm (g/(m2 d mmHg))": "g/(m2 d mmHg)",
	"ton of refrigeration": "ton", "tons": "ton", "lbs": "lb", "pound": "lb", "pounds": "lb",
	"l": "L", "liter": "L", "liters": "L", "ml": "mL", "gallon": "gal", "gallons": "gal", "fl oz": "floz",
	"sq ft": "ft2", "sqft": "ft2", "sq m": "m2", "hr": "h", "hours": "h", "hour": "h", "day": "d", "days": "d", "year": "yr", "years": "yr",
	"mm/year": "mm/yr", "mm/y": "mm/yr", "mm/a": "mm/yr", "mils/yr": "mpy", "mil/yr": "mpy", "mils/year": "mpy", "fpm": "ft/min",
	"grain": "gr", "grains": "gr", "US gal": "gal", "tonne": "t", "in Hg": "inHg", "inHg (0 degC)": "inHg", "mm Hg": "mmHg", "mils per year": "mpy",
	"perm in (gr in/(ft2 h inHg))": "perm in", "perm in (gr/(ft h inHg))": "perm in", "tons of refrigeration": "ton",
	"delta degC": "K", "delta K": "K", "delta F": "delta degF",
}

// written puts a unit into plain letters: superscripts, degree signs, dots and
// odd spaces.
var written = strings.NewReplacer("²", "2", "³", "3", "°", "", "º", "", "µ", "u", "μ", "u", "·", " ", "⋅", " ", "\u00a0", " ", "\u2009", " ", "\u202f", " ",
	"”", `"`, "″", `"`, "’", "'", "′", "'")

// affine are the units of temperature; everywhere else C and F are differences.
var affine = map[string]scale{
	"degC": {dims: dimTemp, mul: 1, div: 1, affine: true},
	"degF": {dims: dimTemp, mul: 5, div: 9, zero: 32, affine: true},
}

// lookUp returns the scale of a unit and its name as this package writes it.
func lookUp(text string) (s scale, name string, ok bool) {
	name = strings.Join(strings.Fields(written.Replace(text)), " ")
	if better, known := names[name]; known {
		name = better
	}
	if s, ok = affine[name]; ok {
		return s, name, true
	}
	if name == "delta degF" {
		return atoms["degF"], name, true
	}
	s, ok = expression(name)
	return s, name, ok
}

// Known reports whether a unit can be converted.
func Known(unit string) bool {
	_, _, ok := lookUp(unit)
	return ok
}

// Convert turns a value in one unit into another of the same dimension. Units
// are written as "in", "degF", "ng/(m2 s Pa)", "Btu in/(h ft2 F)"; any product
// and quotient of the common SI and inch-pound units is understood. Equal units
// give the value back whatever they are. A year is 8760 h. K is a difference
// and degC a temperature: neither converts into the other; a difference in °F
// is "delta degF". The error names the unit that is unknown or does not fit.
func Convert(value float64, from, to string) (float64, error) {
	if from == to {
		return value, nil
	}
	a, _, ok := lookUp(from)
	if !ok {
		return math.NaN(), fmt.Errorf("unit %q is not known", from)
	}
	b, _, ok := lookUp(to)
	if !ok {
		return math.NaN(), fmt.Errorf("unit %q is not known", to)
	}
	if a.dims != b.dims {
		return math.NaN(), fmt.Errorf("%q cannot be given in %q: they measure different things", from, to)
	}
	if a.affine != b.affine {
		return math.NaN(), fmt.Errorf("%q cannot be given in %q: one is a temperature, the other a difference", from, to)
	}
	return b.fromSI(a.toSI(value)), nil
}

var pretty = strings.NewReplacer("delta degF", "°F", "degC", "°C", "degF", "°F", "um", "µm", "floz", "fl oz", "m2", "m²", "m3", "m³",
	"ft2", "ft²", "ft3", "ft³", "K2", "K²", " F)", " °F)")

// Symbol returns a unit as it is printed: "°F" for "degF", "ft²" for "ft2",
// nothing for "1".
func Symbol(unit string) string {
	if unit == "1" {
		return ""
	}
	return pretty.Replace(unit)
}
