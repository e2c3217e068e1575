package reckon

import (
	"math"

	"drylag/models/takeoff"
	"drylag/models/unit"
)

// size is a length of a part, from 0 up: 0 is none.
func size(name, label string) Input {
	return number(name, label, unit.Length, "m").within(0, 100, SizeRange)
}

func installed() Input {
	return insulationThickness("t_eff", "thickness as installed, compressed")
}

func outArea() Output { return out("area", "area over the outside of the cover", unit.Area, "m2") }

var (
	measured = unit.Read.Source("measured over the outside of the finished cover, end caps counted: TIASA handbook (2001), section 5.3")
	usual    = unit.Practice.Source("arithmetic of the trade")
	coatings = unit.Read.Source("a coatings note: 10 VS/DFT, 16.04 VS/DFT in ft2/gal, WFT = DFT 100/VS")
)

// coverAreas are the questions about the size of a cover.
var coverAreas = []Quantity{
	{
		Name: "cover_stretch_out", Title: "Stretch-out of a cover", Group: TakeOff,
		Answers: "How long is the blanket around, and what is its area?",
		Inputs: []Input{
			diameter("d", "outside diameter of the part"), installed(),
			size("length", "length along the pipe"), size("lap", "lap of the blanket on itself").usually(0.0),
		},
		Outputs: []Output{out("circumference", "girth over the cover", unit.Length, "m"), outArea()},
		Method:  "pi (D + 2 t); (girth + lap) times length",
		Source:  measured,
		reckon: func(in Values) (Results, error) {
			w := takeoff.Wrap{Diameter: in.meter("d"), Length: in.meter("length"), Thickness: in.meter("t_eff"), Lap: in.meter("lap")}
			return Results{"circumference": num(takeoff.StretchOut(w.Diameter, w.Thickness)), "area": num(w.Area())}, nil
		},
	},
	{
		Name: "flange_pair_area", Title: "Cover of a flange pair", Group: TakeOff,
		Answers: "What area has the cover of two bolted flanges?",
		Inputs: []Input{
			diameter("d_flange", "flange diameter"), size("width", "width of the finished cover"), installed(), diameter("d_pipe", "outside diameter of the pipe"),
		},
		Outputs: []Output{outArea()},
		Method:  "girth times width and two end caps",
		Source:  measured,
		reckon: func(in Values) (Results, error) {
			if err := pipeFits(in); err != nil {
				return nil, err
			}
			f := takeoff.FlangePair{Flange: in.meter("d_flange"), Width: in.meter("width"), Thickness: in.meter("t_eff"), Pipe: in.meter("d_pipe")}
			return Results{"area": num(f.Area())}, nil
		},
	},
	{
		Name: "valve_cover_area", Title: "Cover of a valve", Group: TakeOff,
		Answers: "What area has the cover of a valve with its bonnet, or of a strainer with its leg?",
		Inputs: []Input{
			diameter("d_flange", "flange diameter"), size("face_to_face", "length from face to face"),
			size("d_bonnet", "diameter of the bonnet or the leg").within(0, 3, SizeRange), size("h_bonnet", "its height out of the body's cover"),
			installed(), diameter("d_pipe", "outside diameter of the pipe"),
		},
		Outputs: []Output{outArea()},
		Method:  "girth times length, two end caps and the side of the bonnet; its top equals the hole that it leaves",
		Source:  measured,
		reckon: func(in Values) (Results, error) {
			if err := pipeFits(in); err != nil {
				return nil, err
			}
			v := takeoff.Valve{
				Flange: in.meter("d_flange"), FaceToFace: in.meter("face_to_face"), Bonnet: in.meter("d_bonnet"), BonnetHeight: in.meter("h_bonnet"),
				Thickness: in.meter("t_eff"), Pipe: in.meter("d_pipe"),
			}
			return Results{"area": num(v.Area())}, nil
		},
	},
	{
		Name: "box_area", Title: "Cover of a pump or a box", Group: TakeOff,
		Answers: "What area has a box, with or without its bottom?",
		Inputs:  []Input{size("l", "length"), size("w", "width"), size("h", "height"), yesNo("open_bottom", "open at the bottom")},
		Outputs: []Output{outArea()},
		Method:  "2 (l + w) h + 2 l w, one l w with an open bottom",
		Source:  measured,
		reckon: func(in Values) (Results, error) {
			b := takeoff.Box{Length: in.meter("l"), Width: in.meter("w"), Height: in.meter("h"), OpenBottom: in.yes("open_bottom")}
			return Results{"area": num(b.Area())}, nil
		},
	},
}

// pipeFits refuses a pipe that is wider than the cover over its flange.
func pipeFits(in Values) error {
	if in.num("d_pipe") <= in.num("d_flange")+2*in.num("t_eff") {
		return nil
	}
	return fault(SizeRange, "d_pipe", "the pipe cannot be wider than the cover over the flange")
}

func lines(name, label string) Input { return size(name, label).within(0, 1000, SizeRange).list() }

func metersOf(values []float64) []unit.Meter {
	list := make([]unit.Meter, len(values))
	for i, v := range values {
		list[i] = unit.Meter(v)
	}
	return list
}

func loss() Input {
	return number("loss", "share lost", unit.Share, "1").within(0, 0.95, LossRange)
}

func film(in string) Input {
	return number("dft", "dry film of one coat", unit.Film, in).above(0, 20000, FilmRange)
}

func solids() Input {
	return number("volume_solids", "volume solids", unit.Share, "%").above(0, 100, VSRange)
}

