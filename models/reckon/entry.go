package reckon

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"drylag/models/unit"
)

// Entry is a question as a person typed it on a page: texts by the names of
// the page's fields. An input has the field of its own name; a list has one for
// each place, "resistances_1"; a row has one for each of its fields,
// "layers_1_t". Empty places and rows are passed over.
type Entry struct {
	Question Question
	Entered  []Entered // what was understood, in the order of the inputs
	Faults   []*Fault  // all that is wrong, each at the field of the page

	at map[string]string // field of the page by field of the question
}

// Entered is one input as it was typed and as it was understood.
type Entered struct {
	Label  string
	Typed  string // "" where nothing was typed
	SI, IP string // as understood, with units; the same for what has none
	Usual  bool   // nothing was typed: the default, or null
}

// In is what was understood, in the units of a system.
func (e Entered) In(s unit.System) string {
	if s == unit.IP {
		return e.IP
	}
	return e.SI
}

// Entry reads what was typed. A number without unit is in the unit of the
// system; "3/4 in", "20 mm", "42F" are what they say.
func (q Quantity) Entry(typed func(field string) string, s unit.System, climates *Shelf) Entry {
	r := entryReader{typed: typed, system: s, climates: climates,
		entry: Entry{Question: Question{Quantity: q.Name, Inputs: map[string]Given{}}, at: map[string]string{}}}
	for _, in := range q.Inputs {
		switch in.Shape {
		case Rows:
			r.rows(in)
		case Numbers:
			r.list(in)
		default:
			r.one(in)
		}
	}
	if want := r.text(Want); want != "" && q.AnyUnit() {
		r.entry.Question.Want = map[string]string{q.Outputs[0].Name: want}
	}
	return r.entry
}

// Want is the field of a page for the unit in which a conversion is wanted.
const Want = "want"

// AnyUnit tells whether the answer can have any unit, as that of a conversion.
func (q Quantity) AnyUnit() bool { return q.Outputs[0].Unit == "" }

// entryReader reads one entry.
type entryReader struct {
	typed    func(string) string
	system   unit.System
	climates *Shelf
	entry    Entry
}

func (r *entryReader) text(field string) string { return strings.TrimSpace(r.typed(field)) }

func (r *entryReader) wrong(field string, err error) {
	f := *faultOf(err)
	f.Field = field
	r.entry.Faults = append(r.entry.Faults, &f)
}

func (r *entryReader) understood(e Entered) { r.entry.Entered = append(r.entry.Entered, e) }

// one reads an input that is one value.
func (r *entryReader) one(in Input) {
	r.entry.at[in.Name] = in.Name
	text := r.text(in.Name)
	if text == "" {
		r.nothing(in)
		return
	}
	given, err := in.fromText(text, r.system)
	if err == nil {
		_, err = in.read(given, true, r.climates)
	}
	if err != nil {
		r.wrong(in.Name, err)
		return
	}
	r.entry.Question.Inputs[in.Name] = given
	r.understood(in.entered(text, given))
}

// nothing is what an empty field says: null, the default, or a fault.
func (r *entryReader) nothing(in Input) {
	switch {
	case in.Null != "":
		r.entry.Question.Inputs[in.Name] = Given{Value: json.RawMessage("null"), Unit: in.Unit}
		r.understood(Entered{Label: in.Label, SI: in.Null, IP: in.Null, Usual: true})
	case in.Default != nil:
		e := in.entered("", Given{Value: jsonOf(in.Default), Unit: in.Unit})
		e.Usual = true
		r.understood(e)
	case !in.Optional:
		r.wrong(in.Name, fault(MissingInput, in.Name, "give %s", in.wanted(r.system)))
	}
}

// wanted names the input with the unit in which a page takes it.
func (in Input) wanted(s unit.System) string {
	if u := in.UnitSymbol(s); u != "" && (in.Shape == Number || in.Shape == Numbers) {
		return in.Label + ", in " + u + " or another unit"
	}
	return in.Label
}

// fromText turns a typed text into what a question takes.
func (in Input) fromText(text string, s unit.System) (Given, error) {
	switch in.Shape {
	case Number:
		_, read, err := in.reading(text, s)
		return read, err
	case Any:
		read, err := unit.ParseAs(in.Name, text, "")
		return givenOf(read), entryFault(in, err)
	case YesNo:
		if yes, known := map[string]string{"yes": "true", "no": "false"}[text]; known {
			text = yes
		}
	}
	return Given{Value: jsonOf(text), Unit: in.Unit}, nil
}

// reading reads a number with its unit and holds it to the range, which a
// refusal says in the units of the system.
func (in Input) reading(text string, s unit.System) (float64, Given, error) {
	read, err := in.parse(text, s)
	if err != nil {
		return 0, Given{}, entryFault(in, err)
	}
	given := givenOf(read)
	factor, err := in.units(given.Unit)
	if err != nil {
		return 0, Given{}, err
	}
	v := factor(read.Value)
	if !in.Range.holds(v) {
		return 0, Given{}, fault(in.Code, in.Name, "%s must be %s, not %s", in.Label, in.RangeIn(s), shorten(text))
	}
	return v, given, nil
}

func (in Input) parse(text string, s unit.System) (unit.Reading, error) {
	if in.Kind != 0 {
		return unit.Parse(in.Name, text, in.Kind, s)
	}
	return unit.ParseAs(in.Name, text, in.UnitIn(s))
}

// numberFrom is a typed number in the unit of the input, and what was understood.
func (in Input) numberFrom(text string, s unit.System) (float64, Entered, error) {
	v, given, err := in.reading(text, s)
	if err != nil {
		return 0, Entered{}, err
	}
	return v, in.entered(text, given), nil
}

func givenOf(r unit.Reading) Given { return Given{Value: jsonOf(r.Value), Unit: r.Unit} }

// entryFault is a text that cannot be read, as a fault.
func entryFault(in Input, err error) error {
	var entry *unit.EntryError
	if !errors.As(err, &entry) {
		return err
	}
	return fault(in.Code, in.Name, "%s: %q %s", in.Label, shorten(entry.Text), entry.Msg)
}

// jsonOf writes a number, a text, a list or rows; finite values always can be.
func jsonOf(v any) json.RawMessage {
	raw, err := json.Marshal(v)
	if err != nil {
		return json.RawMessage("null")
	}
	return raw
}

// RangeIn says where a value may lie, in the unit of a system: "-148 to 392 °F";
// "" of what is no number.
func (in Input) RangeIn(s unit.System) string {
	if in.Shape != Number && in.Shape != Numbers {
		return ""
	}
	own := in.UnitIn(s)
	end := func(v float64) float64 {
		if math.Abs(v) >= most {
			return v
		}
		v, _ = in.convertTo(v, own)
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
		return v
	}
	r := in.Range
	r.Min, r.Max = end(r.Min), end(r.Max)
	return strings.TrimPrefix(r.said(in.UnitSymbol(s)), "must be ")
}

// convertTo turns a value in the input's unit into another.
func (in Input) convertTo(v float64, to string) (float64, error) {
	if in.Kind == unit.TempDifference {
		to = difference(to)
	}
	return unit.Convert(v, in.Unit, to)
}

// AsksYear tells whether one of the inputs is a year of air.
func (q Quantity) AsksYear() bool {
	return slices.ContainsFunc(q.Inputs, func(in Input) bool { return in.Shape == Climate })
}
