package vapor

import (
	"math"

	"drylag/models/unit"
)

// Conductance is the vapor that enters per time and per pascal of drive, in
// kg/(s Pa).
type Conductance float64

// Flow returns the flow at a drive p_room − p_ws(T_metal), which may be negative:
//
//	g = G · Δp
//
// NaN for a negative conductance. Derived here.
func (g Conductance) Flow(drive unit.Pascal) unit.KgPerS {
	if !counts(float64(g)) {
		return unit.KgPerS(math.NaN())
	}
	return unit.KgPerS(float64(g) * float64(drive))
}

// Mass returns the water that enters over the hours of a drive integral, such
// as a year of a room (climate's drive, of positive hours or net):
//
//	m = G · I · 3600 s/h
//
// It is exact where the metal is the plane that wets; where the insulation wets
// outside the metal it is too low. NaN for a negative conductance. Derived here.
func (g Conductance) Mass(drive unit.PascalHour) unit.Kilogram {
	if !counts(float64(g)) {
		return unit.Kilogram(math.NaN())
	}
	return unit.Kilogram(float64(g) * float64(drive) * 3600)
}

// Bounds are the least and the most that enters, in kg/s. For a negative drive
// Low is still what the smaller conductance gives.
type Bounds struct{ Low, High unit.KgPerS }

// Total returns what enters a cover: through the whole facing, as intact, and
// through its defects, never more than the same cover without any facing lets
// in. All are of one drive, so of one sign. NaN where an input is NaN.
// Derived here: a defect cannot let in more than no facing at all.
func Total(intact, unfaced unit.KgPerS, defects ...Bounds) Bounds {
	sum := Bounds{intact, intact}
	for _, d := range defects {
		sum.Low += d.Low
		sum.High += d.High
	}
	limit := func(g unit.KgPerS) unit.KgPerS { return min(g, unfaced) } // min keeps NaN
	if unfaced < 0 {
		limit = func(g unit.KgPerS) unit.KgPerS { return max(g, unfaced) }
	}
	return Bounds{limit(sum.Low), limit(sum.High)}
}
