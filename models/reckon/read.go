package reckon

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"

	"drylag/models/unit"
)

// Given is one input as it was sent: {"value": 25, "unit": "degC"}.
type Given struct {
	Value json.RawMessage `json:"value"`
	Unit  string          `json:"unit"`
}

// value is one input as the formulas take it. Without any it was left out, or
// is null where null is an answer.
type value struct {
	there   bool
	number  float64
	numbers []float64
	word    string
	yes     bool
	rows    []map[string]float64
	year    *Year
	unit    string // of Any: as it was given
}

// read reads one input; there tells whether its name was given at all.
func (in Input) read(g Given, there bool, climates *Shelf) (value, error) {
	switch {
	case !there && in.Default != nil:
		return in.usual(), nil
	case !there && in.Optional:
		return value{}, nil
	case !there:
		return value{}, fault(MissingInput, in.Name, "give %s", in.asked())
	case (in.Null != "" || in.Optional) && isNull(g.Value):
		return value{}, nil
	}
	switch in.Shape {
	case Numbers:
		return in.readList(g)
	case Rows:
		return in.readRows(g)
	case Word:
		return in.readWord(g)
	case YesNo:
		return in.readYesNo(g)
	case Climate:
		return in.readClimate(g, climates)
	case Any:
		return in.readAny(g)
	}
	n, err := in.number(g.Value, g.Unit)
	return value{there: err == nil, number: n}, err
}

// asked names the input with the unit in which it may be given.
func (in Input) asked() string {
	switch {
	case in.Shape == Word:
		return in.Label + ": " + strings.Join(in.Words, ", ")
	case in.Shape == YesNo:
		return in.Label + ": true or false"
	case in.Shape == Rows || in.Shape == Climate || in.Shape == Any:
		return in.Label
	case in.Unit == "1":
		return in.Label + `, unit "1"`
	}
	return in.Label + `, unit "` + in.Unit + `" or another of its kind`
}

// usual is the default as a value.
func (in Input) usual() value {
	v := value{there: true}
	switch d := in.Default.(type) {
	case float64:
		v.number = d
	case string:
		v.word = d
	case bool:
		v.yes = d
	}
	return v
}

func isNull(raw json.RawMessage) bool { return string(raw) == "null" }

// number reads one number, turns it into the input's unit and holds it to the
// range.
func (in Input) number(raw json.RawMessage, unitGiven string) (float64, error) {
	factor, err := in.units(unitGiven)
	if err != nil {
		return 0, err
	}
	typed, ok := finite(raw)
	if !ok {
		return 0, fault(in.Code, in.Name, "%s %s, not %s", in.Label, in.Range.said(in.Unit), said(raw))
	}
	converted := factor(typed)
	if !in.Range.holds(converted) {
		return 0, fault(in.Code, in.Name, "%s %s, not %s", in.Label, in.Range.said(in.Unit), unit.Reading{Value: typed, Unit: unitGiven})
	}
	return converted, nil
}

// units returns what turns the given unit into the input's own.
func (in Input) units(given string) (func(float64) float64, error) {
	from := given
	if in.Kind == unit.TempDifference {
		from = difference(given)
	}
	if in.Plain && given == "1" {
		from = in.Unit
	}
	if !unit.Known(from) {
		if strings.TrimSpace(given) == "" {
			return nil, fault(UnknownUnit, in.Name, "give the unit of %s, such as %q", in.Label, in.Unit)
		}
		return nil, fault(UnknownUnit, in.Name, "%q is no unit that is known here; write one such as %q", shorten(given), in.Unit)
	}
	if _, err := unit.Convert(0, from, in.Unit); err != nil {
		return nil, fault(WrongUnit, in.Name, "%s is given in %q or another unit of its kind, not in %q", in.Label, in.Unit, given)
	}
	return func(v float64) float64 {
		v, _ = unit.Convert(v, from, in.Unit) // cannot fail: it was tried
		return v
	}, nil
}

// difference takes a unit of temperature as one of difference, as people write
// "margin 1 °C".
func difference(given string) string {
	if _, err := unit.Convert(0, given, "degC"); err != nil {
		return given
	}
	if strings.Contains(strings.ToLower(given), "f") {
		return "delta degF"
	}
	return "K"
}

