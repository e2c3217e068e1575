package server

import (
	"errors"
	"slices"
	"strconv"

	"drylag/models"
	"drylag/models/unit"
)

// wallMost is how many readings one form can hold.
const wallMost = 40

// wallRow is one row of wall readings with the names of its fields.
type wallRow struct {
	N                                 int
	Point, Value, Gauge, Check, Taker string
}

func wallRowAt(n int) wallRow {
	at := func(name string) string { return "reading_" + strconv.Itoa(n) + "_" + name }
	return wallRow{n, at("point"), at("value"), at("gauge"), at("check"), at("by")}
}

func (r wallRow) fields() []string { return []string{r.Point, r.Value, r.Gauge, r.Check, r.Taker} }

// Readings are the rows of wall readings: those that are filled and one more,
// at least three.
func (p *recordPage) Readings() []wallRow {
	var out []wallRow
	for n := 1; n <= min(wallMost, max(3, wallLast(p.Form)+1)); n++ {
		out = append(out, wallRowAt(n))
	}
	return out
}

// HasReadings tells whether a row is filled.
func (p *recordPage) HasReadings() bool { return wallLast(p.Form) > 0 }

// wallLast is the last row in which a point or a wall was typed.
func wallLast(f *form) int {
	for n := wallMost; n > 0; n-- {
		if r := wallRowAt(n); f.text(r.Point) != "" || f.text(r.Value) != "" {
			return n
		}
	}
	return 0
}

// readWalls reads the rows of wall readings. Rows left empty in between close
// up first, since models counts faults by reading.
func readWalls(f *form, units string) []models.ThicknessReading {
	closeUp(f)
	var out []models.ThicknessReading
	for n := 1; n <= wallLast(f); n++ {
		r := wallRowAt(n)
		x := models.ThicknessReading{Point: f.text(r.Point), Gauge: f.text(r.Gauge), CheckBlock: f.yesNo(r.Check), By: f.text(r.Taker)}
		x.Value, x.Unit = f.wall(r.Value, units)
		out = append(out, x)
	}
	return out
}

// wall is a wall in the unit in which it was read, digit for digit.
func (f *form) wall(name, units string) (value float64, in string) {
	r, err := unit.Parse(name, f.text(name), unit.Thickness, systemOf(units))
	var entry *unit.EntryError
	switch {
	case f.text(name) == "":
		f.Faults.Add(name, "Give the wall that was read.")
		return 0, ""
	case errors.As(err, &entry):
		f.Faults.Add(name, "%q %s", entry.Text, entry.Msg)
		return 0, ""
	case r.Unit == "in" || r.Unit == "mm":
		return r.Value, r.Unit
	}
	mm, err := r.In("mm")
	if err != nil {
		f.Faults.Add(name, "%s", err)
	}
	return mm, "mm"
}

func closeUp(f *form) {
	to := 1
	for n := 1; n <= wallMost; n++ {
		from := wallRowAt(n)
		if f.text(from.Point) == "" && f.text(from.Value) == "" {
			continue
		}
		if n != to {
			for i, name := range wallRowAt(to).fields() {
				f.values[name] = f.values[from.fields()[i]]
				delete(f.values, from.fields()[i])
			}
		}
		to++
	}
}

// fillWalls puts readings back into the form as they were read.
func fillWalls(f *form, list []models.ThicknessReading, by string) {
	for i, x := range list[:min(len(list), wallMost)] {
		r := wallRowAt(i + 1)
		f.set(r.Point, x.Point)
		f.set(r.Value, unit.Reading{Value: x.Value, Unit: x.Unit}.String())
		f.set(r.Gauge, x.Gauge)
		f.setYesNo(r.Check, x.CheckBlock)
		if x.By != by {
			f.set(r.Taker, x.By)
		}
	}
}

// yesOrNo are the answers of a question that has the two.
var yesOrNo = models.Vocabulary{{Code: "yes", Say: "yes"}, {Code: "no", Say: "no"}}

// Checks are the answers about the gauge's check block.
func (p *recordPage) Checks() models.Vocabulary { return slices.Clone(yesOrNo) }
