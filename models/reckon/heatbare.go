package reckon

import (
	"drylag/models/air"
	"drylag/models/heat"
	"drylag/models/unit"
)

// bareParts are the questions about components without a cover, and the bill.
var bareParts = []Quantity{
	{
		Name: "bare_cylinder", Title: "Heat and water on bare metal", Group: Heat,
		Answers: "How much heat does bare metal gain, and how much water forms on it?",
		Inputs: []Input{
			temperature("t_s", "metal temperature"), diameter("d", "outside diameter"), temperature("t_air", "room temperature"), surroundings(),
			relHumidity("rh"), emissivity(), airSpeed(), stationPressure("p"),
		},
		Outputs: []Output{
			outFlux("q_conv", "heat from the air"), outFlux("q_rad", "heat from the surroundings"),
			out("m_cond", "water or frost that forms", unit.VaporPerArea, "kg/(m2 s)"),
			outFlux("q_lat", "heat of that water"), outFlux("q_total", "all heat, ±30 %"),
		},
		Method: "convection, radiation and the analogy of heat and mass transfer in a quiet room; an estimate, ±30 %",
		Source: Source{"Cengel, Heat and Mass Transfer, chapter 14, example 14-10; films as Churchill and Chu 1975", Read},
		reckon: func(in Values) (Results, error) {
			bare := heat.Bare{Fluid: in.celsius("t_s"), Size: in.meter("d"), Emissivity: in.fraction("emissivity")}
			got := bare.Solve(room(in), air.VaporPressure(in.celsius("t_air"), in.fraction("rh")))
			return Results{
				"q_conv": num(got.Convection), "q_rad": num(got.Radiation), "m_cond": num(got.Water),
				"q_lat": num(got.Latent), "q_total": num(got.Total()),
			}, nil
		},
	},
	{
		Name: "bare_cylinder_sensible", Title: "Heat of a bare pipe, without water", Group: Heat,
		Answers: "How much heat does a meter of bare pipe gain from air and surroundings?",
		Inputs: []Input{
			hotOrCold("t_s", "metal temperature"), hotOrCold("t_air", "air temperature"), hotOrCold("t_sur", "temperature of the surroundings").optional(),
			diameter("d", "outside diameter"), emissivity(), airSpeed(), stationPressure("p"),
		},
		Outputs: []Output{outPerMeter("q_m", "heat into the pipe per meter")},
		Method:  "convection and radiation; below 0 it is a loss",
		Source:  coverSource,
		reckon: func(in Values) (Results, error) {
			pipe := heat.Cylinder{Fluid: in.celsius("t_s"), Diameter: in.meter("d"), Emissivity: in.fraction("emissivity")}
			return Results{"q_m": num(pipe.Solve(room(in)).PerMeter)}, nil
		},
	},
	{
		Name: "annual_cost", Title: "Cost of a heat gain", Group: Heat,
		Answers: "What does it cost the chillers to take this heat away?",
		Inputs: []Input{
			number("q", "heat gained", unit.Power, "W").within(-1e9, 1e9, HeatRange),
			number("hours", "hours in a year", unit.Time, "h").within(0, 8784, HoursRange),
			plain("cop", "heat taken away per electricity").above(0, 30, COPRange),
			number("tariff", "price of electricity", 0, "currency/kWh").within(0, most, TariffRange),
		},
		Outputs: []Output{out("kwh_e", "electricity", 0, "kWh"), out("cost", "cost in the currency of the tariff", 0, "currency")},
		Method:  "Q hours/(1000 COP), times the tariff",
		Source:  Source{"arithmetic", Practice},
		reckon: func(in Values) (Results, error) {
			plant := heat.Plant{COP: in.num("cop"), Tariff: in.num("tariff")}
			cost := plant.Annual(unit.Watt(in.num("q")), unit.Hours(in.num("hours")))
			return Results{"kwh_e": num(cost.Electricity), "cost": num(cost.Money)}, nil
		},
	},
	{
		Name: "vapor_diffusivity", Title: "Diffusivity of vapor in air", Group: Vapor,
		Answers: "How fast does vapor diffuse in air?",
		Inputs:  []Input{temperature("t", "air temperature"), stationPressure("p")},
		Outputs: []Output{out("d", "diffusivity", 0, "m2/s")},
		Method:  "1.87e-10 T^2.072/(p/101325)",
		Source:  Source{"Cengel, Heat and Mass Transfer, example 14-10; given there for 280 to 450 K", Read},
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
		Source:  Source{"Chilton and Colburn's analogy in Cengel, Heat and Mass Transfer, chapter 14", Read},
		reckon: func(in Values) (Results, error) {
			return Results{"h_m": num(heat.MassTransfer{
				H: unit.WPerM2K(in.num("h")), Density: unit.KgPerM3(in.num("rho")), HeatCapacity: in.num("cp"),
				ThermalDiffusivity: in.num("alpha"), VaporDiffusivity: in.num("d"),
			}.Coefficient())}, nil
		},
	},
}
