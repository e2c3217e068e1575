package air

import (
	"math"

	"drylag/models/unit"
)

const (
	molarRatio   = 0.621945 // water to dry air, by molar mass (eq 20)
	gasConstant  = 287.042  // dry air, J/(kg K)
	leastRatio   = 1e-7     // floor of the humidity ratio, as PsychroLib 2.5.0
	densityRatio = 1.607858 // 1/0.621945 as the source prints it (eq 26)
)

// HumidityRatio returns the mass of vapor per mass of dry air at vapor pressure
// pw and station pressure p:
//
//	W = 0.621945 · p_w / (p − p_w), at least 1e-7
//
// NaN unless 0 <= pw < p. Source: ASHRAE 2017 ch. 1 eq 20; the floor is PsychroLib's.
func HumidityRatio(pw, p unit.Pascal) unit.KgPerKg {
	if !(pw >= 0 && pw < p) || math.IsInf(float64(p), 0) {
		return unit.KgPerKg(math.NaN())
	}
	return unit.KgPerKg(math.Max(leastRatio, molarRatio*float64(pw/(p-pw))))
}

// HumidityRatioFromRH returns the humidity ratio of air at t, rh (0 to 1) and
// station pressure p. NaN as VaporPressure and HumidityRatio.
func HumidityRatioFromRH(t unit.Celsius, rh unit.Fraction, p unit.Pascal) unit.KgPerKg {
	return HumidityRatio(VaporPressure(t, rh), p)
}

// VaporPressureFromRatio is the inverse of HumidityRatio:
//
//	p_w = p · W / (0.621945 + W)
//
// NaN for a negative w or p. Source: ASHRAE 2017 ch. 1 eq 20.
func VaporPressureFromRatio(w unit.KgPerKg, p unit.Pascal) unit.Pascal {
	if !(w >= 0 && p >= 0) {
		return unit.Pascal(math.NaN())
	}
	return unit.Pascal(float64(p) * float64(w) / (molarRatio + float64(w)))
}

// Density returns the density of moist air at t, rh (0 to 1) and station pressure p:
//
//	rho = (1 + W) · p / [287.042 · T · (1 + 1.607858 · W)]
//
// NaN as HumidityRatioFromRH. Source: ASHRAE 2017 ch. 1 eq 11 and 26.
func Density(t unit.Celsius, rh unit.Fraction, p unit.Pascal) unit.KgPerM3 {
	w := float64(HumidityRatioFromRH(t, rh, p))
	T := float64(t) + zeroC
	return unit.KgPerM3((1 + w) * float64(p) / (gasConstant * T * (1 + densityRatio*w)))
}

// PressureAtAltitude returns the standard station pressure at altitude z:
//
//	p = 101325 · (1 − 2.25577e-5 · z)^5.2559
//
// z is -500 to 11000 m, else NaN. Source: ASHRAE 2017 ch. 1 eq 3.
func PressureAtAltitude(z unit.Meter) unit.Pascal {
	if !(z >= -500 && z <= 11000) {
		return unit.Pascal(math.NaN())
	}
	return unit.Pascal(101325 * math.Pow(1-2.25577e-5*float64(z), 5.2559))
}

// LatentHeat returns the heat set free where vapor condenses on metal at t, or
// deposits as frost below 0 °C:
//
//	t >= 0 °C: 2501 − 2.326 · t kJ/kg
//	t < 0 °C:  2830 − 0.24 · t kJ/kg
//
// returned in J/kg. Range -100 to 200 °C, else NaN. Source: the constants of
// ASHRAE 2017 ch. 1 eq 33 and 35.
func LatentHeat(t unit.Celsius) unit.JPerKg {
	switch {
	case !(t >= MinTemp && t <= MaxTemp):
		return unit.JPerKg(math.NaN())
	case t >= 0:
		return unit.JPerKg(2501e3 - 2326*float64(t))
	default:
		return unit.JPerKg(2830e3 - 240*float64(t))
	}
}
