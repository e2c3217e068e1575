package reckon

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"drylag/models/unit"
)

// Told is one output of an answer in both systems of units.
type Told struct {
	Output
	SI, IP Got
}

// In is the value as a person reads it, in the units of a system.
func (t Told) In(s unit.System) string {
	got := t.Got(s)
	if got.Value == nil {
		return t.Null
	}
	if v, number := got.Value.(float64); number {
		return shown(v, got.Unit, outFigures)
	}
	return sayValue(got.Value)
}

// Got is the value in the units of a system.
func (t Told) Got(s unit.System) Got {
	if s == unit.IP {
		return t.IP
	}
	return t.SI
}

// Brief is the value for a sentence: a temperature to the degree that a
// thermometer shows, another number to four figures.
func (t Told) Brief(s unit.System) string {
	v, number := t.SI.Value.(float64)
	if t.Kind == unit.Temperature && number {
		return unit.Temperature.Show(s, v)
	}
	if v, number := t.Got(s).Value.(float64); number {
		return shown(v, t.Got(s).Unit, briefFigures)
	}
	return t.In(s)
}

// Answer answers what was typed, in both systems. The error is a *Fault at the
// field of the page, "" where no field can mend it. Nothing is answered while
// Faults has any.
func (e Entry) Answer(climates *Shelf) ([]Told, error) {
	if len(e.Faults) > 0 {
		return nil, e.Faults[0]
	}
	q, ok := Named(e.Question.Quantity)
	if !ok {
		return nil, fault(UnknownQuantity, "", "%q is no quantity that is answered here", shorten(e.Question.Quantity))
	}
	both := [2]Answer{}
	for _, s := range []unit.System{unit.SI, unit.IP} {
		asked := e.Question
		if asked.Want == nil {
			asked.Want = q.wants(s)
		}
		var err error
		if both[s], err = Ask(asked, climates); err != nil {
			return nil, e.onPage(err)
		}
	}
	told := make([]Told, len(q.Outputs))
	for i, o := range q.Outputs {
		told[i] = Told{Output: o, SI: both[unit.SI].Outputs[o.Name], IP: both[unit.IP].Outputs[o.Name]}
	}
	return told, nil
}

// wants asks for every output in the unit of a page.
func (q Quantity) wants(s unit.System) map[string]string {
	want := map[string]string{}
	for _, o := range q.Outputs {
		if u := o.UnitIn(s); u != "" {
			want[o.Name] = u
		}
	}
	return want
}

// onPage moves a fault to the field of the page.
func (e Entry) onPage(err error) error {
	f := *faultOf(err)
	field, known := e.at[f.Field]
	switch {
	case known:
		f.Field = field
	case f.Field != Want:
		f.Field = ""
	}
	return &f
}

// Significant figures of a page: what was typed comes back whole, what is
// worked out is no better than its formula.
const (
	inFigures    = 7
	outFigures   = 5
	briefFigures = 4
)

// entered is an input as understood, in both systems.
func (in Input) entered(text string, given Given) Entered {
	e := Entered{Label: in.Label, Typed: text}
	v, number := finite(given.Value)
	switch {
	case in.Shape == Any:
		e.SI = shown(v, given.Unit, inFigures)
		e.IP = e.SI
	case number && (in.Shape == Number || in.Shape == Numbers):
		e.SI, e.IP = in.shownIn(unit.SI, v, given.Unit), in.shownIn(unit.IP, v, given.Unit)
	default:
		var plain any
		if json.Unmarshal(given.Value, &plain) == nil {
			e.SI = sayValue(plain)
			e.IP = e.SI
		}
	}
	return e
}

// shownIn shows a number that was given in one unit in that of a system.
func (in Input) shownIn(s unit.System, v float64, given string) string {
	factor, err := in.units(given)
	if err != nil {
		return shown(v, given, inFigures)
	}
	converted, err := in.convertTo(factor(v), in.UnitIn(s))
	if err != nil {
		return shown(v, given, inFigures)
	}
	return strings.TrimSpace(shown(converted, "1", inFigures) + " " + in.UnitSymbol(s))
}

// shown prints a number to significant figures with its unit: "0.75 in",
// "1.2 × 10⁻¹¹ kg/s".
func shown(v float64, in string, figures int) string {
	text := strconv.FormatFloat(v, 'e', figures-1, 64)
	rounded, _ := strconv.ParseFloat(text, 64)
	if size := math.Abs(rounded); size == 0 || size >= 1e-4 && size < 1e9 {
		text = strconv.FormatFloat(rounded, 'f', -1, 64)
	} else {
		text = powerOfTen(strconv.FormatFloat(rounded, 'e', -1, 64))
	}
	if u := symbol(in); u != "" {
		return text + " " + u
	}
	return text
}

var superscript = strings.NewReplacer("+0", "", "-0", "⁻", "+", "", "-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// powerOfTen writes 1.2e-11 as it is printed.
func powerOfTen(text string) string {
	mantissa, power, _ := strings.Cut(text, "e")
	return mantissa + " × 10" + superscript.Replace(power)
}

// symbol prints a unit; a currency is the reader's own.
func symbol(in string) string {
	if in == "currency" {
		return ""
	}
	return strings.Replace(unit.Symbol(in), "currency/", "per ", 1)
}

// sayValue says a word, or yes and no.
func sayValue(v any) string {
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case string:
		return Spoken(v)
	}
	return ""
}

// UnitSymbol is the unit behind an input of a page: "°F"; "" for none and for a
// year of the calendar.
func (in Input) UnitSymbol(s unit.System) string {
	number := in.Shape == Number || in.Shape == Numbers
	if !number || in.Unit == "yr" && in.Range.Min > 1000 {
		return ""
	}
	return symbol(in.UnitIn(s))
}

// Usual is the default in the units of a system, "" where there is none.
func (in Input) Usual(s unit.System) string {
	if in.Default == nil {
		return ""
	}
	return in.entered("", Given{Value: jsonOf(in.Default), Unit: in.Unit}).In(s)
}
