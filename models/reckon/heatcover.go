package reckon

import (
	"fmt"

	"drylag/models/air"
	"drylag/models/heat"
	"drylag/models/unit"
)

// layers is the input of a cover's insulation, from the metal outward.
func layers(label string) Input {
	return Input{Name: "layers", Label: label, Shape: Rows, Unit: "m, W/(m K), W/(m K2)", Code: ThicknessRange, Fields: []Input{
		insulationThickness("t", "thickness"), conductivity("k0", "conductivity at 0 °C"), conductivityRise("k1"),
	}}
}

func surroundings() Input {
	return temperature("t_sur", "temperature of the surroundings; as the air where left out").optional()
}

var (
	coverSource = unit.Derived.Source("films as Churchill and Chu 1975 and Churchill and Bernstein 1977; conduction as Cengel, Heat and Mass Transfer, chapter 3; their balance solved here")
	fixedSource = unit.Read.Source("resistances in series: Cengel, Heat and Mass Transfer, chapter 3")
	leastSource = unit.Derived.Source("conduction equals the film at the limit; ISO 12241:2008, 4.3 has the same form (from memory)")
)

// coveredParts are the questions about components under a cover.
var coveredParts = []Quantity{
	{
		Name: "covered_cylinder", Title: "Outside of a covered pipe", Group: Heat,
		Answers: "How cold does the outside of this cover get, and does it sweat?",
		Inputs: []Input{
			temperature("t_fluid", "fluid temperature"), diameter("d_pipe", "outside diameter of the metal"), layers("layers from the metal outward"),
			temperature("t_air", "room temperature"), surroundings(), emissivity(), airSpeed(), stationPressure("p"), someHumidity("rh"),
			filmCoefficient("h_inside", "film coefficient inside").optional(),
			diameter("d_inside", "inside diameter of the pipe").optional(),
			conductivity("k_wall", "conductivity of the metal").optional(),
		},
		Outputs: []Output{
			outTemperature("t_s", "outside of the cover"), outPerMeter("q_m", "heat gained per meter"),
			outTemperature("t_dp", "dew point of the room"), outYesNo("condenses", "the outside is below the dew point"),
		},
		Method: "heat through the layers equals heat from air and surroundings; metal as cold as the fluid unless an inside film or wall is given",
		Source: coverSource,
		reckon: coveredCylinder,
	},
	{
		Name: "covered_flat", Title: "Outside of a covered flat face", Group: Heat,
		Answers: "How cold does the outside of this flat cover get, and does it sweat?",
		Inputs: []Input{
			temperature("t_fluid", "fluid temperature"), layers("layers from the metal outward"),
			temperature("t_air", "room temperature"), surroundings(),
			number("height", "height of the face", unit.Length, "m").within(0.005, 100, SizeRange),
			emissivity(), airSpeed(), stationPressure("p"), someHumidity("rh"),
			filmCoefficient("h_inside", "film coefficient inside").optional(),
		},
		Outputs: []Output{
			outTemperature("t_s", "outside of the cover"), outFlux("q", "heat gained per area"),
			outTemperature("t_dp", "dew point of the room"), outYesNo("condenses", "the outside is below the dew point"),
		},
		Method: "heat through the layers equals heat from air and surroundings, as at a vertical plate",
		Source: coverSource,
		reckon: coveredFlat,
	},
	{
		Name: "cylinder_fixed_h", Title: "Heat through a covered pipe, given films", Group: Heat,
		Answers: "How much heat passes through pipe and cover with these film coefficients?",
		Inputs: []Input{
			hotOrCold("t_fluid", "fluid temperature"), hotOrCold("t_air", "air temperature"), diameter("d_inside", "inside diameter of the pipe"),
			filmCoefficient("h_inside", "film coefficient inside"), layers("layers from the inside outward, the pipe's wall first"),
			filmCoefficient("h_out", "film coefficient outside"),
		},
		Outputs: []Output{outPerMeter("q_m", "heat into the fluid per meter"), outTemperature("t_s", "outside of the cover")},
		Method:  "resistances in series; for examples of textbooks, not to pass a cover",
		Source:  fixedSource,
		reckon: func(in Values) (Results, error) {
			if err := conducts(in, "t_fluid", "t_air"); err != nil {
				return nil, err
			}
			inside := heat.Inside{Diameter: in.meter("d_inside"), H: new(unit.WPerM2K(in.num("h_inside")))}
			pipe := heat.Cylinder{Fluid: in.celsius("t_fluid"), Diameter: inside.Diameter, Layers: layersOf(in), Inner: inside.Resistance(inside.Diameter)}
			o := pipe.SolveFixed(heat.FixedFilm{Air: in.celsius("t_air"), H: unit.WPerM2K(in.num("h_out"))})
			return Results{"q_m": num(o.PerMeter), "t_s": num(o.Surface)}, nil
		},
	},
	{
		Name: "flat_fixed_h", Title: "Heat through a flat cover, given film", Group: Heat,
		Answers: "How much heat passes through a flat cover with this film coefficient?",
		Inputs: []Input{
			hotOrCold("t_fluid", "fluid temperature"), hotOrCold("t_air", "air temperature"),
			layers("layers from the fluid outward"), filmCoefficient("h_out", "film coefficient outside"),
		},
		Outputs: []Output{outFlux("q", "heat into the fluid per area"), outTemperature("t_s", "outside of the cover")},
		Method:  "resistances in series; for examples of textbooks, not to pass a cover",
		Source:  fixedSource,
		reckon: func(in Values) (Results, error) {
			if err := conducts(in, "t_fluid", "t_air"); err != nil {
				return nil, err
			}
			face := heat.Flat{Fluid: in.celsius("t_fluid"), Height: 1, Layers: layersOf(in)}
			o := face.SolveFixed(heat.FixedFilm{Air: in.celsius("t_air"), H: unit.WPerM2K(in.num("h_out"))})
			return Results{"q": num(o.PerArea), "t_s": num(o.Surface)}, nil
		},
	},
	{
		Name: "flat_radiation_fixed_hc", Title: "Heat through a flat wall with radiation, given film", Group: Heat,
		Answers: "How much heat passes through a wall that exchanges with air and surroundings?",
		Inputs: []Input{
			hotOrCold("t_fluid", "fluid temperature"), hotOrCold("t_air", "air temperature"), hotOrCold("t_sur", "temperature of the surroundings"),
			number("r_inner", "resistance between fluid and outside", 0, "m2 K/W").within(0, 1e4, HRange).ip("h ft2 F/Btu"),
			filmCoefficient("h_c", "film coefficient of the air alone"), emissivity(),
		},
		Outputs: []Output{outFlux("q", "heat into the fluid per area"), outTemperature("t_s", "outside")},
		Method:  "heat through the wall equals given convection plus radiation",
		Source:  coverSource,
		reckon: func(in Values) (Results, error) {
			face := heat.Flat{Fluid: in.celsius("t_fluid"), Height: 1, Emissivity: in.fraction("emissivity"), Inner: in.num("r_inner")}
			o := face.SolveFixed(heat.FixedFilm{Air: in.celsius("t_air"), H: unit.WPerM2K(in.num("h_c")), RadiatesTo: new(in.celsius("t_sur"))})
			return Results{"q": num(o.PerArea), "t_s": num(o.Surface)}, nil
		},
	},
	{
		Name: "min_thickness_flat_fixed_h", Title: "Least thickness of a flat cover, given film", Group: Heat,
		Answers: "How thick must a flat cover be to keep its outside at this temperature?",
		Inputs: []Input{
			hotOrCold("t_fluid", "fluid temperature"), hotOrCold("t_air", "air temperature"), hotOrCold("t_target", "least temperature of the outside"),
			conductivity("k", "conductivity"), filmCoefficient("h_out", "film coefficient outside"),
		},
		Outputs: []Output{outInsulation("t", "least thickness; 0 is not needed")},
		Method:  "(k/h) (T* - T_f)/(T_a - T*), up to 0.5 m",
		Source:  leastSource,
		reckon: func(in Values) (Results, error) {
			face := heat.Flat{Fluid: in.celsius("t_fluid"), Height: 1}
			film := heat.FixedFilm{Air: in.celsius("t_air"), H: unit.WPerM2K(in.num("h_out"))}
			return leastThickness(face.LeastThicknessFixed(heat.Conductivity{AtZero: unit.WPerMK(in.num("k"))}, in.celsius("t_target"), film))
		},
	},
	{
		Name: "min_thickness_no_condensation", Title: "Least thickness against sweating", Group: Heat,
		Answers: "How thick must the cover be so that its outside does not sweat?",
		Inputs: []Input{
			temperature("t_fluid", "fluid temperature"), diameter("d_pipe", "outside diameter of the metal"),
			conductivity("k0", "conductivity at 0 °C"), conductivityRise("k1"),
			temperature("t_air", "room temperature"), someHumidity("rh"), emissivity(),
			number("margin", "wanted above the dew point", unit.TempDifference, "K").within(0, 50, DifferenceRange).usually(0.0),
			airSpeed(), filmCoefficient("h_fixed", "film coefficient outside, where one is given").optional(),
			surroundings(), stationPressure("p"),
		},
		Outputs: []Output{outInsulation("t", "least thickness; 0 is not needed")},
		Method:  "the thickness at which the outside is at the dew point plus the margin, up to 0.5 m",
		Source:  leastSource,
		reckon:  leastAgainstSweating,
	},
}

