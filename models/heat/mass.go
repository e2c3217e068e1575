package heat

import (
	"math"

	"drylag/models/unit"
)

const vaporGasConstant = 461.524 // water vapor, J/(kg K)

// VaporDiffusivity returns the diffusivity of water vapor in air at t and p:
//
//	D_AB = 1.87e-10 · T^2.072 / (p/101325) m²/s
//
// t is -100 to 600 °C and p above 0, else NaN; the source gives 280 to 450 K.
// Source: Cengel, Heat and Mass Transfer, example 14-10, read.
func VaporDiffusivity(t unit.Celsius, p unit.Pascal) float64 {
	if !inTempRange(float64(t)) || !(p > 0) {
		return math.NaN()
	}
	return 1.87e-10 * math.Pow(float64(t)+zeroC, 2.072) / (float64(p) / 101325)
}

// MassTransfer is what the analogy of heat and mass transfer asks for.
type MassTransfer struct {
	H                  unit.WPerM2K // film coefficient of convection
	Density            unit.KgPerM3 // of the air in the film
	HeatCapacity       float64      // of the air, J/(kg K)
	ThermalDiffusivity float64      // alpha, m²/s
	VaporDiffusivity   float64      // D_AB, m²/s
}

// Coefficient returns the mass transfer coefficient in m/s:
//
//	h_m = h_c / (rho · c_p · Le^⅔), Le = alpha/D_AB
//
// NaN unless all are above 0 (H may be 0). Source: Chilton and Colburn's analogy
// in Cengel, Heat and Mass Transfer, ch. 14, read.
func (m MassTransfer) Coefficient() float64 {
	if !(m.H >= 0 && m.Density > 0 && m.HeatCapacity > 0 && m.ThermalDiffusivity > 0 && m.VaporDiffusivity > 0) {
		return math.NaN()
	}
	lewis := math.Cbrt(m.ThermalDiffusivity / m.VaporDiffusivity)
	return float64(m.H) / (float64(m.Density) * m.HeatCapacity * lewis * lewis)
}
