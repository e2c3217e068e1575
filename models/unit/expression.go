package unit

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// dims are the exponents of meter, kilogram, second, kelvin and currency.
type dims [5]float64

var (
	dimNone     = dims{}
	dimLength   = dims{1}
	dimMass     = dims{0, 1}
	dimTime     = dims{0, 0, 1}
	dimTemp     = dims{0, 0, 0, 1}
	dimMoney    = dims{0, 0, 0, 0, 1}
	dimVolume   = dims{3}
	dimForce    = dims{1, 1, -2}
	dimPressure = dims{-1, 1, -2}
	dimEnergy   = dims{2, 1, -2}
	dimPower    = dims{2, 1, -3}
	dimPerm     = dims{-1, 0, 1} // kg/(m² s Pa) is s/m
	dimRate     = dims{1, 0, -1}
)

// scale turns a value in some unit into SI: (value − zero)·mul/div.
type scale struct {
	dims   dims
	mul    float64
	div    float64
	zero   float64
	affine bool // a temperature, which has a zero, and no difference of two
}

func (s scale) toSI(value float64) float64   { return (value - s.zero) * s.mul / s.div }
func (s scale) fromSI(value float64) float64 { return value*s.div/s.mul + s.zero }

// Factors with a name of their own. Sources: international yard and pound
// agreement of 1959 (exact); inHg and mmHg at 0 °C as ASHRAE and BS 2972 use
// them; Btu, calorie and ton of refrigeration by the International Table.
const (
	inch   = 0.0254
	foot   = 0.3048
	pound  = 0.45359237
	grain  = pound / 7000
	hour   = 3600
	year   = 8760 * hour // of 365 days, as drylag sums over a year
	inHg   = 3386.389
	btu    = 1055.05585262
	gallon = 3.785411784e-3
	perm   = grain / (foot * foot * hour * inHg) // gr/(ft² h inHg), 5.72135e-11
)

// atoms are the units that expressions are made of.
var atoms = map[string]scale{
	"1": {dims: dimNone, mul: 1, div: 1}, "%": {dims: dimNone, mul: 1, div: 100},
	"m": {dims: dimLength, mul: 1, div: 1}, "km": {dims: dimLength, mul: 1000, div: 1}, "cm": {dims: dimLength, mul: 1, div: 100},
	"mm": {dims: dimLength, mul: 1, div: 1000}, "um": {dims: dimLength, mul: 1, div: 1e6},
	"in": {dims: dimLength, mul: inch, div: 1}, "ft": {dims: dimLength, mul: foot, div: 1}, "yd": {dims: dimLength, mul: 0.9144, div: 1},
	"mil": {dims: dimLength, mul: inch, div: 1000},
	"kg":  {dims: dimMass, mul: 1, div: 1}, "g": {dims: dimMass, mul: 1, div: 1e3}, "mg": {dims: dimMass, mul: 1, div: 1e6},
	"ug": {dims: dimMass, mul: 1, div: 1e9}, "ng": {dims: dimMass, mul: 1, div: 1e12}, "t": {dims: dimMass, mul: 1000, div: 1},
	"lb": {dims: dimMass, mul: pound, div: 1}, "oz": {dims: dimMass, mul: pound, div: 16}, "gr": {dims: dimMass, mul: pound, div: 7000},
	"s": {dims: dimTime, mul: 1, div: 1}, "min": {dims: dimTime, mul: 60, div: 1}, "h": {dims: dimTime, mul: hour, div: 1},
	"d": {dims: dimTime, mul: 24 * hour, div: 1}, "yr": {dims: dimTime, mul: year, div: 1}, "a": {dims: dimTime, mul: year, div: 1},
	"K": {dims: dimTemp, mul: 1, div: 1}, "C": {dims: dimTemp, mul: 1, div: 1}, "F": {dims: dimTemp, mul: 5, div: 9},
	"degC": {dims: dimTemp, mul: 1, div: 1}, "degF": {dims: dimTemp, mul: 5, div: 9},
	"Pa": {dims: dimPressure, mul: 1, div: 1}, "hPa": {dims: dimPressure, mul: 100, div: 1}, "kPa": {dims: dimPressure, mul: 1e3, div: 1},
	"MPa": {dims: dimPressure, mul: 1e6, div: 1}, "GPa": {dims: dimPressure, mul: 1e9, div: 1}, "mbar": {dims: dimPressure, mul: 100, div: 1},
	"bar": {dims: dimPressure, mul: 1e5, div: 1}, "atm": {dims: dimPressure, mul: 101325, div: 1},
	"psi": {dims: dimPressure, mul: 6894.757293168, div: 1}, "inHg": {dims: dimPressure, mul: inHg, div: 1},
	"mmHg": {dims: dimPressure, mul: 133.322387415, div: 1},
	"N":    {dims: dimForce, mul: 1, div: 1}, "kN": {dims: dimForce, mul: 1e3, div: 1}, "MN": {dims: dimForce, mul: 1e6, div: 1},
	"J": {dims: dimEnergy, mul: 1, div: 1}, "kJ": {dims: dimEnergy, mul: 1e3, div: 1}, "MJ": {dims: dimEnergy, mul: 1e6, div: 1},
	"GJ": {dims: dimEnergy, mul: 1e9, div: 1}, "Wh": {dims: dimEnergy, mul: hour, div: 1}, "kWh": {dims: dimEnergy, mul: 1e3 * hour, div: 1},
	"MWh": {dims: dimEnergy, mul: 1e6 * hour, div: 1}, "Btu": {dims: dimEnergy, mul: btu, div: 1}, "kcal": {dims: dimEnergy, mul: 4186.8, div: 1},
	"W": {dims: dimPower, mul: 1, div: 1}, "kW": {dims: dimPower, mul: 1e3, div: 1}, "MW": {dims: dimPower, mul: 1e6, div: 1},
	"ton": {dims: dimPower, mul: 12000 * btu / hour, div: 1},
	"L":   {dims: dimVolume, mul: 1, div: 1000}, "mL": {dims: dimVolume, mul: 1, div: 1e6}, "gal": {dims: dimVolume, mul: gallon, div: 1},
	"floz": {dims: dimVolume, mul: gallon, div: 128}, // US fluid ounce
	"perm": {dims: dimPerm, mul: perm, div: 1}, "mpy": {dims: dimRate, mul: inch / 1000, div: year},
	"currency": {dims: dimMoney, mul: 1, div: 1},
}

