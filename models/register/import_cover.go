package register

import (
	"context"
	"reflect"
	"strings"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/store"
	"drylag/models/unit"
)

const tempKind = unit.Temperature

// coverTable is a site's register of covers. Building, room, tag and kind are
// needed; what is empty is not known, and leaves what drylag knows as it is.
var coverTable = tableKind{cause: "import", record: "register of covers", taker: takeCovers, days: []string{"fitted", "coated_on"}, fields: []sheet.Field{
	{Name: "building", Title: "Building", Synonyms: []string{"house", "building name"}, Required: true},
	{Name: "room", Title: "Room", Synonyms: []string{"plant room", "mechanical room", "room name"}, Required: true},
	{Name: "tag", Title: "Tag", Synonyms: []string{"equipment tag", "component tag", "tag number", "component", "valve tag", "asset tag"}, Required: true},
	{Name: "kind", Title: "Kind", Synonyms: []string{"component kind", "component type", "type", "equipment type"}, Required: true},
	{Name: "label", Title: "Label", Synonyms: []string{"cover label", "cover number", "cover no"}},
	{Name: "room_kind", Title: "Kind of room", Synonyms: []string{"room type"}},
	{Name: "room_temp", Title: "Room temperature", Synonyms: []string{"room temp", "ambient temperature"}},
	{Name: "loop", Title: "Loop", Synonyms: []string{"system", "piping loop", "circuit"}},
	{Name: "loop_supply", Title: "Loop supply temperature", Synonyms: []string{"supply temperature", "supply temp", "chws temp"}},
	{Name: "loop_return", Title: "Loop return temperature", Synonyms: []string{"return temperature", "return temp", "chwr temp"}},
	{Name: "nps", Title: "Size", Synonyms: []string{"nominal pipe size", "pipe size", "dn", "nominal size", "line size"}},
	{Name: "material", Title: "Material", Synonyms: []string{"body material"}},
	{Name: "connection", Title: "Connection", Synonyms: []string{"end connection", "ends"}},
	{Name: "side", Title: "Side", Synonyms: []string{"supply or return", "supply/return"}},
	{Name: "service", Title: "Service temperature", Synonyms: []string{"service temp", "fluid temperature", "operating temperature", "water temperature"}},
	{Name: "pressure", Title: "Design pressure", Synonyms: []string{"pressure"}},
	{Name: "nominal_wall", Title: "Nominal wall", Synonyms: []string{"wall", "wall thickness", "nominal wall thickness"}},
	{Name: "schedule", Title: "Schedule", Synonyms: []string{"pipe schedule", "sch"}},
	{Name: "class", Title: "Class", Synonyms: []string{"stake class"}},
	{Name: "where", Title: "Where", Synonyms: []string{"location", "where in the room", "position"}},
	{Name: "height", Title: "Height", Synonyms: []string{"height above floor", "elevation"}},
	{Name: "access", Title: "Access", Synonyms: []string{"way up"}},
	{Name: "people", Title: "People", Synonyms: []string{"crew size", "people needed"}},
	{Name: "permit", Title: "Permit", Synonyms: []string{"permit needed"}},
	{Name: "flow", Title: "Flow", Synonyms: []string{"water runs", "duty"}},
	{Name: "order", Title: "Order", Synonyms: []string{"walking order", "sequence"}},
	{Name: "below", Title: "Below", Synonyms: []string{"what is below"}},
	{Name: "spare", Title: "Spare", Synonyms: []string{"standby unit"}},
	{Name: "without", Title: "Without it", Synonyms: []string{"consequence"}},
	{Name: "pools", Title: "Pools", Synonyms: []string{"water pools"}},
	{Name: "state", Title: "State", Synonyms: []string{"cover state", "in place", "status"}},
	{Name: "insulation", Title: "Insulation", Synonyms: []string{"insulation type", "fill", "filling"}},
	{Name: "thickness", Title: "Insulation thickness", Synonyms: []string{"thickness", "cover thickness"}},
	{Name: "conductivity", Title: "Conductivity", Synonyms: []string{"thermal conductivity", "k value"}},
	{Name: "facing", Title: "Facing", Synonyms: []string{"jacket facing", "outer facing"}},
	{Name: "permeance", Title: "Permeance", Synonyms: []string{"facing permeance"}},
	{Name: "closure", Title: "Closure", Synonyms: []string{"closed with", "fastening", "seam closure"}},
	{Name: "penetrations", Title: "Penetrations", Synonyms: []string{"number of penetrations"}},
	{Name: "seam_clock", Title: "Seam position", Synonyms: []string{"seam", "seam clock", "seam o'clock"}},
	{Name: "sight_port", Title: "Sight port", Synonyms: []string{"moisture indicator"}},
	{Name: "inhibitor", Title: "Inhibitor"},
	{Name: "pattern", Title: "Pattern", Synonyms: []string{"pattern number"}},
	{Name: "fitted", Title: "Fitted", Synonyms: []string{"date fitted", "installed", "installation date", "install date"}},
	{Name: "coated_on", Title: "Coated on", Synonyms: []string{"coating date"}},
	{Name: "coat_quality", Title: "Coating", Synonyms: []string{"coating quality", "coating system"}},
	{Name: "note", Title: "Note", Synonyms: []string{"notes", "remarks", "comment", "comments"}},
}}

