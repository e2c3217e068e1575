package reckon

import (
	"math"

	"drylag/models/heat"
	"drylag/models/unit"
	"drylag/models/vapor"
)

func wetShare() Input {
	return number("psi", "share of the volume that is wet", unit.Share, "1").within(0, 1, FractionRange)
}

// vaporInsulation are the questions about vapor in air, and about time and
// conductivity of wet insulation.
var vaporInsulation = []Quantity{
	{
		Name: "vapor_diffusivity", Title: "Diffusivity of vapor in air", Group: Vapor,
		Answers: "How fast does vapor diffuse in air?",
		Inputs:  []Input{temperature("t", "air temperature"), stationPressure("p")},
		Outputs: []Output{out("d", "diffusivity", 0, "m2/s")},
		Method:  "1.87e-10 T^2.072/(p/101325)",
		Source:  unit.Read.Source("Cengel, Heat and Mass Transfer, example 14-10; given there for 280 to 450 K"),
		reckon: func(in Values) (Results, error) {
			return Results{"d": num(heat.VaporDiffusivity(in.celsius("t"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "lewis_mass_coefficient", Title: "Mass transfer coefficient", Group: Vapor,
		Answers: "What mass transfer coefficient goes with this film coefficient?",
		Inputs: []Input{
			filmCoefficient("h", "film coefficient").within(0, 1e6, HRange),
			number("rho", "density of the air", unit.Density, "kg/m3").above(0, 1e4, PropertyRange),
			number("cp", "heat capacity of the air", 0, "J/(kg K)").above(0, 1e6, PropertyRange).ip("Btu/(lb F)"),
			number("alpha", "thermal diffusivity", 0, "m2/s").above(0, 1, PropertyRange),
			number("d", "diffusivity of vapor", 0, "m2/s").above(0, 1, PropertyRange),
		},
		Outputs: []Output{out("h_m", "mass transfer coefficient", 0, "m/s")},
		Method:  "h/(rho c_p Le^(2/3)), Le = alpha/D",
		Source:  unit.Read.Source("Chilton and Colburn's analogy in Cengel, Heat and Mass Transfer, chapter 14"),
		reckon: func(in Values) (Results, error) {
			return Results{"h_m": num(heat.MassTransfer{
				H: unit.WPerM2K(in.num("h")), Density: unit.KgPerM3(in.num("rho")), HeatCapacity: in.num("cp"),
				ThermalDiffusivity: in.num("alpha"), VaporDiffusivity: in.num("d"),
			}.Coefficient())}, nil
		},
	},
	{
		Name: "air_vapor_permeability", Title: "Vapor permeability of still air", Group: Vapor,
		Answers: "How well does still air let vapor through?",
		Inputs:  []Input{temperature("t", "air temperature"), stationPressure("p"), word("model", "formula", "schirmer", "power081").usually("schirmer")},
		Outputs: []Output{out("delta", "permeability", unit.Permeability, "kg/(m s Pa)")},
		Method:  "schirmer: 0.083/3600/(R_v T) (101325/p) (T/273.15)^1.81; power081: 2.0e-7 T^0.81/p",
		Source:  unit.Memory.Source("Schirmer as in DIN 52615; the power law read in a textbook of building physics"),
		reckon: func(in Values) (Results, error) {
			permeability := vapor.AirPermeability
			if in.word("model") == "power081" {
				permeability = vapor.AirPermeabilityPower
			}
			return Results{"delta": num(permeability(in.celsius("t"), in.pascal("p")))}, nil
		},
	},
	{
		Name: "time_to_moisture", Title: "Time until insulation is wet", Group: Vapor,
		Answers: "After how many days does this flow bring the insulation to this moisture?",
		Inputs: []Input{
			number("g", "vapor that enters", unit.VaporFlow, "kg/s").within(0, 1e6, FlowRange),
			number("volume", "volume of the insulation", unit.Volume, "m3").above(0, 1e6, VolumeRange),
			number("fraction", "moisture by volume", unit.Share, "1").within(0, 1, FractionRange),
		},
		Outputs: []Output{out("days", "time", 0, "d").orNull("never: nothing enters")},
		Method:  "moisture times volume times 1000 kg/m3 over the flow",
		Source:  unit.Derived.Source("balance of mass"),
		reckon: func(in Values) (Results, error) {
			hours := vapor.TimeToMoisture(unit.KgPerS(in.num("g")), unit.M3(in.num("volume")), in.fraction("fraction"))
			if math.IsInf(float64(hours), 1) {
				return Results{"days": none()}, nil
			}
			return Results{"days": {value: float64(hours), unit: "h"}}, nil
		},
	},
	{
		Name: "k_wet_bounds", Title: "Conductivity of wet insulation", Group: Vapor,
		Answers: "How much worse does insulation insulate when part of it is wet?",
		Inputs:  []Input{conductivity("k_dry", "dry conductivity"), wetShare()},
		Outputs: []Output{
			out("k_series", "water in layers across the heat", unit.Conductivity, "W/(m K)"),
			out("k_exp", "exponential rule, to be shown as low", unit.Conductivity, "W/(m K)"),
			out("k_parallel", "water in bridges, to be shown as high", unit.Conductivity, "W/(m K)"),
		},
		Method: "series and parallel bounds with 0.60 W/(m K) of water, and k e^(4 psi) between",
		Source: unit.Derived.Source("bounds derived here; exponential of ISO 10456 for mineral wool below 15 % (from memory)"),
		reckon: func(in Values) (Results, error) {
			k := vapor.WetBounds(unit.WPerMK(in.num("k_dry")), in.fraction("psi"))
			return Results{"k_series": num(k.Series), "k_exp": num(k.Exponential), "k_parallel": num(k.Parallel)}, nil
		},
	},
	{
		Name: "k_wet_exponential", Title: "Conductivity of wet insulation, exponential", Group: Vapor,
		Answers: "What does the exponential rule give for wet insulation?",
		Inputs: []Input{
			conductivity("k_dry", "dry conductivity"), wetShare(),
			plain("f", "factor of the material").within(0, 100, FactorRange).usually(vapor.MoistureFactor),
		},
		Outputs: []Output{out("k", "conductivity", unit.Conductivity, "W/(m K)")},
		Method:  "k e^(f psi)",
		Source:  unit.Memory.Source("ISO 10456; f = 4 for mineral wool below 15 %"),
		reckon: func(in Values) (Results, error) {
			return Results{"k": num(vapor.WetExponential(unit.WPerMK(in.num("k_dry")), in.fraction("psi"), in.num("f")))}, nil
		},
	},
}
