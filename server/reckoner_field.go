package server

import (
	"fmt"
	"strings"

	"drylag/models"
	"drylag/models/reckon"
)

// ask is one input of a question as the page lays it out.
type ask struct {
	As     string     // the part that draws it: "number", "text", "select", "choice" or "rows"
	Field  field      // of one value
	Label  string     // of rows
	Hints  string     // of rows
	Places []askedRow // of rows and lists
}

// askedRow is one row of a list.
type askedRow struct {
	N      int
	Fields []field
}

// asks are the fields of the question in their order.
func (p *quantityPage) asks() []ask {
	var out []ask
	for _, in := range p.Quantity.Inputs {
		if hasPlaces(in) {
			out = append(out, p.askPlaces(in))
			continue
		}
		out = append(out, p.askOne(in))
	}
	if p.Quantity.AnyUnit() {
		want := p.Field(reckon.Want, "Unit wanted").Optional().Auto("off").Hint("Such as mm, °F or W/(m K). Left empty: the SI unit.")
		out = append(out, ask{As: "text", Field: want})
	}
	return out
}

func (p *quantityPage) askOne(in reckon.Input) ask {
	f := p.fieldFor(in, in.Name, capital(in.Label))
	switch in.Shape {
	case reckon.Word:
		return ask{As: chooseBy(len(in.Words)), Field: f.From(wordsOf(in.Words)).Blank(p.usualWord(in))}
	case reckon.YesNo:
		return ask{As: "choice", Field: f.From(models.Vocabulary{{Code: "yes", Say: "Yes"}, {Code: "no", Say: "No"}})}
	case reckon.Climate:
		return ask{As: "select", Field: f.From(p.Years)}
	case reckon.Any:
		return ask{As: "text", Field: f.Auto("off").Hint("With its unit, such as 12 in.")}
	}
	return ask{As: "number", Field: f}
}

// usualWord is what stands for no answer where a word is usual.
func (p *quantityPage) usualWord(in reckon.Input) string {
	if usual := in.Usual(p.system); usual != "" {
		return "Usual: " + usual
	}
	return ""
}

// chooseBy picks buttons for few words and a list for many.
func chooseBy(words int) string {
	if words <= 4 {
		return "choice"
	}
	return "select"
}

func wordsOf(codes []string) models.Vocabulary {
	var out models.Vocabulary
	for _, code := range codes {
		out = append(out, models.Word{Code: code, Say: reckon.Spoken(code)})
	}
	return out
}

// fieldFor is a field with its unit and what may be typed into it.
func (p *quantityPage) fieldFor(in reckon.Input, name, label string) field {
	f := p.Field(name, label).Unit(in.UnitSymbol(p.system)).Hint(p.hint(in))
	if in.Optional || in.Default != nil || in.Null != "" {
		f = f.Optional()
	}
	return f
}

// hint says the range, and what an empty field means.
func (p *quantityPage) hint(in reckon.Input) string {
	var parts []string
	if r := in.RangeIn(p.system); r != "" {
		parts = append(parts, capital(tight(r))+".")
	}
	switch usual := in.Usual(p.system); {
	case in.Null != "":
		parts = append(parts, "Left empty: "+in.Null+".")
	case usual != "":
		parts = append(parts, "Left empty: "+tight(usual)+", the usual.")
	}
	return strings.Join(parts, " ")
}

// fewestPlaces is how many rows of a list are offered; one more than is filled
// is always there, so that it can grow without a script.
const fewestPlaces = 3

func (p *quantityPage) askPlaces(in reckon.Input) ask {
	fields := in.Fields
	if in.Shape == reckon.Numbers {
		fields = []reckon.Input{in}
	}
	a := ask{As: "rows", Label: capital(in.Label), Hints: "Rows left empty are passed over."}
	for n := 1; n <= min(reckon.MostRows, max(fewestPlaces, p.filled(in, fields)+1)); n++ {
		row := askedRow{N: n}
		for _, part := range fields {
			row.Fields = append(row.Fields, p.cell(in, part, n))
		}
		a.Places = append(a.Places, row)
	}
	return a
}

// cell is one field of a row, its number in its label: no two are called the same.
func (p *quantityPage) cell(in, part reckon.Input, n int) field {
	name := reckon.Place(in.Name, n, part.Name)
	if in.Shape == reckon.Numbers {
		name = reckon.Place(in.Name, n, "")
	}
	f := p.fieldFor(part, name, fmt.Sprintf("%s, %d", capital(part.Label), n))
	if n > 1 {
		f = f.Hint("")
	}
	return f
}

// filled is the last row in which anything was typed.
func (p *quantityPage) filled(in reckon.Input, fields []reckon.Input) int {
	last := 0
	for n := 1; n <= reckon.MostRows; n++ {
		for _, part := range fields {
			field := reckon.Place(in.Name, n, part.Name)
			if in.Shape == reckon.Numbers {
				field = reckon.Place(in.Name, n, "")
			}
			if p.Form.text(field) != "" {
				last = n
			}
		}
	}
	return last
}
