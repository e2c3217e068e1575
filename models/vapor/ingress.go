package vapor

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// Flat is a flat cover (a pump casing, a box): insulation on the metal, with a
// facing or without.
type Flat struct {
	Room         unit.Pascal // vapor pressure in the room
	Metal        unit.Celsius
	Thickness    unit.Meter // of the insulation as installed
	Permeability unit.KgPerMSPa
	Facing       *unit.KgPerM2SPa // permeance; nil: no facing
}

// Flux returns the flow of vapor to the metal per area:
//
//	g = (p_room − p_ws(T_metal))/(1/M + t/δ)
//
// the first term only with a facing. Negative: the room is drier than the
// metal, and a wet cover dries at this rate. The metal is -100 to 200 °C; NaN
// there and as FlatResistance. Source: series of resistances, Cengel Example
// 14-6 (read); saturation as air.SatPressure, over ice at and below 0.01 °C.
func (f Flat) Flux() unit.KgPerM2S {
	facing := 0.0
	if f.Facing != nil {
		facing = FacingResistance(*f.Facing)
	}
	return SeriesFlux(f.Room, air.SatPressure(f.Metal), facing, FlatResistance(f.Thickness, f.Permeability))
}

// Cylinder is a round cover, whole: on pipe, valve body or flange, with a facing
// or without.
type Cylinder struct {
	Room         unit.Pascal  // vapor pressure in the room
	Metal        unit.Celsius // at the inner radius
	Surface      unit.Celsius // of the cover, at the outer radius
	Inner, Outer unit.Meter   // radii of the insulation
	Permeability unit.KgPerMSPa
	Facing       *unit.KgPerM2SPa // permeance; nil: no facing
}

// Ingress is what enters one meter of a round cover, and where it turns to water.
type Ingress struct {
	Rate  unit.KgPerMS
	Plane unit.Meter // radius at which it condenses; the inner radius is the metal
}

// Ingress returns the steady flow into one meter of cover and the radius where
// it condenses, by the tangent of Glaser:
//
//	g' = max over r in [r_i, r_o] of (p_room − p_ws(T(r)))/Z(r)
//	Z(r) = 1/(M·2π·r_o) + ln(r_o/r)/(2π·δ)
//	T(r) = T_metal + (T_s − T_metal)·ln(r/r_i)/ln(r_o/r_i)
//
// A plane off the metal means that the insulation is wet too. Negative: the
// room is drier than the metal, and a cover wet at the metal dries at this rate.
//
// Radii 0 < r_i < r_o, temperatures -100 to 200 °C, δ and M from 0 up, the room's
// vapor pressure from 0 up, all finite, else NaN. Without a facing and with the
// surface below the dew point the rate is +Inf at the outer radius: the surface
// itself is wet, and nothing limits what the outermost layer takes in.
// Derived here; checked against the maximum over 60001 radii.
func (c Cylinder) Ingress() Ingress {
	edge := 1.0
	switch {
	case !c.valid():
		return Ingress{unit.KgPerMS(math.NaN()), unit.Meter(math.NaN())}
	case c.Facing == nil && c.Room > air.SatPressure(c.Surface):
		return Ingress{unit.KgPerMS(math.Inf(1)), c.Outer}
	case c.Facing == nil:
		edge = 1 - 1e-9 // at the outer radius itself there is no resistance
	}
	best, at, noise := c.flowAt(0), 0, c.noise()
	for i := 1; share(i) <= edge; i++ {
		if g := c.flowAt(share(i)); g > best+noise {
			best, at = g, i
		}
	}
	if part, g := highest(c.flowAt, max(share(at-1), 0), min(share(at+1), edge)); g > best+noise {
		return Ingress{unit.KgPerMS(g), c.radius(part)}
	}
	return Ingress{unit.KgPerMS(best), c.radius(share(at))}
}

func (c Cylinder) valid() bool {
	known := !math.IsNaN(float64(air.SatPressure(c.Metal) + air.SatPressure(c.Surface)))
	return known && c.Outer > c.Inner && counts(float64(c.Room)) && c.outside(c.Inner) >= 0
}

// noise is the flow below which two pressures are equal but for rounding. Only
// what is higher by more moves the plane off the metal.
func (c Cylinder) noise() float64 {
	return 1e-12 * float64(c.Room+air.SatPressure(c.Metal)) / c.outside(c.Inner)
}

const scanned = 401 // radii at which Cylinder.Ingress looks before it narrows

// share is the place of radius i of the scan: 0 at the metal, 1 at the surface.
func share(i int) float64 { return float64(i) / (scanned - 1) }

// radius is the radius at a share of the way outwards.
func (c Cylinder) radius(part float64) unit.Meter {
	if part >= 1 {
		return c.Outer
	}
	return min(c.Inner+unit.Meter(part)*(c.Outer-c.Inner), c.Outer)
}

// flowAt is the flow per meter that would condense at a share of the way
// outwards, in kg/(m s).
func (c Cylinder) flowAt(part float64) float64 {
	r := c.radius(part)
	warmed := math.Log(float64(r/c.Inner)) / math.Log(float64(c.Outer/c.Inner))
	t := c.Metal + unit.Celsius(warmed)*(c.Surface-c.Metal)
	if part >= 1 {
		t = c.Surface
	}
	return float64(c.Room-air.SatPressure(t)) / c.outside(r)
}

// outside is the resistance of one meter from the room to the radius r.
func (c Cylinder) outside(r unit.Meter) float64 {
	z := CylinderResistance(r, c.Outer, c.Permeability)
	if c.Facing != nil {
		z += CylinderFacingResistance(*c.Facing, c.Outer)
	}
	return z
}

// highest narrows [low, high] by golden section to the place of the highest
// value of f, which has one hill there. It looks only inside the ends.
func highest(f func(float64) float64, low, high float64) (at, value float64) {
	const golden = 0.6180339887498949
	left, right := high-golden*(high-low), low+golden*(high-low)
	fl, fr := f(left), f(right)
	for range 60 {
		if fl < fr {
			low, left, fl = left, right, fr
			right = low + golden*(high-low)
			fr = f(right)
		} else {
			high, right, fr = right, left, fl
			left = high - golden*(high-low)
			fl = f(left)
		}
	}
	if fl < fr {
		return right, fr
	}
	return left, fl
}

// Conductance returns what a length of the cover lets through per pascal of
// drive where the metal is the plane that wets:
//
//	G = ℓ/(1/(M·2π·r_o) + ln(r_o/r_i)/(2π·δ))
//
// NaN for a negative length and as CylinderResistance. Derived here.
func (c Cylinder) Conductance(length unit.Meter) Conductance {
	if !counts(float64(length)) || !(c.Outer > c.Inner) {
		return Conductance(math.NaN())
	}
	return Conductance(float64(length) / c.outside(c.Inner))
}