// expression reads a unit made of atoms: factors side by side multiply, one
// factor or a bracket follows each stroke, and a number behind an atom is its
// exponent, as in "Btu in/(h ft2 F)". "W/m2 K" is refused: it can be read in
// two ways.
func expression(text string) (scale, bool) {
	r := &unitReader{rest: text}
	total, ok := r.product()
	for ok && r.next('/') {
		var below scale
		if r.next('(') {
			below, ok = r.product()
			ok = ok && r.next(')')
		} else {
			below, ok = r.factor()
		}
		total = total.over(below)
	}
	return total, ok && r.rest == ""
}

// unitReader reads a unit from the left.
type unitReader struct{ rest string }

func (r *unitReader) skipSpaces() { r.rest = strings.TrimLeft(r.rest, " ") }

// next skips spaces and takes c if it stands there.
func (r *unitReader) next(c byte) bool {
	r.skipSpaces()
	if r.rest == "" || r.rest[0] != c {
		return false
	}
	r.rest = r.rest[1:]
	return true
}

// product reads factors up to a stroke, a bracket or the end.
func (r *unitReader) product() (scale, bool) {
	total, ok := r.factor()
	for ok {
		if !r.next('*') && (r.rest == "" || r.rest[0] == '/' || r.rest[0] == ')') {
			break
		}
		var f scale
		f, ok = r.factor()
		total = total.times(f)
	}
	return total, ok
}

// factor reads an atom with its exponent.
func (r *unitReader) factor() (scale, bool) {
	r.skipSpaces()
	end := strings.IndexFunc(r.rest, func(c rune) bool { return !unicode.IsLetter(c) && c != '%' })
	if end < 0 {
		end = len(r.rest)
	}
	if strings.HasPrefix(r.rest, "1") {
		end = 1
	}
	atom, ok := atoms[r.rest[:end]]
	r.rest = r.rest[end:]
	if !ok || atom.dims == dimNone {
		return atom, ok
	}
	power, ok := r.exponent()
	return atom.to(power), ok
}

// exponent reads the number behind an atom, 1 if there is none.
func (r *unitReader) exponent() (float64, bool) {
	r.rest = strings.TrimPrefix(r.rest, "^")
	end := strings.IndexFunc(r.rest, func(c rune) bool { return (c < '0' || c > '9') && c != '.' })
	if end < 0 {
		end = len(r.rest)
	}
	if end == 0 {
		return 1, true
	}
	power, err := strconv.ParseFloat(r.rest[:end], 64)
	r.rest = r.rest[end:]
	return power, err == nil && power > 0 && power < 10
}

func (s scale) times(other scale) scale {
	for i := range s.dims {
		s.dims[i] += other.dims[i]
	}
	s.mul, s.div = s.mul*other.mul, s.div*other.div
	return s
}

func (s scale) over(other scale) scale {
	for i := range s.dims {
		s.dims[i] -= other.dims[i]
	}
	s.mul, s.div = s.mul*other.div, s.div*other.mul
	return s
}

func (s scale) to(power float64) scale {
	for i := range s.dims {
		s.dims[i] *= power
	}
	s.mul, s.div = math.Pow(s.mul, power), math.Pow(s.div, power)
	return s
}
