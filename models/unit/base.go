package unit

import (
	"strconv"
	"strings"
)

// baseNames are the SI units of the dimensions in their order.
var baseNames = [len(dims{})]string{"m", "kg", "s", "K", "currency"}

// Base returns the SI base units of a unit, as Convert takes them: "m2 kg/s3"
// for "Btu/h", "degC" for "degF", "1" for "%". It reports false for a unit that
// is not known or has no such name.
func Base(unit string) (string, bool) {
	s, _, ok := lookUp(unit)
	switch {
	case !ok:
		return "", false
	case s.affine:
		return "degC", true
	}
	var above, below []string
	for i, power := range s.dims {
		switch {
		case power > 0:
			above = append(above, powered(baseNames[i], power))
		case power < 0:
			below = append(below, powered(baseNames[i], -power))
		}
	}
	text := "1"
	if len(above) > 0 {
		text = strings.Join(above, " ")
	}
	switch len(below) {
	case 0:
	case 1:
		text += "/" + below[0]
	default:
		text += "/(" + strings.Join(below, " ") + ")"
	}
	_, known := expression(text)
	return text, known
}

// powered writes an atom with its exponent: "m2", "K^1.25".
func powered(name string, power float64) string {
	switch {
	case power == 1:
		return name
	case power == float64(int(power)):
		return name + strconv.Itoa(int(power))
	}
	return name + "^" + strconv.FormatFloat(power, 'g', -1, 64)
}