func outInsulation(name, label string) Output { return out(name, label, unit.Thickness, "m") }

// layersOf reads the rows of the layers.
func layersOf(in Values) []heat.Layer {
	rows := in.rows("layers")
	list := make([]heat.Layer, len(rows))
	for i, row := range rows {
		list[i] = heat.Layer{Thickness: unit.Meter(row["t"]), K: heat.Conductivity{AtZero: unit.WPerMK(row["k0"]), PerK: row["k1"]}}
	}
	return list
}

// conducts refuses layers whose conductivity is not above 0 at the coldest and
// at the warmest of the named temperatures.
func conducts(in Values, temperatures ...string) error {
	low, high := span(in, temperatures...)
	for i, l := range layersOf(in) {
		if err := above0(fmt.Sprintf("layers[%d].k0", i), l.K, low, high); err != nil {
			return err
		}
	}
	return nil
}

// span is the coldest and the warmest of the named temperatures that were given.
func span(in Values, temperatures ...string) (low, high unit.Celsius) {
	low, high = in.celsius(temperatures[0]), in.celsius(temperatures[0])
	for _, name := range temperatures[1:] {
		if in.has(name) {
			low, high = min(low, in.celsius(name)), max(high, in.celsius(name))
		}
	}
	return low, high
}

func above0(field string, k heat.Conductivity, low, high unit.Celsius) error {
	if k.At(low) > 0 && k.At(high) > 0 {
		return nil
	}
	return fault(KRange, field, "the conductivity must be above 0 from %.6g to %.6g °C", low, high)
}

