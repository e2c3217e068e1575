// Package air is moist air: the psychrometrics of ASHRAE Fundamentals 2017,
// chapter 1, whose equation numbers are given beside each formula.
//
// No function returns an error. Outside its stated range, and for NaN, a
// function answers NaN; the caller who knows the name of the field says so.
// Below the triple point relative humidity and dew point are over ice: the dew
// point is then the frost point.
package air

import (
	"math"

	"drylag/models/unit"
)

// Range of every temperature in this package, in °C (eq 5 and 6).
const (
	MinTemp unit.Celsius = -100
	MaxTemp unit.Celsius = 200
)

const (
	triplePointC = 0.01   // ice at and below, water above
	zeroC        = 273.15 // 0 °C in K
)

// SatPressure returns the pressure of saturated water vapor at t.
//
//	ice, t <= 0.01 °C: ln p = C1/T + C2 + C3·T + C4·T² + C5·T³ + C6·T⁴ + C7·ln T
//	water, t > 0.01 °C: ln p = C8/T + C9 + C10·T + C11·T² + C12·T³ + C13·ln T
//
// with T = t + 273.15 in K and p in Pa. Range -100 to 200 °C, else NaN.
// Source: ASHRAE Fundamentals 2017 ch. 1 eq 5 and 6 (Hyland and Wexler).
func SatPressure(t unit.Celsius) unit.Pascal {
	if !(t >= MinTemp && t <= MaxTemp) { // also true for NaN
		return unit.Pascal(math.NaN())
	}
	T := float64(t) + zeroC
	if t <= triplePointC {
		return unit.Pascal(math.Exp(-5.6745359e3/T + 6.3925247 - 9.677843e-3*T +
			6.2215701e-7*T*T + 2.0747825e-9*T*T*T - 9.484024e-13*T*T*T*T + 4.1635019*math.Log(T)))
	}
	return unit.Pascal(math.Exp(-5.8002206e3/T + 1.3914993 - 4.8640239e-2*T +
		4.1764768e-5*T*T - 1.4452093e-8*T*T*T + 6.5459673*math.Log(T)))
}

// VaporPressure returns the vapor pressure of air at t with relative humidity rh:
//
//	p_w = rh · p_ws(t)
//
// rh is 0 to 1, t -100 to 200 °C, else NaN. Source: ASHRAE 2017 ch. 1 eq 12 and 22.
func VaporPressure(t unit.Celsius, rh unit.Fraction) unit.Pascal {
	if !(rh >= 0 && rh <= 1) {
		return unit.Pascal(math.NaN())
	}
	return unit.Pascal(float64(rh) * float64(SatPressure(t)))
}

// RelHumidity returns the relative humidity of air at t holding vapor at pw:
// p_w / p_ws(t). It is above 1 for a pw above saturation, and NaN for a
// negative pw or a t outside -100 to 200 °C. Source: ASHRAE 2017 ch. 1 eq 12.
func RelHumidity(t unit.Celsius, pw unit.Pascal) unit.Fraction {
	if !(pw >= 0) {
		return unit.Fraction(math.NaN())
	}
	return unit.Fraction(pw / SatPressure(t))
}

// DewPoint returns the temperature at which air at t with relative humidity rh
// begins to condense; at and below 0.01 °C that is the frost point. It never
// exceeds t. rh is above 0 and at most 1: dry air has no dew point. NaN outside
// that, outside -100 to 200 °C, and where the dew point lies below -100 °C.
// Source: the root of eq 5 and 6, ASHRAE 2017 ch. 1.
func DewPoint(t unit.Celsius, rh unit.Fraction) unit.Celsius {
	return saturatedAt(VaporPressure(t, rh), t)
}

// DewPointFromPressure returns the temperature at which vapor at pw is
// saturated, NaN if that is outside -100 to 200 °C (pw 0.0014 Pa to 1.55 MPa).
// Source: the root of eq 5 and 6, ASHRAE 2017 ch. 1.
func DewPointFromPressure(pw unit.Pascal) unit.Celsius {
	if !(pw <= SatPressure(MaxTemp)) {
		return unit.Celsius(math.NaN())
	}
	return saturatedAt(pw, MaxTemp)
}

// saturatedAt bisects [MinTemp, high] for the t with SatPressure(t) = pw, down
// to neighboring floating-point numbers.
func saturatedAt(pw unit.Pascal, high unit.Celsius) unit.Celsius {
	if !(pw >= SatPressure(MinTemp)) {
		return unit.Celsius(math.NaN())
	}
	if pw >= SatPressure(high) {
		return high
	}
	low := MinTemp
	for {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			return low
		}
		if SatPressure(middle) <= pw {
			low = middle
		} else {
			high = middle
		}
	}
}

// RelHumidityFromDewPoint returns p_ws(dewPoint) / p_ws(t). NaN if dewPoint is
// above t or either is outside -100 to 200 °C. Source: ASHRAE 2017 ch. 1 eq 12.
func RelHumidityFromDewPoint(t, dewPoint unit.Celsius) unit.Fraction {
	if !(dewPoint <= t) {
		return unit.Fraction(math.NaN())
	}
	return RelHumidity(t, SatPressure(dewPoint))
}
