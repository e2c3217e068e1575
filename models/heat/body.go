package heat

import (
	"math"

	"drylag/models/unit"
)

// Body is a component that is no plain cylinder: a valve, a strainer, a pump.
type Body struct {
	Length unit.Meter // along the pipe
	Bare   unit.M2    // outside of the bare metal, the ends apart
	End    unit.M2    // of one end of the cover; it has two
}

// EquivalentDiameter returns D_eq = A_bare / (pi · L), the diameter of the
// cylinder with the same length and area. NaN for a length or area not above 0.
// Source: common practice; see BodyTolerance.
func (b Body) EquivalentDiameter() unit.Meter {
	if !(b.Length > 0 && b.Bare > 0) {
		return unit.Meter(math.NaN())
	}
	return unit.Meter(float64(b.Bare) / (math.Pi * float64(b.Length)))
}

// Solve returns the outside of the body's side under the cover of c, whose
// Diameter is not used, and the heat into the fluid:
//
//	Q = q' · L + 2 · q'' · A_end
//
// q' of the cylinder of the equivalent diameter, q” of a flat face as high as
// the cover is wide with the same layers. NaN as Cylinder.Solve, and for a
// negative End. Source: common practice, to be shown with BodyTolerance.
func (b Body) Solve(c Cylinder, room Room) (Outside, unit.Watt) {
	c.Diameter = b.EquivalentDiameter()
	side := c.Solve(room)
	height := c.Diameter
	for _, l := range c.Layers {
		height += 2 * l.Thickness
	}
	end := Flat{c.Fluid, height, c.Layers, c.Emissivity, c.Inner * math.Pi * float64(c.Diameter)}.Solve(room)
	if !(b.End >= 0) {
		return side, unit.Watt(math.NaN())
	}
	return side, unit.Watt(float64(side.PerMeter)*float64(b.Length) + 2*float64(end.PerArea)*float64(b.End))
}
