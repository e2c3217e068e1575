package reckon

import (
	"drylag/models/heat"
	"drylag/models/unit"
)

// Shape is the form in which an input is given.
type Shape string

// The shapes.
const (
	Number  Shape = "number"  // one number with its unit
	Numbers Shape = "numbers" // a list of numbers in one unit
	Word    Shape = "word"    // one of Words; unit "word"
	YesNo   Shape = "bool"    // true or false; unit "bool"
	Rows    Shape = "rows"    // a list of objects with Fields; units in their order, with commas between
	Climate Shape = "climate" // the name of a year of air; unit "file"
	Any     Shape = "any"     // one number in any unit
)

// Input is one thing that a quantity asks for.
type Input struct {
	Name     string
	Label    string
	Shape    Shape
	Kind     unit.Kind // decides the units on a page; 0: Unit in either system
	Unit     string    // in which the formula takes it, as unit.Convert has it
	IP       string    // the unit on a page in inch-pound, where Kind is 0
	Plain    bool      // unit "1" is taken as Unit
	Range    Range
	Code     string // of a value out of the range
	Default  any    // float64 in Unit, or a word; nil: it is asked for
	Optional bool   // may be left out; the formula then does without it
	Null     string // what null says, as in "no facing"; "": null is out of range
	Words    []string
	Fields   []Input // of one row
}

// Range is where a value may lie, in the unit of its input.
type Range struct {
	Min, Max         float64
	MinOpen, MaxOpen bool // the end itself is outside
}

// holds tells whether a value lies in the range; NaN and infinity never do.
func (r Range) holds(v float64) bool {
	return (v > r.Min || v == r.Min && !r.MinOpen) && (v < r.Max || v == r.Max && !r.MaxOpen)
}

// most stands where a range has no upper end in practice: what is above it is a
// slip of the keyboard or infinity.
const most = 1e15

func number(name, label string, kind unit.Kind, in string) Input {
	return Input{Name: name, Label: label, Shape: Number, Kind: kind, Unit: in}
}

// plain is a number without dimension.
func plain(name, label string) Input { return number(name, label, 0, "1") }

func word(name, label string, words ...string) Input {
	return Input{Name: name, Label: label, Shape: Word, Unit: "word", Words: words}
}

func yesNo(name, label string) Input {
	return Input{Name: name, Label: label, Shape: YesNo, Unit: "bool"}
}

// within sets a closed range and its code.
func (in Input) within(low, high float64, code string) Input {
	in.Range, in.Code = Range{Min: low, Max: high}, code
	return in
}

// above sets a range that excludes its lower end.
func (in Input) above(low, high float64, code string) Input {
	in.Range, in.Code = Range{Min: low, Max: high, MinOpen: true}, code
	return in
}

// usually sets what is taken, and shown as taken, where nothing is given.
func (in Input) usually(value any) Input {
	in.Default = value
	return in
}

func (in Input) optional() Input {
	in.Optional = true
	return in
}

// orNull lets null be an answer, and says what it means.
func (in Input) orNull(means string) Input {
	in.Null = means
	return in
}

func (in Input) list() Input {
	in.Shape = Numbers
	return in
}

// bare lets a plain number stand for one in the input's unit.
func (in Input) bare() Input {
	in.Plain = true
	return in
}

// ip sets the unit on a page in inch-pound where the kind does not.
func (in Input) ip(text string) Input {
	in.IP = text
	return in
}

// UnitIn is the unit in which a page of a system shows the input and takes a
// plain number; "" where it can have any.
func (in Input) UnitIn(s unit.System) string { return unitIn(s, in.Kind, in.Unit, in.IP) }

// UnitIn is the unit in which a page of a system shows the output.
func (o Output) UnitIn(s unit.System) string { return unitIn(s, o.Kind, o.Unit, o.IP) }

func unitIn(s unit.System, kind unit.Kind, metric, ip string) string {
	switch {
	case kind != 0:
		return kind.Unit(s)
	case s == unit.IP && ip != "":
		return ip
	}
	return metric
}

// Inputs that many quantities ask for.

func temperature(name, label string) Input {
	return number(name, label, unit.Temperature, "degC").within(-100, 200, TRange)
}

// hotOrCold is a temperature that needs no vapor pressure: process plant, too.
func hotOrCold(name, label string) Input {
	return number(name, label, unit.Temperature, "degC").within(float64(heat.MinTemp), float64(heat.MaxTemp), TRange)
}

func relHumidity(name string) Input {
	return number(name, "relative humidity", unit.Share, "1").within(0, 1, RHRange)
}

// someHumidity is a relative humidity above 0: dry air has no dew point.
func someHumidity(name string) Input {
	return number(name, "relative humidity", unit.Share, "1").above(0, 1, RHRange)
}

const seaLevelPa = 101325

func stationPressure(name string) Input {
	return number(name, "station pressure", unit.Pressure, "Pa").within(1000, 2e6, PRange).usually(float64(seaLevelPa))
}

func emissivity() Input {
	return number("emissivity", "emissivity of the surface", 0, "1").within(0, 1, EmissivityRange)
}

func airSpeed() Input {
	return number("air_speed", "air speed over it", unit.Speed, "m/s").within(0, 20, SpeedRange).usually(0.0)
}

func diameter(name, label string) Input {
	return number(name, label, unit.Thickness, "m").within(0.005, 3, SizeRange)
}

func insulationThickness(name, label string) Input {
	return number(name, label, unit.Thickness, "m").above(0, 0.5, ThicknessRange)
}

func conductivity(name, label string) Input {
	return number(name, label, unit.Conductivity, "W/(m K)").within(0.005, 500, KRange)
}

// conductivityRise is k1 in k = k0 + k1·θ, θ the mean temperature in °C.
func conductivityRise(name string) Input {
	return number(name, "its rise per °C", 0, "W/(m K2)").within(-1, 1, KRange).usually(0.0)
}

func filmCoefficient(name, label string) Input {
	return number(name, label, unit.HeatTransfer, "W/(m2 K)").above(0, 1e6, HRange)
}

// Outputs of the usual kinds.

func out(name, label string, kind unit.Kind, in string) Output {
	return Output{Name: name, Label: label, Kind: kind, Unit: in}
}

func outWord(name, label string) Output { return Output{Name: name, Label: label, Unit: "word"} }

func outYesNo(name, label string) Output { return Output{Name: name, Label: label, Unit: "bool"} }

func outTemperature(name, label string) Output {
	return out(name, label, unit.Temperature, "degC")
}

// orNull says what null means of an output that may have none.
func (o Output) orNull(means string) Output {
	o.Null = means
	return o
}

// bare lets the output be wanted as a plain number.
func (o Output) bare() Output {
	o.Plain = true
	return o
}

// ip sets the unit on a page in inch-pound where the kind does not.
func (o Output) ip(text string) Output {
	o.IP = text
	return o
}
