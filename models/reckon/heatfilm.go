package reckon

import (
	"fmt"

	"drylag/models/heat"
	"drylag/models/unit"
)

func rayleigh() Input { return plain("ra", "Rayleigh number").within(0, 1e12, PropertyRange) }

func prandtl() Input { return plain("pr", "Prandtl number").above(0, 1e5, PropertyRange) }

func outNusselt() []Output { return []Output{out("nu", "Nusselt number", 0, "1")} }

// shapes are the words of a surface's geometry.
var shapes = map[string]heat.Shape{"hcyl": heat.HorizontalCylinder, "vplate": heat.VerticalPlate}

// films are the questions about the air at a surface.
var films = []Quantity{
	{
		Name: "air_properties", Title: "Properties of dry air", Group: Heat,
		Answers: "What are viscosity, conductivity and Prandtl number of dry air?",
		Inputs:  []Input{hotOrCold("t", "air temperature"), stationPressure("p")},
		Outputs: []Output{
			out("mu", "dynamic viscosity", 0, "Pa s"), out("k", "conductivity", unit.Conductivity, "W/(m K)"),
			out("nu", "kinematic viscosity", 0, "m2/s"), out("pr", "Prandtl number", 0, "1"),
		},
		Method: "power laws of temperature, ideal gas, heat capacity 1006 J/(kg K)",
		Source: heat.AirSource,
		reckon: func(in Values) (Results, error) {
			a := heat.PropertiesOf(in.celsius("t"), in.pascal("p"))
			return Results{"mu": num(a.Viscosity), "k": num(a.Conductivity), "nu": num(a.Kinematic), "pr": num(a.Prandtl)}, nil
		},
	},
	{
		Name: "nusselt_free_horizontal_cylinder", Title: "Still air at a horizontal cylinder", Group: Heat,
		Answers: "What is the Nusselt number of free convection at a horizontal cylinder?",
		Inputs:  []Input{rayleigh(), prandtl()}, Outputs: outNusselt(),
		Method: "(0.60 + 0.387 Ra^(1/6)/[1 + (0.559/Pr)^(9/16)]^(8/27))^2",
		Source: heat.FreeSource,
		reckon: func(in Values) (Results, error) {
			return Results{"nu": num(heat.NusseltFreeCylinder(in.num("ra"), in.num("pr")))}, nil
		},
	},
	{
		Name: "nusselt_free_vertical_plate", Title: "Still air at a vertical plate", Group: Heat,
		Answers: "What is the Nusselt number of free convection at a vertical plate?",
		Inputs:  []Input{rayleigh(), prandtl()}, Outputs: outNusselt(),
		Method: "(0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27))^2",
		Source: heat.FreeSource,
		reckon: func(in Values) (Results, error) {
			return Results{"nu": num(heat.NusseltFreePlate(in.num("ra"), in.num("pr")))}, nil
		},
	},
	{
		Name: "nusselt_forced_cylinder", Title: "Moving air across a cylinder", Group: Heat,
		Answers: "What is the Nusselt number of air that flows across a cylinder?",
		Inputs:  []Input{plain("re", "Reynolds number").within(0, 1e7, PropertyRange), prandtl()}, Outputs: outNusselt(),
		Method: "0.3 + 0.62 Re^(1/2) Pr^(1/3)/[1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5)",
		Source: heat.ForcedSource,
		reckon: func(in Values) (Results, error) {
			return Results{"nu": num(heat.NusseltForcedCylinder(in.num("re"), in.num("pr")))}, nil
		},
	},
	{
		Name: "film_coefficient", Title: "Film coefficient of the air", Group: Heat,
		Answers: "How much heat does the air give to this surface per degree, without radiation?",
		Inputs: []Input{
			hotOrCold("t_s", "surface temperature"), hotOrCold("t_air", "air temperature"),
			word("geometry", "horizontal cylinder (hcyl) or vertical plate (vplate)", "hcyl", "vplate"),
			number("size", "outside diameter, or height of a plate", unit.Length, "m").within(0.001, 100, SizeRange),
			airSpeed(), stationPressure("p"),
		},
		Outputs: []Output{out("h_c", "film coefficient", unit.HeatTransfer, "W/(m2 K)")},
		Method:  "free convection with the air's properties at the mean temperature; moving air is blended in",
		Source:  unit.Library.Source("Churchill and Chu 1975, Churchill and Bernstein 1977; the plate in moving air and the blend from memory"),
		reckon: func(in Values) (Results, error) {
			film := heat.Film{Shape: shapes[in.word("geometry")], Size: in.meter("size"), Speed: unit.MPerS(in.num("air_speed")), Pressure: in.pascal("p")}
			return Results{"h_c": num(film.Coefficient(in.celsius("t_s"), in.celsius("t_air")))}, nil
		},
	},
	{
		Name: "free_convection_power_law", Title: "Film coefficient, handbook form", Group: Heat,
		Answers: "What does the handbook's power law give for free convection?",
		Inputs: []Input{
			{Name: "c", Label: "constant, 1.32 for a cylinder and 1.37 for a plate with n = 0.25", Shape: Any, Unit: "W/(m^1.75 K^1.25)", Code: FactorRange},
			number("dt", "temperature difference", unit.TempDifference, "K").within(0, 1000, DifferenceRange),
			number("size", "outside diameter, or height of a plate", unit.Length, "m").above(0, 100, SizeRange),
			plain("n", "exponent").within(0, 1, FactorRange),
		},
		Outputs: []Output{out("h_c", "film coefficient", unit.HeatTransfer, "W/(m2 K)")},
		Method:  "c (dt/size)^n",
		Source:  unit.Read.Source("Geankoplis, Transport Processes and Unit Operations, 4.7"),
		reckon:  powerLaw,
	},
	{
		Name: "radiation_flux", Title: "Radiation into a surface", Group: Heat,
		Answers: "How much heat do the surroundings radiate into this surface?",
		Inputs:  []Input{emissivity(), hotOrCold("t_s", "surface temperature"), hotOrCold("t_sur", "temperature of the surroundings")},
		Outputs: []Output{outFlux("q", "heat into the surface")},
		Method:  "emissivity times 5.670374419e-8 (T_r^4 - T_s^4)",
		Source:  unit.Read.Source("Cengel, Heat and Mass Transfer, chapter 1; constant of CODATA 2018"),
		reckon: func(in Values) (Results, error) {
			return Results{"q": num(heat.RadiationFlux(in.fraction("emissivity"), in.celsius("t_s"), in.celsius("t_sur")))}, nil
		},
	},
}

func outFlux(name, label string) Output { return out(name, label, unit.HeatPerArea, "W/m2") }

func outPerMeter(name, label string) Output { return out(name, label, unit.HeatPerLength, "W/m") }

// powerLaw takes its constant as a plain number, or in the unit that the
// exponent makes of it.
func powerLaw(in Values) (Results, error) {
	c, n := in.values["c"], in.num("n")
	if !(c.number > 0 && c.number <= 1e9) {
		return nil, fault(FactorRange, "c", "the constant must be above 0 and at most 1e9")
	}
	of := fmt.Sprintf("W/(m^%.4g K^%.4g)", 2-n, 1+n)
	if c.unit != "1" {
		si, err := unit.Convert(c.number, c.unit, of)
		if err != nil {
			return nil, fault(WrongUnit, "c", "with n = %.4g the constant is given in %q, not in %q", n, of, shorten(c.unit))
		}
		c.number = si
	}
	return Results{"h_c": num(heat.PowerLaw(c.number, unit.Kelvin(in.num("dt")), in.meter("size"), n))}, nil
}
