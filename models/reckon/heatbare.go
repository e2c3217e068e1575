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
		Source: unit.Read.Source("Cengel, Heat and Mass Transfer, chapter 14, example 14-10; films as Churchill and Chu 1975"),
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
		Source:  unit.Practice.Source("arithmetic"),
		reckon: func(in Values) (Results, error) {
			plant := heat.Plant{COP: in.num("cop"), Tariff: in.num("tariff")}
			cost := plant.Annual(unit.Watt(in.num("q")), unit.Hours(in.num("hours")))
			return Results{"kwh_e": num(cost.Electricity), "cost": num(cost.Money)}, nil
		},
	},
}
