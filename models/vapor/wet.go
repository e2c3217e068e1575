package vapor

import (
	"math"

	"drylag/models/unit"
)

const (
	waterDensity      = 1000 // kg/m³
	waterConductivity = 0.60 // W/(m K), liquid
)

// TimeToMoisture returns how long a steady flow takes to bring insulation to a
// moisture content by volume:
//
//	τ = X · V · 1000 kg/m³ / Σg
//
// in hours. +Inf for a flow of 0: never. The flow is from 0 up, the volume above
// 0, X is 0 to 1, else NaN. Derived here (balance of mass).
func TimeToMoisture(flow unit.KgPerS, volume unit.M3, content unit.Fraction) unit.Hours {
	if !counts(float64(flow)) || !positive(float64(volume)) || !(content >= 0 && content <= 1) {
		return unit.Hours(math.NaN())
	}
	if content == 0 {
		return 0
	}
	return unit.Hours(float64(content) * float64(volume) * waterDensity / float64(flow) / 3600)
}

// WetConductivity is the conductivity of wet insulation as three rules see it.
// Report Exponential as low and Parallel as high.
type WetConductivity struct {
	Series      unit.WPerMK // water in layers across the flow of heat: the least
	Exponential unit.WPerMK // as WetExponential with MoistureFactor
	Parallel    unit.WPerMK // water in bridges along the flow: the most
}

// MoistureFactor is the f of WetExponential for mineral wool: 4 per part of
// volume. Source: ISO 10456 (from memory).
const MoistureFactor = 4.0

// ExponentialTo is the moisture content by volume up to which ISO 10456 gives
// MoistureFactor (from memory); beyond it the exponential is a guess, and near
// full it runs above the parallel bound.
const ExponentialTo unit.Fraction = 0.15

// WetBounds returns the conductivity of insulation of dry conductivity k with
// the share ψ of its volume wet:
//
//	series:   1/[(1−ψ)/k + ψ/0.60]
//	parallel: k·(1−ψ) + 0.60·ψ
//
// with the exponential of WetExponential between. All three are k for ψ = 0.
// k is above 0, ψ 0 to 1, else NaN. Liquid water only, no ice.
// Source: bounds of Wiener (derived here). Parallel gives ×2.9 at 11 to 12 %
// in glass fiber; about ×3 is published (from memory).
func WetBounds(dry unit.WPerMK, wet unit.Fraction) WetConductivity {
	k, psi := float64(dry), float64(wet)
	if !positive(k) || !(psi >= 0 && psi <= 1) {
		nan := unit.WPerMK(math.NaN())
		return WetConductivity{nan, nan, nan}
	}
	return WetConductivity{
		Series:      unit.WPerMK(1 / ((1-psi)/k + psi/waterConductivity)),
		Exponential: WetExponential(dry, wet, MoistureFactor),
		Parallel:    unit.WPerMK(k*(1-psi) + waterConductivity*psi),
	}
}

// WetExponential returns the conductivity of insulation of dry conductivity k
// with the share ψ of its volume wet:
//
//	k_ψ = k · e^(f·ψ)
//
// k is above 0, ψ 0 to 1, f from 0 up, else NaN; see ExponentialTo.
// Source: ISO 10456 (from memory). Published: 5 % moisture costs 25 % more
// (insulation trade journal, second-hand, read); f = 4 gives 22 %.
func WetExponential(dry unit.WPerMK, wet unit.Fraction, f float64) unit.WPerMK {
	if !positive(float64(dry)) || !(wet >= 0 && wet <= 1) || !counts(f) {
		return unit.WPerMK(math.NaN())
	}
	return dry * unit.WPerMK(math.Exp(f*float64(wet)))
}