// coverRow is one row of a register with the cover that it names.
type coverRow struct {
	*row
	p     *place
	room  models.Room
	id    models.ID // of the cover
	new   bool      // it is not on record yet
	label string
}

// takeCovers takes rows of a register of covers.
func takeCovers(t *tableImport) func(context.Context, []*row) error {
	return func(ctx context.Context, rows []*row) error {
		t.places.forget()
		var found []coverRow
		for _, x := range rows {
			c, err := t.nameCover(ctx, x)
			if err != nil {
				return err
			}
			if len(x.faults) == 0 {
				found = append(found, c)
			}
		}
		olds, err := t.sheetsOf(ctx, found)
		if err != nil {
			return err
		}
		return t.writeCovers(ctx, found, olds)
	}
}

// nameCover finds out which cover a row is about: building, room and tag, and
// the label where several covers share them.
func (t *tableImport) nameCover(ctx context.Context, x *row) (c coverRow, err error) {
	if len(x.faults) > 0 {
		return c, nil
	}
	c = coverRow{row: x}
	x.need("room", "the room's name")
	x.need("tag", "the site's own tag")
	x.need("kind", "the kind of component")
	if c.p, err = t.building(ctx, x, true); err != nil || c.p == nil || len(x.faults) > 0 {
		return c, err
	}
	if err = t.load(ctx, c.p); err != nil {
		return c, err
	}
	if c.room = t.room(x, c.p); len(x.faults) > 0 {
		return c, nil
	}
	if err := t.loadCovers(ctx, c.p, c.room.ID); err != nil {
		return c, err
	}
	x.text("label", &c.label)
	key, several := pick(c.p.covers[c.room.ID][strings.ToLower(x.cell("tag"))], c.label)
	if several {
		x.fault("label", "is empty, but several covers in this room have the tag %s; give the label", x.cell("tag"))
		return c, nil
	}
	if c.id, c.new = key.ID, key.ID == models.None; c.new {
		c.id = t.r.newID()
		t.places.add(c.p, store.CoverKey{ID: c.id, Room: c.room.ID, Tag: strings.ToLower(x.cell("tag")), Label: c.label})
	}
	if line := t.places.taken("cover", string(c.id), x.cells.Line); line > 0 {
		x.fault("tag", "stands on line %d already; keep one line for each cover, or give them labels", line)
	}
	return c, nil
}

// pick chooses among covers of one tag by a label. Without label there must be
// one; a cover that has no label yet takes the one given.
func pick(keys []store.CoverKey, label string) (k store.CoverKey, several bool) {
	if label == "" {
		switch len(keys) {
		case 0:
			return k, false
		case 1:
			return keys[0], false
		}
		return k, true
	}
	for _, key := range keys {
		if strings.EqualFold(key.Label, label) {
			return key, false
		}
	}
	for _, key := range keys {
		if key.Label == "" {
			return key, false
		}
	}
	return k, false
}

// sheetsOf loads the covers that rows name.
func (t *tableImport) sheetsOf(ctx context.Context, rows []coverRow) (map[models.ID]models.CoverSheet, error) {
	var ids []models.ID
	for _, c := range rows {
		if !c.new {
			ids = append(ids, c.id)
		}
	}
	list, err := t.tx.Sheets(ctx, ids)
	out := map[models.ID]models.CoverSheet{}
	for _, s := range list {
		out[s.Cover.ID] = s
	}
	return out, err
}

// writeCovers stores what rows say about their covers.
func (t *tableImport) writeCovers(ctx context.Context, rows []coverRow, olds map[models.ID]models.CoverSheet) error {
	owners, err := t.labelOwners(ctx, rows)
	if err != nil {
		return err
	}
	var added []models.CoverSheet
	for _, c := range rows {
		old := olds[c.id]
		s := t.coverAfter(c, old, owners)
		if len(c.faults) > 0 {
			continue
		}
		if err := t.savePlaces(ctx, c.p, &s); err != nil {
			return err
		}
		switch {
		case c.new:
			c.became = isNew
			added = append(added, s)
		case !reflect.DeepEqual(old, s):
			c.became = isChanged
			if err := t.changeCover(ctx, old, s); err != nil {
				return err
			}
		}
	}
	return t.tx.AddSheets(ctx, added)
}