// finite reads a JSON number. Text, true, null and what a float64 cannot hold
// are not finite numbers.
func finite(raw json.RawMessage) (float64, bool) {
	if len(raw) == 0 || raw[0] != '-' && (raw[0] < '0' || raw[0] > '9') {
		return 0, false
	}
	v, err := strconv.ParseFloat(string(raw), 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// said shows what was given in the words of a message, cut where it is long.
func said(raw json.RawMessage) string {
	if text := string(raw); text != "" && text != `""` && text != "null" {
		return shorten(text)
	}
	return "empty"
}

const longestSaid = 40

func shorten(text string) string {
	if runes := []rune(text); len(runes) > longestSaid {
		return string(runes[:longestSaid]) + "…"
	}
	return text
}

// said says where a value may lie: "must be 0 to 1".
func (r Range) said(in string) string {
	end := func(v float64) string { return unit.Reading{Value: v, Unit: in}.String() }
	switch {
	case r.Max >= most && r.Min <= -most:
		return "must be a number"
	case r.Max >= most && r.MinOpen:
		return "must be above " + end(r.Min)
	case r.Max >= most:
		return "must be " + end(r.Min) + " or more"
	}
	if !r.MinOpen && !r.MaxOpen {
		return "must be " + strconv.FormatFloat(r.Min, 'g', -1, 64) + " to " + end(r.Max)
	}
	low, high := "at least ", "at most "
	if r.MinOpen {
		low = "above "
	}
	if r.MaxOpen {
		high = "below "
	}
	return "must be " + low + strconv.FormatFloat(r.Min, 'g', -1, 64) + " and " + high + end(r.Max)
}

// readList reads a list of numbers in one unit; it may be empty.
func (in Input) readList(g Given) (value, error) {
	var items []json.RawMessage
	if isNull(g.Value) || json.Unmarshal(g.Value, &items) != nil {
		return value{}, fault(in.Code, in.Name, "%s is a list of numbers, not %s", in.Label, said(g.Value))
	}
	v := value{there: true, numbers: make([]float64, len(items))}
	for i, item := range items {
		n, err := in.number(item, g.Unit)
		if err != nil {
			return value{}, err
		}
		v.numbers[i] = n
	}
	return v, nil
}

// readWord reads one of the words, in either case. A number in place of a word
// is its text: schedule 40.
func (in Input) readWord(g Given) (value, error) {
	if err := in.wordUnit(g.Unit, "word", "enum"); err != nil {
		return value{}, err
	}
	var text string
	if _, number := finite(g.Value); number {
		text = string(g.Value)
	} else if len(g.Value) == 0 || json.Unmarshal(g.Value, &text) != nil {
		text = said(g.Value)
	}
	i := slices.IndexFunc(in.Words, func(w string) bool { return strings.EqualFold(w, strings.TrimSpace(text)) })
	if i < 0 {
		return value{}, fault(UnknownWord, in.Name, "%s is one of %s, not %q", in.Label, strings.Join(in.Words, ", "), shorten(text))
	}
	return value{there: true, word: in.Words[i]}, nil
}

func (in Input) readYesNo(g Given) (value, error) {
	if err := in.wordUnit(g.Unit, "bool", "word"); err != nil {
		return value{}, err
	}
	switch string(g.Value) {
	case "true", `"true"`:
		return value{there: true, yes: true}, nil
	case "false", `"false"`:
		return value{there: true}, nil
	}
	return value{}, fault(UnknownWord, in.Name, "%s is true or false, not %s", in.Label, said(g.Value))
}

// wordUnit refuses a unit of measure where a word is meant.
func (in Input) wordUnit(given string, allowed ...string) error {
	if given == "" || slices.Contains(allowed, given) {
		return nil
	}
	return fault(WrongUnit, in.Name, "%s has unit %q, not %q", in.Label, in.Unit, shorten(given))
}

// readAny keeps a number in the unit in which it was given.
func (in Input) readAny(g Given) (value, error) {
	if !unit.Known(g.Unit) {
		return value{}, fault(UnknownUnit, in.Name, "%q is no unit that is known here; write one such as \"in\" or \"W/(m2 K)\"", shorten(g.Unit))
	}
	n, ok := finite(g.Value)
	if !ok {
		return value{}, fault(in.Code, in.Name, "%s must be a number, not %s", in.Label, said(g.Value))
	}
	return value{there: true, number: n, unit: g.Unit}, nil
}

func (in Input) readClimate(g Given, climates *Shelf) (value, error) {
	if err := in.wordUnit(g.Unit, "file", "word"); err != nil {
		return value{}, err
	}
	var name string
	if len(g.Value) == 0 || json.Unmarshal(g.Value, &name) != nil || name == "" {
		return value{}, fault(ClimateFile, in.Name, "give the file or the name of a climate, not %s", said(g.Value))
	}
	year, err := climates.year(in.Name, name)
	return value{there: err == nil, year: year}, err
}
