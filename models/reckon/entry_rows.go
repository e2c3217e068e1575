package reckon

import "fmt"

// MostRows is the number of places that a page may have for a list or rows.
const MostRows = mostRows

// Place is the field of a page for one place of a list, counted from one;
// field is that of a row, "" for a list of numbers.
func Place(input string, n int, field string) string {
	name := fmt.Sprintf("%s_%d", input, n)
	if field != "" {
		name += "_" + field
	}
	return name
}

// list reads an input of several numbers, each in its own unit.
func (r *entryReader) list(in Input) {
	var numbers []float64
	var e Entered
	r.entry.at[in.Name] = Place(in.Name, 1, "")
	for n := 1; n <= mostRows; n++ {
		field := Place(in.Name, n, "")
		text := r.text(field)
		if text == "" {
			continue
		}
		v, one, err := in.numberFrom(text, r.system)
		if err != nil {
			r.wrong(field, err)
			continue
		}
		numbers = append(numbers, v)
		e = e.and(one)
	}
	e.Label = in.Label
	if numbers == nil {
		numbers, e.SI, e.IP = []float64{}, "none", "none"
	}
	r.entry.Question.Inputs[in.Name] = Given{Value: jsonOf(numbers), Unit: in.Unit}
	r.understood(e)
}

// and adds one more value of the same input.
func (e Entered) and(one Entered) Entered {
	if e.SI == "" {
		return one
	}
	e.Typed += "; " + one.Typed
	e.SI += "; " + one.SI
	e.IP += "; " + one.IP
	return e
}

// rows reads an input of rows; a row without any text is none.
func (r *entryReader) rows(in Input) {
	rows := []map[string]float64{}
	faults := len(r.entry.Faults)
	r.entry.at[in.Name] = Place(in.Name, 1, in.Fields[0].Name)
	for n := 1; n <= mostRows; n++ {
		if !r.rowTyped(in, n) {
			continue
		}
		row := map[string]float64{}
		for _, f := range in.Fields {
			field := Place(in.Name, n, f.Name)
			r.entry.at[fmt.Sprintf("%s[%d].%s", in.Name, len(rows), f.Name)] = field
			r.cell(row, f, field, fmt.Sprintf("%s, %d", f.Label, n))
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 && faults == len(r.entry.Faults) {
		r.wrong(r.entry.at[in.Name], fault(MissingInput, in.Name, "give %s, one row at least", in.Label))
	}
	r.entry.Question.Inputs[in.Name] = Given{Value: jsonOf(rows)}
}

func (r *entryReader) rowTyped(in Input, n int) bool {
	for _, f := range in.Fields {
		if r.text(Place(in.Name, n, f.Name)) != "" {
			return true
		}
	}
	return false
}

// cell reads one field of a row.
func (r *entryReader) cell(row map[string]float64, f Input, field, label string) {
	text := r.text(field)
	usual, hasUsual := f.Default.(float64)
	switch {
	case text == "" && hasUsual:
		row[f.Name] = usual
		e := f.entered("", Given{Value: jsonOf(usual), Unit: f.Unit})
		e.Label, e.Usual = label, true
		r.understood(e)
		return
	case text == "":
		r.wrong(field, fault(MissingInput, f.Name, "give %s", f.wanted(r.system)))
		return
	}
	v, e, err := f.numberFrom(text, r.system)
	if err != nil {
		r.wrong(field, err)
		return
	}
	row[f.Name] = v
	e.Label = label
	r.understood(e)
}
