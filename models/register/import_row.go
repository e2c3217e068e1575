package register

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/unit"
)

// became is what a row did to the record.
type became int

const (
	isSame became = iota
	isNew
	isChanged
)

// row is one row of a table being read: its cells by field, and what is wrong.
type row struct {
	t      *tableImport
	cells  sheet.Row
	faults []*sheet.Fault
	became became
}

func (t *tableImport) row(cells sheet.Row) *row { return &row{t: t, cells: cells} }

// cell is a field's cell without spaces around it.
func (x *row) cell(field string) string { return strings.TrimSpace(x.t.match.Cell(x.cells, field)) }

// given tells whether a cell says something.
func (x *row) given(field string) bool { return !notKnown(x.cell(field)) }

// heading is the column of a field as the file names it, the field itself where
// the file has none.
func (x *row) heading(field string) string {
	if c, ok := x.t.match.Of(field); ok {
		return x.t.table.Columns[c.Index]
	}
	return field
}

// valueIn is the cell of a column, for the report.
func (x *row) valueIn(column string) string {
	if i := slices.Index(x.t.table.Columns, column); i >= 0 && i < len(x.cells.Cells) {
		return x.cells.Cells[i]
	}
	return ""
}

// fault notes what is wrong with a field and what to write instead.
func (x *row) fault(field, format string, args ...any) {
	x.faults = append(x.faults, &sheet.Fault{Line: x.cells.Line, Column: x.heading(field), Msg: fmt.Sprintf(format, args...)})
}

// need notes a fault where a field that cannot be left out is empty.
func (x *row) need(field, what string) bool {
	if x.given(field) {
		return true
	}
	x.fault(field, "is empty; give %s", what)
	return false
}

// invalid notes the faults of a record that its own rules refuse.
func (x *row) invalid(err error) {
	var e *models.Error
	if !errors.As(err, &e) {
		return
	}
	for _, f := range e.Faults {
		x.fault(f.Field, "%s", f.Msg)
	}
}

// text takes a cell over, where it says something.
func (x *row) text(field string, to *string) {
	if x.given(field) {
		*to = x.cell(field)
	}
}

// word takes the code of a word over.
func (x *row) word(field string, words models.Vocabulary, to *string) {
	if !x.given(field) {
		return
	}
	code, ok := wordOf(words, x.cell(field))
	if !ok {
		x.fault(field, "is not one of the answers; write one of: %s", choices(words))
		return
	}
	*to = code
}

// yes takes yes or no over.
func (x *row) yes(field string, to *bool) {
	if !x.given(field) {
		return
	}
	switch plain(x.cell(field)) {
	case "yes", "y", "true", "1", "x":
		*to = true
	case "no", "n", "false", "0":
		*to = false
	default:
		x.fault(field, "is neither yes nor no; write yes, no or nothing")
	}
}

// whole takes a whole number over.
func (x *row) whole(field string, to *int) {
	if !x.given(field) {
		return
	}
	n, err := strconv.Atoi(x.cell(field))
	if err != nil {
		x.fault(field, "is not a whole number; write it as 3")
		return
	}
	*to = n
}

// wholeOrNil takes a whole number over that may be unknown.
func (x *row) wholeOrNil(field string, to **int) {
	if !x.given(field) {
		return
	}
	before := len(x.faults)
	n := 0
	if x.whole(field, &n); len(x.faults) == before {
		*to = &n
	}
}

// number takes a plain number over.
func (x *row) number(field string, to **float64) {
	if !x.given(field) {
		return
	}
	v, err := strconv.ParseFloat(x.point(x.cell(field)), 64)
	if err != nil || v != v {
		x.fault(field, "is not a number; write it as 5.6")
		return
	}
	*to = &v
}

// point writes a number with a decimal point where the file has a comma.
func (x *row) point(cell string) string {
	if x.t.req.DecimalComma {
		return strings.ReplaceAll(cell, ",", ".")
	}
	return cell
}

// quantity takes a value over in the unit wanted. Its own unit stands in the
// cell or at the end of the heading; a bare number without either is refused.
func (x *row) quantity(field string, kind unit.Kind, in string, to **float64) {
	r, ok := x.reading(field, kind)
	if !ok {
		return
	}
	v, err := r.In(in)
	if err != nil {
		x.fault(field, "cannot be turned into %s; write it in %s", unit.Symbol(in), unit.Symbol(in))
		return
	}
	*to = &v
}

// reading is a cell's value with its unit; ok is false where it is empty, or
// cannot be read, which is noted.
func (x *row) reading(field string, kind unit.Kind) (unit.Reading, bool) {
	if !x.given(field) {
		return unit.Reading{}, false
	}
	text := x.point(x.cell(field))
	if c, _ := x.t.match.Of(field); c.Unit != "" {
		if r, err := unit.Parse(field, text+" "+c.Unit, kind, unit.SI); err == nil {
			return r, true
		}
	}
	r, err := unit.Parse(field, text, kind, unit.SI)
	other, _ := unit.Parse(field, text, kind, unit.IP)
	var entry *unit.EntryError
	switch {
	case errors.As(err, &entry):
		x.fault(field, "%s", entry.Msg)
		return r, false
	case r.Unit != other.Unit:
		x.fault(field, "has no unit; write it in the cell, as %s %s, or in the heading, as %s (%s)",
			text, unit.Symbol(kind.Unit(unit.SI)), x.heading(field), unit.Symbol(kind.Unit(unit.SI)))
		return r, false
	}
	return r, true
}

// nominal takes a nominal pipe size over: inches, or DN in millimeters.
func (x *row) nominal(field string, to **float64) {
	if !x.given(field) {
		return
	}
	text := strings.TrimSpace(strings.TrimPrefix(strings.ToUpper(x.point(x.cell(field))), "NPS"))
	if dn, ok := strings.CutPrefix(text, "DN"); ok {
		nps, known := npsOfDN[strings.TrimSpace(dn)]
		if !known {
			x.fault(field, "is no nominal diameter that is known; write the nominal pipe size, as 6")
			return
		}
		*to = &nps
		return
	}
	r, err := unit.Parse(field, text, unit.Thickness, unit.IP)
	if err != nil || r.Unit != "in" {
		x.fault(field, `is not a nominal pipe size; write it as 6, 1 1/2 or DN150`)
		return
	}
	*to = &r.Value
}

// npsOfDN pairs nominal diameters with nominal pipe sizes (ISO 6708 and ASME
// B36.10M).
var npsOfDN = map[string]float64{"15": 0.5, "20": 0.75, "25": 1, "32": 1.25, "40": 1.5, "50": 2, "65": 2.5, "80": 3,
	"100": 4, "125": 5, "150": 6, "200": 8, "250": 10, "300": 12, "350": 14, "400": 16, "450": 18, "500": 20, "600": 24}
