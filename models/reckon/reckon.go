// Package reckon answers engineering questions by name: "dew_point" of a
// temperature and a humidity, "covered_cylinder" of a pipe and its cover. The
// command, the API and the Reckoner page ask here, so that they cannot differ.
//
// The package holds no formula. It knows the questions, reads their inputs with
// units, refuses what is out of range with a code and the field, calls the
// package that holds the formula, and gives the answer in the unit wanted, with
// its method and source. Tables of questions lie in one file per group.
package reckon

import (
	"fmt"
	"slices"

	"drylag/models/unit"
)

// Group is the heading under which a quantity is listed.
type Group string

// The groups, in the order in which they are listed.
const (
	MoistAir Group = "Moist air"
	Heat     Group = "Heat"
	Vapor    Group = "Vapor"
	Hours    Group = "Hours"
	TakeOff  Group = "Take-off"
	Metal    Group = "Metal and wall"
	Wetness  Group = "Wetness"
	Units    Group = "Units"
)

// Groups lists the groups in their order.
func Groups() []Group { return []Group{MoistAir, Heat, Vapor, Hours, TakeOff, Metal, Wetness, Units} }

// Quantity is one question that can be asked.
type Quantity struct {
	Name    string // the code: "dew_point"
	Title   string // in words of the trade: "Dew point of air"
	Group   Group
	Answers string // the question in one plain sentence
	Inputs  []Input
	Outputs []Output
	Method  string // how it is worked out
	Source  Source

	reckon func(Values) (Results, error)
}

// Output is one part of the answer.
type Output struct {
	Name  string
	Label string
	Kind  unit.Kind // decides the unit on a page; 0: Unit in either system
	Unit  string    // metric, as unit.Convert takes it; "word" or "bool"; "" of a conversion
	IP    string    // the unit on a page in inch-pound, where Kind is 0
	Null  string    // what null says, as in "opening never pays"; "" if it is never null
	Plain bool      // may also be wanted as a plain number, unit "1"
}

// quantities are all questions, by group.
var quantities = slices.Concat(moistAir, films, coveredParts, bareParts, vaporFlow, vaporInsulation, hours,
	coverAreas, sealingMaterials, rates, walls, sizes, wetness, conversions)

var byName = index(quantities)

func index(all []Quantity) map[string]*Quantity {
	at := make(map[string]*Quantity, len(all))
	for i := range all {
		at[all[i].Name] = &all[i]
	}
	return at
}

// All lists every quantity, by group.
func All() []Quantity { return slices.Clone(quantities) }

// Named finds a quantity by its code.
func Named(name string) (Quantity, bool) {
	q, ok := byName[name]
	if !ok {
		return Quantity{}, false
	}
	return *q, true
}

// Question asks for one quantity.
type Question struct {
	Quantity string
	Inputs   map[string]Given
	Want     map[string]string // unit by output; metric where nothing is wanted
}

// Answer is what a question gives.
type Answer struct {
	Quantity string         `json:"quantity"`
	Outputs  map[string]Got `json:"outputs"`
	Defaults map[string]Got `json:"defaults,omitempty"` // what was not given and taken as usual
	Method   string         `json:"method"`
	Source   string         `json:"source"`
}

// Got is one value of an answer: a finite number, a word, true or false, or nil
// where the output says what that means.
type Got struct {
	Value any    `json:"value"`
	Unit  string `json:"unit"`
}

// Ask answers a question; climates are the years that it may name. The error is
// a *Fault: nothing is computed from an input that is wrong.
func Ask(q Question, climates *Shelf) (Answer, error) {
	what, ok := byName[q.Quantity]
	if !ok {
		return Answer{}, fault(UnknownQuantity, "quantity", "%q is no quantity that is answered here", shorten(q.Quantity))
	}
	in, err := what.read(q, climates)
	if err != nil {
		return Answer{}, err
	}
	results, err := what.reckon(in)
	if err != nil {
		return Answer{}, err
	}
	outputs, err := what.give(results, q.Want)
	if err != nil {
		return Answer{}, err
	}
	return Answer{Quantity: what.Name, Outputs: outputs, Defaults: in.defaults, Method: what.Method, Source: what.Source.String()}, nil
}

// read turns what was given into the values that the formula takes.
func (q *Quantity) read(asked Question, climates *Shelf) (Values, error) {
	if name, unknown := q.strange(asked.Inputs); unknown {
		return Values{}, fault(UnknownInput, shorten(name), "%s has no input %q", q.Name, shorten(name))
	}
	v := Values{values: make(map[string]value, len(q.Inputs))}
	for _, in := range q.Inputs {
		given, there := asked.Inputs[in.Name]
		got, err := in.read(given, there, climates)
		if err != nil {
			return Values{}, err
		}
		v.values[in.Name] = got
		if in.Default != nil && !there {
			if v.defaults == nil {
				v.defaults = map[string]Got{}
			}
			v.defaults[in.Name] = Got{in.Default, in.Unit}
		}
	}
	return v, nil
}

// strange finds the first given name, by the alphabet, that is no input.
func (q *Quantity) strange(given map[string]Given) (name string, found bool) {
	for n := range given {
		known := slices.ContainsFunc(q.Inputs, func(in Input) bool { return in.Name == n })
		if !known && (!found || n < name) {
			name, found = n, true
		}
	}
	return name, found
}

// give puts the results into the units wanted.
func (q *Quantity) give(results Results, want map[string]string) (map[string]Got, error) {
	outputs := make(map[string]Got, len(q.Outputs))
	for _, out := range q.Outputs {
		got, err := out.give(results[out.Name], want[out.Name])
		if err != nil {
			return nil, err
		}
		outputs[out.Name] = got
	}
	for name := range want {
		if _, ok := outputs[name]; !ok {
			return nil, fault(UnknownOutput, "want", "%s gives no %q", q.Name, shorten(name))
		}
	}
	return outputs, nil
}

// String names the quantity for a log or a test.
func (q Quantity) String() string { return fmt.Sprintf("%s (%s)", q.Name, q.Group) }
