package heat

import (
	"math"

	"drylag/models/unit"
)

// Conductivity is k = AtZero + PerK · theta, theta the mean temperature of the
// layer in °C. For such a line the conductivity at the mean is exact.
type Conductivity struct {
	AtZero unit.WPerMK
	PerK   float64 // W/(m K²)
}

// At returns the conductivity at a mean temperature.
func (k Conductivity) At(mean unit.Celsius) unit.WPerMK {
	return k.AtZero + unit.WPerMK(k.PerK*float64(mean))
}

// Layer is one layer of a cover, as installed.
type Layer struct {
	Thickness unit.Meter // above 0 and at most 0.5
	K         Conductivity
}

// shell is a layer in its place. It carries, per meter of a cylinder or per m²
// of a flat face, by Kirchhoff's transformation of k = a + b·theta,
//
//	q = S · [a · (T_o − T_i) + b/2 · (T_o² − T_i²)]
//
// S = 2·pi / ln(r_o/r_i) of a cylinder, 1/t of a flat layer.
type shell struct{ a, b, s float64 }

// inside returns the temperature T_i on the inner side where heat q passes
// inward through an outer side at outerC. With k_o = a + b·T_o:
//
//	T_o − T_i = 2·(q/S) / (k_o + √(k_o² − 2·b·q/S))
//
// Where no temperature can carry q the answer is an infinity: minus for heat
// that flows inward, plus for heat that flows outward. Derived here from the
// line above.
func (l shell) inside(outerC, q float64) float64 {
	perS := q / l.s
	outerK := l.a + l.b*outerC
	square := outerK*outerK - 2*l.b*perS
	if outerK <= 0 || square < 0 {
		return math.Inf(-int(math.Copysign(1, q)))
	}
	return outerC - 2*perS/(outerK+math.Sqrt(square))
}
