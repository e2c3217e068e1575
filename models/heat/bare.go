package heat

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// Bare is a component whose cover is missing or left off. A quiet room is
// assumed; the answers are an estimate, to be shown with BareTolerance.
type Bare struct {
	Fluid      unit.Celsius
	Shape      Shape
	Size       unit.Meter    // outside diameter of a cylinder, 0.005 to 3 m, height of a plate, above 0
	Emissivity unit.Fraction // of the metal
	Inner      float64       // resistance between fluid and outside of the metal in m² K/W; 0: metal as cold as the fluid
}

// BareHeat is the heat into bare metal per area.
type BareHeat struct {
	Surface    unit.Celsius
	Convection unit.WPerM2
	Radiation  unit.WPerM2
	Latent     unit.WPerM2 // of the water or frost that forms on it
	Water      float64     // that forms, kg/(m² s)
}

// Total returns the three heats together.
func (h BareHeat) Total() unit.WPerM2 { return h.Convection + h.Radiation + h.Latent }

// Frost reports whether what forms is ice.
func (h BareHeat) Frost() bool { return h.Water > 0 && h.Surface < 0 }

// Solve returns the heat into the metal in a room whose air holds vapor. Where
// the dew point is above the surface, vapor turns to water or frost on it:
//
//	m'' = h_m · (p_w/(R_v·T_a) − p_ws(T_s)/(R_v·T_s)), R_v = 461.524 J/(kg K)
//	q_lat = m'' · h_fg(T_s)
//
// never below 0; h_m is MassTransfer.Coefficient with the properties of the
// film. Metal is as cold as the fluid unless there is a resistance inside; then
// its temperature balances all three. All NaN out of range, above 200 °C, or for
// a vapor pressure above saturation. Source: Cengel, Heat and Mass Transfer, ch.
// 14, read; the balance is derived here.
func (b Bare) Solve(room Room, vapor unit.Pascal) BareHeat {
	s, ok := b.section(room)
	if !ok || !(vapor >= 0 && vapor <= air.SatPressure(room.Air)) {
		nan := math.NaN()
		return BareHeat{unit.Celsius(nan), unit.WPerM2(nan), unit.WPerM2(nan), unit.WPerM2(nan), nan}
	}
	return s.bare(room, vapor)
}

// section is the bare wall, per m² of metal; false if an input is out of range.
func (b Bare) section(room Room) (section, bool) {
	s := section{
		film:       Film{Shape: b.Shape, Size: b.Size, Speed: room.Speed, Pressure: room.Pressure},
		emissivity: float64(b.Emissivity), fluidC: float64(b.Fluid), area: 1, inner: b.Inner,
	}
	lowC, highC := s.span(room)
	ok := room.valid() && s.valid(lowC, highC) && highC <= float64(air.MaxTemp) &&
		(b.Shape == VerticalPlate || b.Size >= MinDiameter && b.Size <= MaxDiameter)
	return s, ok
}

// span returns the coldest and the warmest of fluid, air and walls.
func (s *section) span(room Room) (lowC, highC float64) {
	airC, wallsC := float64(room.Air), room.wallsC()
	return min(s.fluidC, airC, wallsC), max(s.fluidC, airC, wallsC)
}

// bare solves checked inputs. Nothing condenses on metal at or above the dew
// point, so the metal stays between the coldest and the warmest around it.
func (s *section) bare(room Room, vapor unit.Pascal) BareHeat {
	if s.inner == 0 {
		return s.bareAt(s.fluidC, room, vapor)
	}
	lowC, highC := s.span(room)
	surfaceC := s.solve(lowC, highC, func(surfaceC float64) float64 {
		return float64(s.bareAt(surfaceC, room, vapor).Total())
	})
	return s.bareAt(surfaceC, room, vapor)
}

// bareAt returns the heat into metal at surfaceC.
func (s *section) bareAt(surfaceC float64, room Room, vapor unit.Pascal) BareHeat {
	airC := float64(room.Air)
	h := s.film.coefficient(surfaceC, airC)
	heat := BareHeat{
		Surface:    unit.Celsius(surfaceC),
		Convection: unit.WPerM2(h * (airC - surfaceC)),
		Radiation:  unit.WPerM2(s.emissivity * blackFlux(surfaceC, room.wallsC())),
	}
	sat := air.SatPressure(heat.Surface)
	if vapor <= sat {
		return heat
	}
	driving := (float64(vapor)/(airC+zeroC) - float64(sat)/(surfaceC+zeroC)) / vaporGasConstant
	heat.Water = massCoefficient(h, (surfaceC+airC)/2, room.Pressure) * max(0, driving)
	heat.Latent = unit.WPerM2(heat.Water * float64(air.LatentHeat(heat.Surface)))
	return heat
}

// massCoefficient is MassTransfer.Coefficient in an air film.
func massCoefficient(h, filmC float64, p unit.Pascal) float64 {
	film := unit.Celsius(filmC)
	props := PropertiesOf(film, p)
	return MassTransfer{unit.WPerM2K(h), props.Density, heatCapacity, props.Diffusivity, VaporDiffusivity(film, p)}.Coefficient()
}