// room is the room of the usual inputs.
func room(in Values) heat.Room {
	r := heat.Room{Air: in.celsius("t_air"), Pressure: in.pascal("p"), Speed: unit.MPerS(in.num("air_speed"))}
	if in.has("t_sur") {
		r.Walls = new(in.celsius("t_sur"))
	}
	return r
}

// dewOf is the dew point of the room.
func dewOf(in Values) (unit.Celsius, error) {
	dew := air.DewPoint(in.celsius("t_air"), in.fraction("rh"))
	if dew != dew {
		return 0, fault(RHRange, "rh", "this air is so dry that its dew point lies below -100 °C")
	}
	return dew, nil
}

func coveredCylinder(in Values) (Results, error) {
	dew, err := dewOf(in)
	if err != nil {
		return nil, err
	}
	if err := conducts(in, "t_fluid", "t_air", "t_sur"); err != nil {
		return nil, err
	}
	inner, err := insideOf(in)
	if err != nil {
		return nil, err
	}
	o := heat.Cylinder{
		Fluid: in.celsius("t_fluid"), Diameter: in.meter("d_pipe"), Layers: layersOf(in), Emissivity: in.fraction("emissivity"), Inner: inner,
	}.Solve(room(in))
	return Results{"t_s": num(o.Surface), "q_m": num(o.PerMeter), "t_dp": num(dew), "condenses": isSo(o.Condenses(dew))}, nil
}

// insideOf is the resistance of the film in the pipe and of its wall, as far as
// they are given, in m K/W.
func insideOf(in Values) (float64, error) {
	if !in.has("h_inside") && !in.has("k_wall") {
		return 0, nil
	}
	if !in.has("d_inside") {
		return 0, fault(MissingInput, "d_inside", "give the inside diameter of the pipe with its film or wall")
	}
	if in.num("d_inside") > in.num("d_pipe") {
		return 0, fault(SizeRange, "d_inside", "the inside of the pipe cannot be wider than its outside")
	}
	inside := heat.Inside{Diameter: in.meter("d_inside")}
	if in.has("h_inside") {
		inside.H = new(unit.WPerM2K(in.num("h_inside")))
	}
	if in.has("k_wall") {
		inside.WallK = new(unit.WPerMK(in.num("k_wall")))
	}
	return inside.Resistance(in.meter("d_pipe")), nil
}

func coveredFlat(in Values) (Results, error) {
	dew, err := dewOf(in)
	if err != nil {
		return nil, err
	}
	if err := conducts(in, "t_fluid", "t_air", "t_sur"); err != nil {
		return nil, err
	}
	face := heat.Flat{Fluid: in.celsius("t_fluid"), Height: in.meter("height"), Layers: layersOf(in), Emissivity: in.fraction("emissivity")}
	if in.has("h_inside") {
		face.Inner = 1 / in.num("h_inside")
	}
	o := face.Solve(room(in))
	return Results{"t_s": num(o.Surface), "q": num(o.PerArea), "t_dp": num(dew), "condenses": isSo(o.Condenses(dew))}, nil
}

func leastAgainstSweating(in Values) (Results, error) {
	dew, err := dewOf(in)
	if err != nil {
		return nil, err
	}
	k := heat.Conductivity{AtZero: unit.WPerMK(in.num("k0")), PerK: in.num("k1")}
	low, high := span(in, "t_fluid", "t_air", "t_sur")
	target := dew + unit.Celsius(in.num("margin"))
	if err := above0("k0", k, min(low, target), max(high, target)); err != nil {
		return nil, err
	}
	pipe := heat.Cylinder{Fluid: in.celsius("t_fluid"), Diameter: in.meter("d_pipe"), Emissivity: in.fraction("emissivity")}
	if in.has("h_fixed") {
		return leastThickness(pipe.LeastThicknessFixed(k, target, heat.FixedFilm{Air: in.celsius("t_air"), H: unit.WPerM2K(in.num("h_fixed"))}))
	}
	return leastThickness(pipe.LeastThickness(k, target, room(in)))
}

func leastThickness(l heat.Least) (Results, error) {
	if l.Unattainable {
		return nil, fault(Unattainable, "t", "0.5 m are not enough: the air gives too little heat at that temperature")
	}
	return Results{"t": num(l.Thickness)}, nil
}