// sealingMaterials are the questions about tape, sealant and coating.
var sealingMaterials = []Quantity{
	{
		Name: "seam_tape", Title: "Tape for the seams", Group: TakeOff,
		Answers: "How much tape, and how many rolls, do these seams take?",
		Inputs: []Input{
			lines("ends", "girths at the ends"), lines("seams", "lengths of the seams"), lines("penetrations", "perimeters of the penetrations"),
			size("overlap", "all laps of tape on tape together").usually(0.0),
			number("waste", "share wasted", unit.Share, "1").within(0, 1, LossRange).usually(float64(takeoff.TapeWaste)),
			size("roll", "length of a roll").above(0, 10000, SizeRange),
		},
		Outputs: []Output{out("length", "tape", unit.Length, "m"), out("rolls", "whole rolls", 0, "1")},
		Method:  "all lines and laps with the waste on top; rolls rounded up",
		Source:  usual,
		reckon: func(in Values) (Results, error) {
			tape := takeoff.Seams{
				Ends: metersOf(in.nums("ends")), Seams: metersOf(in.nums("seams")), Penetrations: metersOf(in.nums("penetrations")),
				Overlap: in.meter("overlap"), Waste: in.fraction("waste"),
			}.Tape()
			return Results{"length": num(tape), "rolls": num(takeoff.Rolls(tape, in.meter("roll")))}, nil
		},
	},
	{
		Name: "sealant_volume", Title: "Sealant for a penetration", Group: TakeOff,
		Answers: "How much sealant does a fillet or a joint along this perimeter take?",
		Inputs: []Input{
			size("perimeter", "perimeter").within(0, 1000, SizeRange), gap("fillet_leg", "leg of the fillet"),
			gap("joint_width", "width of the joint"), gap("joint_depth", "depth of the joint"), loss().optional(),
		},
		Outputs: []Output{
			out("fillet_ml", "in a fillet", unit.SmallVolume, "mL"), out("joint_ml", "in a joint", unit.SmallVolume, "mL"),
			out("cartridges", "cartridges of 300 mL for both", 0, "1").orNull("no loss was given"),
		},
		Method: "perimeter times leg squared over 2; perimeter times width times depth",
		Source: usual,
		reckon: func(in Values) (Results, error) {
			fillet := takeoff.Fillet(in.meter("perimeter"), in.meter("fillet_leg"))
			joint := takeoff.Joint(in.meter("perimeter"), in.meter("joint_width"), in.meter("joint_depth"))
			cartridges := none()
			if in.has("loss") {
				cartridges = num(takeoff.Cartridges(fillet+joint, in.fraction("loss")))
			}
			return Results{"fillet_ml": num(fillet), "joint_ml": num(joint), "cartridges": cartridges}, nil
		},
	},
	{
		Name: "coating_volume", Title: "Coating for an area", Group: TakeOff,
		Answers: "How many liters of coating does this area take, and how thick is it laid wet?",
		Inputs: []Input{
			number("area", "area", unit.Area, "m2").within(0, 1e6, AreaRange), film("um"), solids(), loss(),
			plain("coats", "coats").within(1, 100, CountRange),
		},
		Outputs: []Output{out("liters", "coating", unit.Volume, "L"), out("wft", "wet film of one coat", unit.Film, "um")},
		Method:  "A DFT/(10 VS)/(1 - loss) coats; DFT 100/VS",
		Source:  coatings,
		reckon: func(in Values) (Results, error) {
			if coats := in.num("coats"); coats != math.Trunc(coats) {
				return nil, fault(CountRange, "coats", "coats are a whole number")
			}
			c := coating(in)
			return Results{"liters": num(c.Volume(unit.M2(in.num("area")))), "wft": num(c.WetFilm())}, nil
		},
	},
	{
		Name: "spreading_rate", Title: "Spreading rate of a coating", Group: TakeOff,
		Answers: "How much area does a liter of this coating cover?",
		Inputs:  []Input{film("um"), solids(), loss().usually(0.0)},
		Outputs: []Output{out("rate", "spreading rate", 0, "m2/L").ip("ft2/gal")},
		Method:  "10 VS/DFT (1 - loss), VS in % and DFT in um",
		Source:  coatings,
		reckon: func(in Values) (Results, error) {
			return Results{"rate": num(coating(in).SpreadingRate())}, nil
		},
	},
	{
		Name: "spreading_rate_ip", Title: "Spreading rate of a coating, per gallon", Group: TakeOff,
		Answers: "How much area does a gallon of this coating cover?",
		Inputs:  []Input{film("mil").above(0, 800, FilmRange), solids()},
		Outputs: []Output{out("rate", "spreading rate", 0, "m2/L").ip("ft2/gal")},
		Method:  "16.04 VS/DFT in ft2/gal, VS in % and DFT in mil, without loss",
		Source:  coatings,
		reckon: func(in Values) (Results, error) {
			rate := takeoff.SpreadingRateIP(in.num("dft"), unit.Fraction(in.num("volume_solids")/100))
			return Results{"rate": {value: rate, unit: "ft2/gal"}}, nil
		},
	},
}

func gap(name, label string) Input {
	return number(name, label, unit.Thickness, "m").within(0, 1, SizeRange)
}

func coating(in Values) takeoff.Coating {
	c := takeoff.Coating{Film: unit.Micrometer(in.num("dft")), VolumeSolids: unit.Fraction(in.num("volume_solids") / 100), Loss: in.fraction("loss"), Coats: 1}
	if in.has("coats") {
		c.Coats = int(in.num("coats"))
	}
	return c
}
