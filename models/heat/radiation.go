package heat

import (
	"math"

	"drylag/models/unit"
)

// stefanBoltzmann is exact in the SI of 2019, W/(m² K⁴).
const stefanBoltzmann = 5.670374419e-8

// RadiationFlux returns the heat that walls radiate into a surface, gray and
// small against them:
//
//	q = epsilon · sigma · (T_r⁴ − T_s⁴)
//
// NaN for an emissivity outside 0 to 1 or a temperature outside -100 to 600 °C.
// Source: Cengel, Heat and Mass Transfer, ch. 1, read; sigma CODATA 2018.
func RadiationFlux(emissivity unit.Fraction, surface, walls unit.Celsius) unit.WPerM2 {
	if !(emissivity >= 0 && emissivity <= 1) || !inTempRange(float64(surface)) || !inTempRange(float64(walls)) {
		return unit.WPerM2(math.NaN())
	}
	return unit.WPerM2(float64(emissivity) * blackFlux(float64(surface), float64(walls)))
}

// blackFlux is the flux into a black surface.
func blackFlux(surfaceC, wallsC float64) float64 {
	ts, tr := surfaceC+zeroC, wallsC+zeroC
	return stefanBoltzmann * (tr*tr + ts*ts) * (tr + ts) * (tr - ts)
}

// RadiationCoefficient returns h_r = epsilon · sigma · (T_s² + T_r²) · (T_s + T_r),
// the radiation into a surface per kelvin. Range and source as RadiationFlux.
func RadiationCoefficient(emissivity unit.Fraction, surface, walls unit.Celsius) unit.WPerM2K {
	if !(emissivity >= 0 && emissivity <= 1) || !inTempRange(float64(surface)) || !inTempRange(float64(walls)) {
		return unit.WPerM2K(math.NaN())
	}
	ts, tr := float64(surface)+zeroC, float64(walls)+zeroC
	return unit.WPerM2K(float64(emissivity) * stefanBoltzmann * (tr*tr + ts*ts) * (tr + ts))
}