func (t *tableImport) changeCover(ctx context.Context, old, s models.CoverSheet) error {
	saved, err := t.tx.PutSheet(ctx, s)
	if err != nil {
		return err
	}
	return t.r.coverEdited(ctx, t.tx, t.a, old, saved)
}

// labelOwners are the covers that have the rows' labels already.
func (t *tableImport) labelOwners(ctx context.Context, rows []coverRow) (map[string]models.ID, error) {
	var labels []string
	for _, c := range rows {
		if c.label != "" {
			labels = append(labels, c.label)
		}
	}
	return t.tx.LabelOwners(ctx, labels)
}

// coverAfter is the cover as it is after a row: what it was, with what the row says.
func (t *tableImport) coverAfter(c coverRow, old models.CoverSheet, owners map[string]models.ID) models.CoverSheet {
	s := old
	if c.new {
		s.Cover = models.Cover{ID: c.id, State: models.InPlace}
		s.Component = models.Component{ID: t.r.newID()}
		s.Cover.Component = s.Component.ID
	}
	s.Building, s.Room, s.Component.Room = c.p.Building, c.room, c.room.ID
	if loop := t.loop(c.row, c.p); loop.ID != models.None {
		s.Loop, s.Component.Loop = loop, loop.ID
	}
	c.readComponent(&s.Component)
	c.readCover(&s.Cover)
	t.checkLabel(c, s, owners)
	t.r.keepState(&s, old.Cover)
	if len(c.faults) == 0 {
		c.invalid(s.Validate())
	}
	return s
}

// checkLabel refuses a label that another cover has, on record or in the file.
func (t *tableImport) checkLabel(c coverRow, s models.CoverSheet, owners map[string]models.ID) {
	if c.label == "" {
		return
	}
	key := strings.ToLower(c.label)
	if owner, ok := owners[key]; ok && owner != s.Cover.ID {
		c.fault("label", "is on another cover already; every label is printed once")
		return
	}
	if line := t.places.taken("label", key, c.cells.Line); line > 0 {
		c.fault("label", "stands on line %d already; every label is printed once", line)
	}
}

func (x *row) readComponent(c *models.Component) {
	x.text("tag", &c.Tag)
	x.word("kind", models.ComponentKinds, &c.Kind)
	x.nominal("nps", &c.NPS)
	x.word("material", models.Materials, &c.Material)
	x.word("connection", models.Connections, &c.Connection)
	x.word("side", models.Sides, &c.Side)
	x.quantity("service", tempKind, "degC", &c.ServiceC)
	x.quantity("pressure", unit.Pressure, "bar", &c.PressureBar)
	x.quantity("nominal_wall", unit.Thickness, "mm", &c.NominalWallMM)
	x.text("schedule", &c.Schedule)
	x.whole("class", &c.Class)
	x.text("where", &c.Where)
	x.quantity("height", unit.Length, "m", &c.Height)
	x.word("access", models.Accesses, &c.Access)
	x.whole("people", &c.People)
	x.text("permit", &c.Permit)
	x.word("flow", models.Flows, &c.Flow)
	x.whole("order", &c.Order)
	x.word("below", models.Belows, &c.Below)
	x.word("spare", models.Spares, &c.Spare)
	x.word("without", models.Withouts, &c.Without)
	x.yes("pools", &c.Pools)
}

func (x *row) readCover(c *models.Cover) {
	state := string(c.State)
	x.text("label", &c.Label)
	x.word("state", models.CoverStates, &state)
	c.State = models.CoverState(state)
	x.word("insulation", models.Insulations, &c.Insulation)
	x.quantity("thickness", unit.Thickness, "mm", &c.ThicknessMM)
	x.quantity("conductivity", unit.Conductivity, "W/(m K)", &c.Conductivity)
	x.text("facing", &c.Facing)
	x.quantity("permeance", unit.Permeance, "perm", &c.PermeancePerm)
	x.word("closure", models.Closures, &c.Closure)
	x.wholeOrNil("penetrations", &c.Penetrations)
	x.number("seam_clock", &c.SeamClock)
	x.yes("sight_port", &c.SightPort)
	x.text("inhibitor", &c.Inhibitor)
	x.text("pattern", &c.Pattern)
	x.day("fitted", &c.Fitted)
	x.day("coated_on", &c.CoatedOn)
	x.word("coat_quality", models.CoatClasses, &c.CoatQuality)
	x.text("note", &c.Note)
}
