package register

import (
	"context"
	"strings"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/unit"
)

// thicknessTable are wall readings of a gauge.
var thicknessTable = tableKind{cause: "import", record: "thickness readings", taker: takeThickness, days: []string{"date"}, fields: append([]sheet.Field{
	{Name: "date", Title: "Date", Synonyms: []string{"day", "read on", "reading date"}, Required: true},
	{Name: "point", Title: "Point", Synonyms: []string{"reading point", "measuring point", "location", "position"}, Required: true},
	{Name: "value", Title: "Reading", Synonyms: []string{"value", "wall", "thickness", "wall thickness", "wall reading"}, Required: true},
	{Name: "unit", Title: "Unit", Synonyms: []string{"units"}},
	{Name: "gauge", Title: "Gauge", Synonyms: []string{"instrument", "gage"}},
	{Name: "check_block", Title: "Check block", Synonyms: []string{"gauge checked", "calibrated"}},
	{Name: "by", Title: "By", Synonyms: []string{"read by", "inspector", "operator"}},
}, whichCover...)}

// takeThickness takes rows of wall readings. The same value of the same point on
// the same day is the same reading.
func takeThickness(t *tableImport) func(context.Context, []*row) error {
	seen := map[models.ID][]models.ThicknessReading{}
	return func(ctx context.Context, rows []*row) error {
		keys, err := t.coversOf(ctx, rows)
		if err != nil {
			return err
		}
		if err := loadOnce(ctx, seen, keys, t.tx.ReadingsOf); err != nil {
			return err
		}
		for i, x := range rows {
			reading := models.ThicknessReading{ID: t.r.newID(), Cover: keys[i].ID, By: "import", EnteredAt: t.r.Now(), Recorder: t.a.ID}
			x.readThickness(&reading, t.r.Today(models.Building{}))
			if len(x.faults) > 0 || haveReading(seen[reading.Cover], reading) {
				continue
			}
			if _, err := t.tx.AddReading(ctx, reading); err != nil {
				return err
			}
			seen[reading.Cover] = append(seen[reading.Cover], reading)
			x.became = isNew
		}
		return nil
	}
}

func haveReading(list []models.ThicknessReading, x models.ThicknessReading) bool {
	for _, h := range list {
		if h.On == x.On && h.Point == x.Point && h.Value == x.Value && h.Unit == x.Unit {
			return true
		}
	}
	return false
}

func (x *row) readThickness(r *models.ThicknessReading, today models.Date) {
	if x.need("date", "the day of the reading") {
		x.day("date", &r.On)
	}
	if x.need("point", "the name of the point that was read") {
		x.text("point", &r.Point)
	}
	x.text("gauge", &r.Gauge)
	x.text("by", &r.By)
	if x.given("check_block") {
		checked := false
		x.yes("check_block", &checked)
		r.CheckBlock = &checked
	}
	if x.need("value", "the wall that was read") {
		x.readWall(r)
	}
	if r.On > today {
		x.fault("date", "lies in the future")
	}
	if len(x.faults) > 0 {
		return
	}
	for _, f := range faultList(checkReadings([]models.ThicknessReading{*r}, today)) {
		x.fault(strings.TrimPrefix(f.Field, "reading_1_"), "%s", f.Msg)
	}
}

// readWall takes a wall with its unit over: in the cell, in a column of its own,
// or in the heading. Millimeters and inches stay as read.
func (x *row) readWall(r *models.ThicknessReading) {
	cell := x.point(x.cell("value"))
	if x.given("unit") {
		cell += " " + x.cell("unit")
	}
	wall, err := unit.Parse("value", cell, unit.Thickness, unit.SI)
	if other, _ := unit.Parse("value", cell, unit.Thickness, unit.IP); err != nil || other.Unit != wall.Unit {
		var ok bool
		if wall, ok = x.reading("value", unit.Thickness); !ok {
			return
		}
	}
	if wall.Unit == "mm" || wall.Unit == "in" {
		r.Value, r.Unit = wall.Value, wall.Unit
		return
	}
	mm, err := wall.In("mm")
	if err != nil {
		x.fault("value", "cannot be turned into mm; write it in mm or in")
		return
	}
	r.Value, r.Unit = mm, "mm"
}
