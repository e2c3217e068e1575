package reckon

import (
	"math"

	"drylag/models/metal"
	"drylag/models/unit"
)

func wall(name, label string) Input {
	return number(name, label, unit.Thickness, "mm").above(0, 500, ThicknessRange)
}

func outWall(name, label string) Output { return out(name, label, unit.Thickness, "mm") }

func stress(name, label string) Input { return number(name, label, unit.Pressure, "MPa") }

// walls are the questions about wall thickness.
var walls = []Quantity{
	{
		Name: "thickness_trend", Title: "Rate and remaining life from wall readings", Group: Metal,
		Answers: "How fast does this wall go, and how long will it last?",
		Inputs: []Input{
			wall("t_first", "first wall reading"), year("year_first", "its year"),
			wall("t_previous", "wall reading before the last"), year("year_previous", "its year"),
			wall("t_last", "last wall reading"), year("year_last", "its year"),
			wall("t_required", "required thickness").within(0, 500, ThicknessRange),
		},
		Outputs: []Output{
			out("long_term_rate", "rate from the first reading", unit.Rate, "mm/yr"),
			out("short_term_rate", "rate from the reading before the last", unit.Rate, "mm/yr"),
			out("remaining_life", "remaining life", 0, "yr").orNull("no loss, no end in sight"),
			out("half_life", "half of it, the longest interval", 0, "yr").orNull("no loss, no end in sight"),
		},
		Method: "loss over years, long and short term; life by the larger rate. Gauge error is not weighed here; a cover's own page does",
		Source: metal.TrendSource,
		reckon: wallTrend,
	},
	{
		Name: "thickness_interval", Title: "Interval to the next wall reading", Group: Metal,
		Answers: "In how many years should the wall be read again?",
		Inputs: []Input{
			wall("t_last", "last wall reading"), wall("t_required", "required thickness").within(0, 500, ThicknessRange),
			number("rate", "rate of loss", unit.Rate, "mm/yr").within(-100, 100, RateRange),
			number("class_maximum", "longest interval of its class", 0, "yr").above(0, 200, YearsRange).orNull("the class has none"),
		},
		Outputs: []Output{out("interval", "interval", 0, "yr").orNull("no loss and no longest interval")},
		Method:  "half the remaining life, at most the longest interval of the class; the owner's policy, not a requirement",
		Source:  metal.TrendSource,
		reckon: func(in Values) (Results, error) {
			life := metal.RemainingLife(in.num("t_last"), in.num("t_required"), in.num("rate"))
			var most *float64
			if in.has("class_maximum") {
				most = new(in.num("class_maximum"))
			}
			return Results{"interval": endless(metal.ThicknessInterval(life, most))}, nil
		},
	},
	{
		Name: "class_maximum_interval", Title: "Longest interval of a class", Group: Metal,
		Answers: "What is the longest interval that published practice allows a class of piping?",
		Inputs: []Input{
			plain("class", "class of piping, 1 to 4").within(1, 4, ClassUnknown),
			word("look", "kind of look", "thickness", "external_visual"),
		},
		Outputs: []Output{out("interval", "longest interval", 0, "yr").orNull("the owner's own")},
		Method:  "table of longest intervals; borrowed practice, chilled water is not specifically covered",
		Source:  metal.MaxIntervalSource,
		reckon: func(in Values) (Results, error) {
			class := in.num("class")
			limits, ok := metal.ClassLimits(int(class))
			if !ok || class != math.Trunc(class) {
				return nil, fault(ClassUnknown, "class", "the class is 1, 2, 3 or 4")
			}
			if in.word("look") == "external_visual" {
				return Results{"interval": orNone(limits.Visual)}, nil
			}
			return Results{"interval": orNone(limits.Thickness)}, nil
		},
	},
	{
		Name: "pressure_thickness", Title: "Wall that the pressure needs", Group: Metal,
		Answers: "How thick must straight pipe be for its pressure?",
		Inputs: []Input{
			stress("pressure", "design pressure, gauge").within(0, 1000, PressureRange),
			wall("od", "outside diameter").above(0, 3000, SizeRange),
			stress("stress", "allowable stress").above(0, 10000, PressureRange),
			plain("e", "quality factor E of the weld").above(0, 1, FactorRange),
			plain("w", "weld strength factor W").above(0, 1, FactorRange).usually(1.0),
			plain("y", "coefficient Y").above(0, 1, FactorRange).usually(metal.FerriticY),
		},
		Outputs: []Output{outWall("t", "pressure thickness")},
		Method:  "P D / (2 (S E W + P Y)); the structural minimum usually governs at building pressures",
		Source:  metal.PressureSource,
		reckon: func(in Values) (Results, error) {
			return Results{"t": num(metal.PressureDesign{
				PressureMPa: in.num("pressure"), ODMM: in.num("od"), StressMPa: in.num("stress"),
				E: in.num("e"), W: in.num("w"), Y: in.num("y"),
			}.Thickness())}, nil
		},
	},
	{
		Name: "wall_after_mill_tolerance", Title: "Least wall of new pipe", Group: Metal,
		Answers: "How thin may new pipe of this nominal wall be?",
		Inputs: []Input{
			wall("wall", "nominal wall"),
			number("tolerance", "mill tolerance", unit.Share, "%").within(0, 99, FractionRange).usually(100 * metal.DefaultMillTolerance),
		},
		Outputs: []Output{outWall("wall", "least wall")},
		Method:  "nominal wall less the tolerance",
		Source:  metal.MillToleranceSource,
		reckon: func(in Values) (Results, error) {
			return Results{"wall": num(metal.LeastNewWall(in.num("wall"), in.num("tolerance")/100))}, nil
		},
	},
	{
		Name: "wall_loss", Title: "Share of the wall that is gone", Group: Metal,
		Answers: "How much of the nominal wall is gone?",
		Inputs:  []Input{wall("nominal", "nominal wall"), wall("measured", "wall reading").within(0, 500, ThicknessRange)},
		Outputs: []Output{out("loss", "loss; below 0 where the wall is above nominal", unit.Share, "%")},
		Method:  "(nominal - reading) / nominal",
		Source:  unit.Practice.Source("definition"),
		reckon: func(in Values) (Results, error) {
			return Results{"loss": num(100 * metal.WallLoss(in.num("nominal"), in.num("measured")))}, nil
		},
	},
}

func year(name, label string) Input {
	return number(name, label, 0, "yr").within(1800, 2200, YearsRange)
}

// endless is a number of years, or none where there is no end.
func endless(years float64) Result {
	if math.IsInf(years, 1) {
		return none()
	}
	return num(years)
}

// wallTrend is the plain arithmetic of the source: no reading is weighed.
func wallTrend(in Values) (Results, error) {
	at := func(when string) metal.Reading {
		return metal.Reading{Year: in.num("year_" + when), MM: in.num("t_" + when)}
	}
	first, previous, last := at("first"), at("previous"), at("last")
	if !(previous.Year < last.Year && first.Year <= previous.Year) {
		return nil, fault(YearsRange, "year_previous", "the readings must follow one another: first, previous, last")
	}
	long, short := metal.LossRate(first, last), metal.LossRate(previous, last)
	life := metal.RemainingLife(last.MM, in.num("t_required"), max(long, short))
	return Results{
		"long_term_rate": num(long), "short_term_rate": num(short),
		"remaining_life": endless(life), "half_life": endless(metal.ThicknessInterval(life, nil)),
	}, nil
}
