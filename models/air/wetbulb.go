package air

import (
	"math"

	"drylag/models/unit"
)

// HumidityRatioFromWetBulb returns the humidity ratio of air at t whose wet bulb
// reads wetBulb at station pressure p. With t* the wet bulb and Ws* the ratio
// saturated at t*:
//
//	t* >= 0 °C: W = [(2501 − 2.326·t*)·Ws* − 1.006·(t − t*)] / (2501 + 1.86·t − 4.186·t*)
//	t* < 0 °C:  W = [(2830 − 0.24·t*)·Ws* − 1.006·(t − t*)] / (2830 + 1.86·t − 2.1·t*)
//
// at least 1e-7. NaN if wetBulb is above t, if either is outside -100 to 200 °C,
// or if p is not above saturation at wetBulb. Source: ASHRAE 2017 ch. 1 eq 33
// and 35; the floor is PsychroLib's.
func HumidityRatioFromWetBulb(t, wetBulb unit.Celsius, p unit.Pascal) unit.KgPerKg {
	if !(wetBulb <= t && t <= MaxTemp) {
		return unit.KgPerKg(math.NaN())
	}
	branch := iceBulb
	if wetBulb >= 0 {
		branch = waterBulb
	}
	return unit.KgPerKg(math.Max(leastRatio, branch(float64(t), float64(wetBulb), p)))
}

// waterBulb is eq 33, without the floor.
func waterBulb(tC, bulbC float64, p unit.Pascal) float64 {
	saturated := float64(HumidityRatio(SatPressure(unit.Celsius(bulbC)), p))
	return ((2501-2.326*bulbC)*saturated - 1.006*(tC-bulbC)) / (2501 + 1.86*tC - 4.186*bulbC)
}

// iceBulb is eq 35, without the floor.
func iceBulb(tC, bulbC float64, p unit.Pascal) float64 {
	saturated := float64(HumidityRatio(SatPressure(unit.Celsius(bulbC)), p))
	return ((2830-0.24*bulbC)*saturated - 1.006*(tC-bulbC)) / (2830 + 1.86*tC - 2.1*bulbC)
}

// RelHumidityFromWetBulb returns the relative humidity of air at t whose wet
// bulb reads wetBulb at station pressure p. NaN as HumidityRatioFromWetBulb.
// Source: ASHRAE 2017 ch. 1 eq 20, 33 and 35.
func RelHumidityFromWetBulb(t, wetBulb unit.Celsius, p unit.Pascal) unit.Fraction {
	return RelHumidity(t, VaporPressureFromRatio(HumidityRatioFromWetBulb(t, wetBulb, p), p))
}

// WetBulb returns the wet-bulb temperature of air at t, rh (0 to 1) and station
// pressure p: the t* at which HumidityRatioFromWetBulb gives the ratio of the
// air. Near 0 °C both branches have a root, as supercooled water and as ice; the
// water branch is tried first on [max(0, dew point), t] and the ice branch taken
// only where it has none. NaN as HumidityRatioFromRH. Source: the root of ASHRAE 2017 ch. 1 eq 33 and 35.
func WetBulb(t unit.Celsius, rh unit.Fraction, p unit.Pascal) unit.Celsius {
	w := float64(HumidityRatioFromRH(t, rh, p))
	if math.IsNaN(w) {
		return unit.Celsius(math.NaN())
	}
	tC, lowC := float64(t), float64(MinTemp)
	if dew := DewPoint(t, rh); dew > MinTemp { // false for dry air, which has none
		lowC = float64(dew)
	}
	onWater := func(bulbC float64) float64 { return waterBulb(tC, bulbC, p) - w }
	if lowC >= 0 || tC >= 0 && onWater(0) <= 0 {
		return rising(onWater, math.Max(0, lowC), tC)
	}
	onIce := func(bulbC float64) float64 { return iceBulb(tC, bulbC, p) - w }
	return rising(onIce, lowC, math.Min(tC, 0))
}

// rising bisects [low, high] for the root of f, which rises. A NaN counts as
// above: there the bulb would be at or beyond the boil.
func rising(f func(float64) float64, low, high float64) unit.Celsius {
	for range 60 {
		middle := low + (high-low)/2
		if f(middle) <= 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return unit.Celsius(low + (high-low)/2)
}
