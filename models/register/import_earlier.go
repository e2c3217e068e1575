package register

import (
	"context"
	"errors"
	"strings"

	"drylag/models"
	"drylag/models/sheet"
	"drylag/models/store"
)

// whichCover are the fields by which a table names a cover that is there.
var whichCover = []sheet.Field{
	{Name: "tag", Title: "Tag", Synonyms: []string{"equipment tag", "component tag", "tag number", "component", "valve tag", "cover"}},
	{Name: "label", Title: "Label", Synonyms: []string{"cover label", "cover number", "cover no"}},
	{Name: "building", Title: "Building", Synonyms: []string{"house", "building name"}},
	{Name: "room", Title: "Room", Synonyms: []string{"plant room", "mechanical room", "room name"}},
}

// earlierTable are openings from before drylag: a day, an answer, a note.
var earlierTable = tableKind{cause: "import", record: "earlier records", taker: takeEarlier, days: []string{"date"}, fields: append([]sheet.Field{
	{Name: "date", Title: "Date", Synonyms: []string{"day", "opened on", "date opened", "inspection date"}, Required: true},
	{Name: "answer", Title: "Answer", Synonyms: []string{"found", "wet or dry", "wet/dry", "condition", "moisture", "result"}, Required: true},
	{Name: "dried", Title: "Dried", Synonyms: []string{"dried before closing"}},
	{Name: "note", Title: "Note", Synonyms: []string{"notes", "remarks", "comment", "comments"}},
}, whichCover...)}

// takeEarlier takes rows of earlier records. One cover has one record a day: the
// same again changes nothing, another answer is refused.
func takeEarlier(t *tableImport) func(context.Context, []*row) error {
	seen := map[models.ID][]models.EarlierRecord{}
	return func(ctx context.Context, rows []*row) error {
		keys, err := t.coversOf(ctx, rows)
		if err != nil {
			return err
		}
		if err := loadOnce(ctx, seen, keys, t.tx.EarlierOf); err != nil {
			return err
		}
		for i, x := range rows {
			e := models.EarlierRecord{ID: t.r.newID(), Cover: keys[i].ID}
			x.readEarlier(&e, t)
			if len(x.faults) > 0 {
				continue
			}
			if have := sameDay(seen[e.Cover], e.On); have != nil {
				if have.Answer != e.Answer || have.Dried != e.Dried || have.Note != e.Note {
					x.fault("date", "has another record of this cover already (%s); what is recorded stays", models.Answers.Say(have.Answer))
				}
				continue
			}
			if _, err := t.tx.AddEarlier(ctx, e); err != nil {
				return err
			}
			seen[e.Cover] = append(seen[e.Cover], e)
			x.became = isNew
		}
		return nil
	}
}

func (x *row) readEarlier(e *models.EarlierRecord, t *tableImport) {
	if x.need("date", "the day on which it was opened") {
		x.day("date", &e.On)
	}
	if e.On > t.r.Today(models.Building{}) {
		x.fault("date", "lies in the future")
	}
	if e.Answer = "unknown"; x.given("answer") {
		x.word("answer", models.Answers, &e.Answer)
	}
	x.yes("dried", &e.Dried)
	if x.text("note", &e.Note); len(e.Note) > 4000 {
		x.fault("note", "is too long; 4000 characters are the most")
	}
}

func sameDay(list []models.EarlierRecord, on models.Date) *models.EarlierRecord {
	for i := range list {
		if list[i].On == on {
			return &list[i]
		}
	}
	return nil
}

// loadOnce adds what is on record for covers that have not been asked for yet.
func loadOnce[T any](ctx context.Context, seen map[models.ID][]T, keys []store.CoverKey, load func(context.Context, []models.ID) (map[models.ID][]T, error)) error {
	var ids []models.ID
	for _, k := range keys {
		if _, ok := seen[k.ID]; !ok && k.ID != models.None {
			ids = append(ids, k.ID)
			seen[k.ID] = nil
		}
	}
	if len(ids) == 0 {
		return nil
	}
	list, err := load(ctx, ids)
	for id, records := range list {
		seen[id] = records
	}
	return err
}

// coversOf finds the covers that rows name, in the order of the rows; what is
// not found is noted there and empty here.
func (t *tableImport) coversOf(ctx context.Context, rows []*row) ([]store.CoverKey, error) {
	keys := make([]store.CoverKey, len(rows))
	for i, x := range rows {
		if len(x.faults) > 0 {
			continue
		}
		var err error
		if keys[i], err = t.coverNamed(ctx, x); err != nil {
			return nil, err
		}
	}
	return keys, nil
}

// coverNamed finds one cover by label, or by tag within building and room where
// they are given.
func (t *tableImport) coverNamed(ctx context.Context, x *row) (k store.CoverKey, err error) {
	if !x.given("tag") && !x.given("label") {
		x.fault("tag", "is empty; give the tag or the label of the cover")
		return k, nil
	}
	where, err := t.searched(ctx, x)
	if err != nil || len(x.faults) > 0 {
		return k, err
	}
	var found []store.CoverKey
	for _, p := range where {
		if err := errors.Join(t.load(ctx, p), t.loadCovers(ctx, p, models.None)); err != nil {
			return k, err
		}
		found = append(found, p.named(x)...)
	}
	field := "tag"
	if x.given("label") {
		field = "label"
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		x.fault(field, "is on no cover in your buildings; bring the register in first, or write it as it stands there")
	default:
		x.fault(field, "is on %d covers; give the building, the room or the label too", len(found))
	}
	return k, nil
}

// searched are the buildings in which a row's cover is looked for.
func (t *tableImport) searched(ctx context.Context, x *row) ([]*place, error) {
	if x.given("building") || t.req.Building != models.None {
		p, err := t.building(ctx, x, false)
		if err != nil || p == nil {
			return nil, err
		}
		return []*place{p}, nil
	}
	err := t.loadBuildings(ctx)
	return t.places.all, err
}

// named are the covers of a building that a row may mean.
func (p *place) named(x *row) []store.CoverKey {
	var out []store.CoverKey
	for roomID, tags := range p.covers {
		if x.given("room") && p.rooms[nameKey(x.cell("room"))].ID != roomID {
			continue
		}
		for tag, keys := range tags {
			if x.given("tag") && tag != strings.ToLower(x.cell("tag")) {
				continue
			}
			for _, k := range keys {
				if !x.given("label") || strings.EqualFold(k.Label, x.cell("label")) {
					out = append(out, k)
				}
			}
		}
	}
	return out
}
