package heat

import (
	"math"

	"drylag/models/unit"
)

// Room is the air and the walls with which a surface exchanges heat.
type Room struct {
	Air      unit.Celsius
	Walls    *unit.Celsius // what the surface sees; nil: as warm as the air
	Pressure unit.Pascal   // of the station
	Speed    unit.MPerS    // of the air at the surface, 0 to 20; 0 is still air
}

func (r Room) wallsC() float64 {
	if r.Walls == nil {
		return float64(r.Air)
	}
	return float64(*r.Walls)
}

func (r Room) valid() bool {
	return r.Pressure > 0 && !math.IsInf(float64(r.Pressure), 0) && r.Speed >= 0 && r.Speed <= MaxSpeed
}

// Cylinder is a covered pipe, or an irregular component by its equivalent
// diameter (see Body). Without layers it is bare.
type Cylinder struct {
	Fluid      unit.Celsius
	Diameter   unit.Meter    // outside of the metal, 0.005 to 3 m
	Layers     []Layer       // from the metal outward
	Emissivity unit.Fraction // of the outside
	Inner      float64       // Inside.Resistance in m K/W; 0: metal as cold as the fluid
}

// Flat is a covered flat face.
type Flat struct {
	Fluid      unit.Celsius
	Height     unit.Meter    // of the face, for the air along it
	Layers     []Layer       // from the metal outward
	Emissivity unit.Fraction // of the outside
	Inner      float64       // resistance between fluid and outside of the metal in m² K/W; 0: metal as cold as the fluid
}

// Outside is what a covered component shows to its room.
type Outside struct {
	Surface  unit.Celsius
	PerArea  unit.WPerM2 // heat into the fluid per area of the outside
	PerMeter unit.WPerM  // the same per meter of a cylinder; NaN of a flat face
}

// Margin returns how far the surface is above the dew point.
func (o Outside) Margin(dew unit.Celsius) unit.Kelvin { return unit.Kelvin(o.Surface - dew) }

// Condenses reports whether the surface is below the dew point.
func (o Outside) Condenses(dew unit.Celsius) bool { return o.Surface < dew }

// Close reports whether the surface is dry but less than CloseMargin above the
// dew point.
func (o Outside) Close(dew unit.Celsius) bool {
	return !o.Condenses(dew) && o.Margin(dew) < CloseMargin
}

// Solve returns the outside of the cover in a room. Layers carry heat as shell
// says, the film gives
//
//	q_f = h_c · (T_a − T_s) + h_r · (T_r − T_s)
//
// and T_s is where both are equal. All NaN where an input is out of range or a
// conductivity is not above 0 between the coldest and the warmest of fluid, air
// and walls. Condensation on the outside is not in the balance. Source: Cengel,
// Heat and Mass Transfer, ch. 3 (conduction, read); films as Film.Coefficient
// and RadiationFlux; the solution is derived here.
func (c Cylinder) Solve(room Room) Outside {
	var few [4]shell
	s := c.section(few[:0])
	return s.outside(room)
}

// Solve is Cylinder.Solve for a flat face: per m², with the film of a vertical plate.
func (f Flat) Solve(room Room) Outside {
	var few [4]shell
	s := f.section(few[:0])
	return s.outside(room)
}

// section cuts the cover, its layers appended to shells. A size out of range
// makes it invalid.
func (c Cylinder) section(shells []shell) section {
	outerM := float64(c.Diameter)
	if !(c.Diameter >= MinDiameter && c.Diameter <= MaxDiameter) {
		outerM = math.NaN()
	}
	var l shell
	for _, layer := range c.Layers {
		l, outerM = cylinderShell(layer, outerM)
		shells = append(shells, l)
	}
	return section{
		film: Film{Shape: HorizontalCylinder, Size: unit.Meter(outerM)}, area: math.Pi * outerM,
		emissivity: float64(c.Emissivity), fluidC: float64(c.Fluid), inner: c.Inner, shells: shells,
	}
}

func (f Flat) section(shells []shell) section {
	for _, layer := range f.Layers {
		shells = append(shells, flatShell(layer))
	}
	return section{
		film: Film{Shape: VerticalPlate, Size: f.Height}, area: 1,
		emissivity: float64(f.Emissivity), fluidC: float64(f.Fluid), inner: f.Inner, shells: shells,
	}
}

func (s *section) outside(room Room) Outside {
	airC, wallsC := float64(room.Air), room.wallsC()
	lowC, highC := min(s.fluidC, airC, wallsC), max(s.fluidC, airC, wallsC)
	if !room.valid() || !s.valid(lowC, highC) {
		return noOutside()
	}
	s.film.Speed, s.film.Pressure = room.Speed, room.Pressure
	flux := func(surfaceC float64) float64 { return s.flux(surfaceC, airC, wallsC) }
	return s.at(s.solve(lowC, highC, flux), flux)
}

// at returns the outside at a solved temperature.
func (s *section) at(surfaceC float64, flux func(float64) float64) Outside {
	q := flux(surfaceC)
	perMeter := math.NaN()
	if s.film.Shape == HorizontalCylinder {
		perMeter = q * s.area
	}
	return Outside{unit.Celsius(surfaceC), unit.WPerM2(q), unit.WPerM(perMeter)}
}

func noOutside() Outside {
	nan := math.NaN()
	return Outside{unit.Celsius(nan), unit.WPerM2(nan), unit.WPerM(nan)}
}
