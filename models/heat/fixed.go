package heat

import (
	"math"

	"drylag/models/unit"
)

// FixedFilm is an outside film of one given coefficient, as handbooks and
// textbooks give it. Use it to check their examples; to pass a cover use the
// real film: handbook values are optimistic for condensation.
type FixedFilm struct {
	Air        unit.Celsius
	H          unit.WPerM2K  // above 0; convection alone if RadiatesTo is given, else the total
	RadiatesTo *unit.Celsius // radiation to these walls comes on top, by the emissivity of the cover; nil: none
}

// flux returns the heat into a surface.
func (f FixedFilm) flux(surfaceC, emissivity float64) float64 {
	q := float64(f.H) * (float64(f.Air) - surfaceC)
	if f.RadiatesTo != nil {
		q += emissivity * blackFlux(surfaceC, float64(*f.RadiatesTo))
	}
	return q
}

func (f FixedFilm) valid() bool { return f.H > 0 && !math.IsInf(float64(f.H), 0) }

func (f FixedFilm) wallsC() float64 {
	if f.RadiatesTo == nil {
		return float64(f.Air)
	}
	return float64(*f.RadiatesTo)
}

// SolveFixed is Solve with a fixed film. Source: series resistances, Cengel,
// Heat and Mass Transfer, ch. 3, read.
func (c Cylinder) SolveFixed(film FixedFilm) Outside {
	var few [4]shell
	s := c.section(few[:0])
	return s.outsideFixed(film)
}

// SolveFixed is Solve with a fixed film.
func (f Flat) SolveFixed(film FixedFilm) Outside {
	var few [4]shell
	s := f.section(few[:0])
	return s.outsideFixed(film)
}

func (s *section) outsideFixed(film FixedFilm) Outside {
	airC, wallsC := float64(film.Air), film.wallsC()
	lowC, highC := min(s.fluidC, airC, wallsC), max(s.fluidC, airC, wallsC)
	if !film.valid() || !s.valid(lowC, highC) {
		return noOutside()
	}
	flux := func(surfaceC float64) float64 { return film.flux(surfaceC, s.emissivity) }
	return s.at(s.solve(lowC, highC, flux), flux)
}
