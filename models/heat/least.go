package heat

import (
	"math"
	"slices"

	"drylag/models/unit"
)

// Least is the least thickness that keeps an outside at or above a target.
type Least struct {
	Thickness    unit.Meter // 0: not needed; NaN: Unattainable, or an input out of range
	Unattainable bool       // 0.5 m do not reach the target: the air gives no heat at it
}

// LeastThickness returns how much of a material with conductivity k over the
// layers of c (none: over bare metal) keeps the outside at target, the dew
// point plus a margin. The surface is known there, so nothing is iterated on it:
// over metal as cold as the fluid the target is held where
//
//	q_f(T*; D_e) · D_e · ln(D_e/D) / (2·k(½·(T* + T_f))) >= T* − T_f, D_e = D + 2·t
//
// t is found in steps of 10 mm, then by bisection, up to 0.5 m. Range as Solve.
// Source: conduction = film, derived here; ISO 12241:2008, 4.3 has the same form
// for a fixed coefficient (from memory).
func (c Cylinder) LeastThickness(k Conductivity, target unit.Celsius, room Room) Least {
	return c.grown(k).leastIn(target, room)
}

// LeastThickness is Cylinder.LeastThickness for a flat face.
func (f Flat) LeastThickness(k Conductivity, target unit.Celsius, room Room) Least {
	return f.grown(k).leastIn(target, room)
}

// LeastThicknessFixed is LeastThickness with a fixed film; over bare metal the
// thickness is the t with
//
//	D_e · ln(D_e/D) = (2·k/h) · (T* − T_f)/(T_a − T*)
func (c Cylinder) LeastThicknessFixed(k Conductivity, target unit.Celsius, film FixedFilm) Least {
	return c.grown(k).leastFixed(target, film)
}

// LeastThicknessFixed is LeastThickness with a fixed film; over bare metal
//
//	t = (k/h) · (T* − T_f)/(T_a − T*)
//
// which Theodore's illustrative examples 19.5 and 19.6 confirm (read).
func (f Flat) LeastThicknessFixed(k Conductivity, target unit.Celsius, film FixedFilm) Least {
	return f.grown(k).leastFixed(target, film)
}

func outOfRange() Least { return Least{Thickness: unit.Meter(math.NaN())} }

// growing is a cover with more or less of one more layer; 0 is none.
type growing func(thickness unit.Meter) section

func (c Cylinder) grown(k Conductivity) growing {
	return func(thickness unit.Meter) section {
		c := c
		if thickness > 0 {
			c.Layers = append(slices.Clip(c.Layers), Layer{thickness, k})
		}
		return c.section(nil)
	}
}

func (f Flat) grown(k Conductivity) growing {
	return func(thickness unit.Meter) section {
		f := f
		if thickness > 0 {
			f.Layers = append(slices.Clip(f.Layers), Layer{thickness, k})
		}
		return f.section(nil)
	}
}

func (g growing) leastIn(target unit.Celsius, room Room) Least {
	if !room.valid() {
		return outOfRange()
	}
	return g.least(target, room.Air, room.wallsC(), func(s *section, targetC float64) float64 {
		s.film.Speed, s.film.Pressure = room.Speed, room.Pressure
		return s.flux(targetC, float64(room.Air), room.wallsC())
	})
}

func (g growing) leastFixed(target unit.Celsius, film FixedFilm) Least {
	if !film.valid() {
		return outOfRange()
	}
	return g.least(target, film.Air, film.wallsC(), func(s *section, targetC float64) float64 {
		return film.flux(targetC, s.emissivity)
	})
}

// least finds the thickness for a flux into the outside at the target.
func (g growing) least(target, air unit.Celsius, wallsC float64, flux func(s *section, targetC float64) float64) Least {
	targetC := float64(target)
	thickest := g(MaxThickness)
	lowC := min(thickest.fluidC, float64(air), wallsC, targetC)
	highC := max(thickest.fluidC, float64(air), wallsC, targetC)
	if !thickest.valid(lowC, highC) {
		return outOfRange()
	}
	holds := func(t unit.Meter) bool {
		s := g(t)
		return s.fluidAt(targetC, flux(&s, targetC)*s.area) <= s.fluidC
	}
	if holds(0) {
		return Least{}
	}
	const step = MaxThickness / 50
	for i := unit.Meter(1); i <= 50; i++ {
		if holds(i * step) {
			return Least{Thickness: boundary(holds, (i-1)*step, i*step)}
		}
	}
	return Least{Thickness: unit.Meter(math.NaN()), Unattainable: true}
}

// boundary bisects for where holds becomes true.
func boundary(holds func(unit.Meter) bool, low, high unit.Meter) unit.Meter {
	for range 50 {
		middle := low + (high-low)/2
		if holds(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
