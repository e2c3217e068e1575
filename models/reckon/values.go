package reckon

import (
	"math"

	"drylag/models/unit"
)

// Values are the inputs of one question, read and in range. Asking for a name
// that is no input gives NaN or nothing, which no answer survives.
type Values struct {
	values   map[string]value
	defaults map[string]Got
}

// has tells whether an optional input was given, or one that may be null is not.
func (v Values) has(name string) bool { return v.values[name].there }

// num returns a number in the unit of its input.
func (v Values) num(name string) float64 {
	got := v.values[name]
	if !got.there {
		return math.NaN()
	}
	return got.number
}

func (v Values) celsius(name string) unit.Celsius   { return unit.Celsius(v.num(name)) }
func (v Values) fraction(name string) unit.Fraction { return unit.Fraction(v.num(name)) }
func (v Values) pascal(name string) unit.Pascal     { return unit.Pascal(v.num(name)) }
func (v Values) meter(name string) unit.Meter       { return unit.Meter(v.num(name)) }

func (v Values) nums(name string) []float64            { return v.values[name].numbers }
func (v Values) word(name string) string               { return v.values[name].word }
func (v Values) yes(name string) bool                  { return v.values[name].yes }
func (v Values) rows(name string) []map[string]float64 { return v.values[name].rows }
func (v Values) year(name string) *Year                { return v.values[name].year }

// Results are the outputs by name.
type Results map[string]Result

// Result is one output: a number in the output's unit, a word, true or false,
// or none. A table that prints a number in two units on its own gives both.
type Result struct {
	value   any // float64, string, bool or nil
	unit    string
	printed map[string]float64
}

// num is a number in the unit of its output.
func num[N ~float64 | ~int](v N) Result { return Result{value: float64(v)} }

func isWord[S ~string](w S) Result { return Result{value: string(w)} }

func isSo(yes bool) Result { return Result{value: yes} }

// none is no value, for outputs that say what null means.
func none() Result { return Result{} }

// orNone is a number, or none where there is no pointer.
func orNone(v *float64) Result {
	if v == nil {
		return none()
	}
	return num(*v)
}

// alsoPrinted adds the number that the source prints in another unit.
func (r Result) alsoPrinted(v float64, in string) Result {
	r.printed = map[string]float64{in: v}
	return r
}

// give puts one result into the unit wanted, "" for the output's own.
func (o Output) give(r Result, want string) (Got, error) {
	own := o.Unit
	if r.unit != "" {
		own = r.unit
	}
	to := want
	if to == "" {
		to = o.Unit
	}
	if to == "" { // a conversion: in the SI unit of what was given
		to = own
	}
	switch v := r.value.(type) {
	case float64:
		return o.giveNumber(v, r, own, to)
	case nil:
		if o.Null == "" {
			return Got{}, fault(NoAnswer, o.Name, "there is no %s for these inputs", o.Label)
		}
		if _, err := o.convert(0, own, to); err != nil {
			return Got{}, err
		}
		return Got{nil, to}, nil
	default:
		if to != own && !(own == "word" && to == "enum") {
			return Got{}, fault(WrongUnit, "want", "%s has the unit %q, not %q", o.Name, own, shorten(to))
		}
		return Got{v, to}, nil
	}
}

func (o Output) giveNumber(v float64, r Result, own, to string) (Got, error) {
	if p, ok := r.printed[to]; ok {
		return Got{p, to}, nil
	}
	converted, err := o.convert(v, own, to)
	if err != nil {
		return Got{}, err
	}
	if math.IsNaN(converted) || math.IsInf(converted, 0) {
		return Got{}, fault(NoAnswer, o.Name, "%s cannot be worked out for these inputs", o.Label)
	}
	return Got{converted + 0, to}, nil // + 0 turns -0 into 0
}

func (o Output) convert(v float64, own, to string) (float64, error) {
	if to == own || o.Plain && to == "1" {
		return v, nil
	}
	from, into := own, to
	if o.Kind == unit.TempDifference {
		into = difference(to)
	}
	if !unit.Known(into) {
		return 0, fault(UnknownUnit, "want", "%s: %q is no unit that is known here", o.Name, shorten(to))
	}
	converted, err := unit.Convert(v, from, into)
	if err != nil {
		return 0, fault(WrongUnit, "want", "%s is given in %q or another unit of its kind, not in %q", o.Name, own, shorten(to))
	}
	return converted, nil
}
