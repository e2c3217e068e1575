package reckon

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
	"drylag/models/vapor"
)

func permeability() Input {
	return number("permeability", "vapor permeability of the insulation", unit.Permeability, "kg/(m s Pa)").within(0, 1e-6, PermeabilityRange)
}

// facing is the permeance of a facing, null for none.
func facing() Input {
	return number("facing_permeance", "vapor permeance of the facing", unit.Permeance, "kg/(m2 s Pa)").within(0, 1, PermeanceRange).orNull("no facing")
}

func facingOf(in Values) *unit.KgPerM2SPa {
	if !in.has("facing_permeance") {
		return nil
	}
	return new(unit.KgPerM2SPa(in.num("facing_permeance")))
}

func roomVapor(in Values) unit.Pascal {
	return air.VaporPressure(in.celsius("t_air"), in.fraction("rh"))
}

// diffusionOnly is said with every ingress.
const diffusionOnly = "; diffusion only: air pumped through a seam is not in it"

// vaporFlow are the questions about vapor on its way to the metal.
var vaporFlow = []Quantity{
	{
		Name: "vapor_flux_series", Title: "Vapor through resistances in series", Group: Vapor,
		Answers: "How much vapor passes layers that lie one behind another?",
		Inputs: []Input{
			vaporPressure("p1", "vapor pressure on one side"), vaporPressure("p2", "vapor pressure on the other side"),
			number("resistances", "resistances", 0, "m2 s Pa/kg").within(0, 1e30, PermeanceRange).list(),
		},
		Outputs: []Output{outVaporFlux()},
		Method:  "pressure difference over the sum of the resistances",
		Source:  unit.Read.Source("Cengel, Heat and Mass Transfer, example 14-6"),
		reckon: func(in Values) (Results, error) {
			g := vapor.SeriesFlux(in.pascal("p1"), in.pascal("p2"), in.nums("resistances")...)
			if g != g {
				return nil, fault(PermeanceRange, "resistances", "their sum must be above 0")
			}
			return Results{"g": num(g)}, nil
		},
	},
	{
		Name: "vapor_flux_flat", Title: "Vapor into a flat cover", Group: Vapor,
		Answers: "How much vapor reaches the metal under a flat cover?",
		Inputs: []Input{
			temperature("t_air", "room temperature"), relHumidity("rh"), temperature("t_metal", "metal temperature"),
			insulationThickness("t_ins", "thickness of the insulation"), permeability(), facing(),
		},
		Outputs: []Output{outVaporFlux()},
		Method:  "vapor pressure of the room less saturation at the metal, over facing and insulation; below 0 it dries" + diffusionOnly,
		Source:  unit.Read.Source("series of resistances: Cengel, Heat and Mass Transfer, example 14-6"),
		reckon: func(in Values) (Results, error) {
			return Results{"g": num(vapor.Flat{
				Room: roomVapor(in), Metal: in.celsius("t_metal"), Thickness: in.meter("t_ins"),
				Permeability: unit.KgPerMSPa(in.num("permeability")), Facing: facingOf(in),
			}.Flux())}, nil
		},
	},
	{
		Name: "vapor_ingress_cylinder", Title: "Vapor into a whole round cover", Group: Vapor,
		Answers: "How much water enters a meter of this cover, and where does it form?",
		Inputs: []Input{
			temperature("t_metal", "metal temperature"), temperature("t_s", "outside of the cover"), temperature("t_air", "room temperature"), relHumidity("rh"),
			number("r_inner", "inner radius of the insulation", unit.Thickness, "m").within(0.0025, 1.5, SizeRange),
			number("r_outer", "outer radius of the insulation", unit.Thickness, "m").within(0.0025, 2.5, SizeRange),
			permeability(), facing(),
		},
		Outputs: []Output{
			out("g_m", "vapor per meter", unit.VaporPerLength, "kg/(m s)"), out("g_year", "in 8760 h of the same", 0, "kg/(m a)").ip("lb/(ft a)"),
			out("r_wet", "radius where it condenses; the inner radius is the metal", unit.Thickness, "m"),
		},
		Method: "the largest flow over all radii at which it could condense; below 0 it dries" + diffusionOnly,
		Source: unit.Derived.Source("tangent of Glaser; compared with 60001 radii"),
		reckon: wholeIngress,
	},
	{
		Name: "defect_ingress", Title: "Vapor through an open seam", Group: Vapor,
		Answers: "How much water enters through an open seam, lap or unsealed penetration?",
		Inputs: []Input{
			temperature("t_air", "room temperature"), relHumidity("rh"), temperature("t_metal", "metal temperature"),
			number("length", "length of the seam, or perimeter of a penetration", unit.Length, "m").within(0, 1000, SizeRange),
			number("gap", "width of the gap", unit.Thickness, "m").within(0, 0.5, SizeRange),
			insulationThickness("t_ins", "thickness of the insulation"), permeability(),
			number("lap_depth", "depth of the lap", unit.Thickness, "m").within(0, 1, SizeRange).usually(0.0),
		},
		Outputs: []Output{out("g_low", "least flow", unit.VaporFlow, "kg/s"), out("g_high", "largest flow", unit.VaporFlow, "kg/s")},
		Method:  "low: straight in; high: spread out under a tight facing" + diffusionOnly,
		Source:  unit.Derived.Source("exact in two dimensions; compared with finite differences"),
		reckon: func(in Values) (Results, error) {
			bounds := vapor.Defect{
				Length: in.meter("length"), Gap: in.meter("gap"), Lap: in.meter("lap_depth"), Thickness: in.meter("t_ins"),
				Permeability: unit.KgPerMSPa(in.num("permeability")),
			}.Ingress(roomVapor(in) - air.SatPressure(in.celsius("t_metal")))
			return Results{"g_low": num(bounds.Low), "g_high": num(bounds.High)}, nil
		},
	},
	{
		Name: "slot_shape_factor", Title: "Shape factor of an open slot", Group: Vapor,
		Answers: "How far does vapor spread behind a slot in a tight facing?",
		Inputs: []Input{
			number("w", "width of the slot", unit.Thickness, "m").within(0, 10, SizeRange),
			insulationThickness("t", "thickness of the insulation"),
		},
		Outputs: []Output{out("s", "shape factor", 0, "1")},
		Method:  "2 K(k)/K(k'), k = tanh(pi w/4t), by arithmetic-geometric means",
		Source:  unit.Derived.Source("half the capacitance of a strip line; compared with a library and with finite differences"),
		reckon: func(in Values) (Results, error) {
			return Results{"s": num(vapor.SlotFactor(in.meter("w"), in.meter("t")))}, nil
		},
	},
}

func outVaporFlux() Output { return out("g", "vapor per area", unit.VaporPerArea, "kg/(m2 s)") }

func wholeIngress(in Values) (Results, error) {
	if !(in.num("r_outer") > in.num("r_inner")) {
		return nil, fault(SizeRange, "r_outer", "the outer radius must be above the inner one")
	}
	got := vapor.Cylinder{
		Room: roomVapor(in), Metal: in.celsius("t_metal"), Surface: in.celsius("t_s"), Inner: in.meter("r_inner"), Outer: in.meter("r_outer"),
		Permeability: unit.KgPerMSPa(in.num("permeability")), Facing: facingOf(in),
	}.Ingress()
	if math.IsInf(float64(got.Rate), 1) {
		return nil, fault(NoAnswer, "t_s", "without a facing and with the outside below the dew point the outside itself is wet, and nothing limits what enters")
	}
	return Results{"g_m": num(got.Rate), "g_year": {value: float64(got.Rate), unit: "kg/(m s)"}, "r_wet": num(got.Plane)}, nil
}
