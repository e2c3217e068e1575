package unit

import (
	"math"
	"strconv"
)

// Reading is a value as it was read on site, in the unit in which it was read,
// so that it comes back digit for digit.
type Reading struct {
	Value float64
	Unit  string // as Convert takes it, such as "in"
}

// SI returns the reading in SI base units (°C for a temperature, K for a
// difference), NaN if its unit is not known.
func (r Reading) SI() float64 {
	scale, _, ok := lookUp(r.Unit)
	if !ok {
		return math.NaN()
	}
	return scale.toSI(r.Value)
}

// In returns the reading in another unit.
func (r Reading) In(unit string) (float64, error) { return Convert(r.Value, r.Unit, unit) }

// String prints the reading with its unit, every digit of it: "0.237 in".
func (r Reading) String() string {
	format := byte('f')
	if size := math.Abs(r.Value); size >= 1e15 || size < 1e-9 && size > 0 {
		format = 'e'
	}
	text := strconv.FormatFloat(r.Value, format, -1, 64)
	if symbol := Symbol(r.Unit); symbol != "" {
		text += " " + symbol
	}
	return text
}
