package reckon

import (
	"strings"

	"drylag/models/metal"
)

func nominalSize() Input {
	return number("nps", "nominal pipe size", 0, "in").within(0.125, 48, SizeUnknown)
}

// sizes are the tables of pipes and flanges.
var sizes = []Quantity{
	{
		Name: "pipe_size", Title: "Outside diameter and wall of pipe", Group: Metal,
		Answers: "How large and how thick is steel pipe of this size and schedule?",
		Inputs:  []Input{nominalSize(), word("schedule", "schedule", metal.Schedules()...)},
		Outputs: []Output{outWall("od", "outside diameter"), outWall("wall", "nominal wall")},
		Method:  "table of the standard, which prints mm and inches separately",
		Source:  metal.PipeSource,
		reckon: func(in Values) (Results, error) {
			p, ok := metal.PipeOf(in.num("nps"), in.word("schedule"))
			if !ok {
				return nil, fault(SizeUnknown, "nps", "the table has NPS 1/2 to 24 without 3 1/2 and 22, schedules %s", strings.Join(metal.Schedules(), ", "))
			}
			return Results{"od": num(p.ODMM).alsoPrinted(p.ODIn, "in"), "wall": num(p.WallMM).alsoPrinted(p.WallIn, "in")}, nil
		},
	},
	{
		Name: "class_150_flange", Title: "Class 150 steel flange", Group: Metal,
		Answers: "How large is a class 150 flange of this size, and what bolts does it take?",
		Inputs:  []Input{nominalSize()},
		Outputs: []Output{
			outWall("od", "outside diameter"), outWall("thickness", "thickness with raised face"), outWall("bolt_circle", "bolt circle"),
			out("bolts", "bolts", 0, "1"), outWall("hole", "bolt hole"),
		},
		Method: "table of the standard in inches; newer editions give the thickness without the raised face",
		Source: metal.FlangeSource,
		reckon: func(in Values) (Results, error) {
			f, ok := metal.FlangeOf(in.num("nps"))
			if !ok {
				return nil, fault(SizeUnknown, "nps", "the table has NPS 2 to 24")
			}
			return Results{
				"od": num(f.ODMM), "thickness": num(f.ThicknessMM), "bolt_circle": num(f.BoltCircleMM),
				"bolts": num(f.Bolts), "hole": num(f.HoleMM),
			}, nil
		},
	},
}
