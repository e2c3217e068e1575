package register

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"slices"

	"drylag/models"
	"drylag/models/store"
)

// scopeOf is the actor's buildings as the store narrows lists: nil for all.
func scopeOf(a models.Actor) *[]models.ID {
	if a.All {
		return nil
	}
	list := slices.Clone(a.Buildings)
	if list == nil {
		list = []models.ID{}
	}
	return &list
}

// missing is what an actor gets for a thing that is not there or not in his
// buildings: the two cannot be told apart.
func missing(noun string) error { return models.Errorf(models.Missing, "There is no such %s.", noun) }

// building reads a building in the actor's scope.
func building(ctx context.Context, rd store.Reader, a models.Actor, id models.ID) (models.Building, error) {
	if !a.Sees(id) {
		return models.Building{}, missing("building")
	}
	return rd.Building(ctx, id)
}

// room reads a room and its building in the actor's scope.
func room(ctx context.Context, rd store.Reader, a models.Actor, id models.ID) (models.Room, models.Building, error) {
	rm, err := rd.Room(ctx, id)
	if err != nil {
		return models.Room{}, models.Building{}, err
	}
	if !a.Sees(rm.Building) {
		return models.Room{}, models.Building{}, missing("room")
	}
	b, err := rd.Building(ctx, rm.Building)
	return rm, b, err
}

// cover reads a cover in the actor's scope.
func cover(ctx context.Context, rd store.Reader, a models.Actor, id models.ID) (models.CoverSheet, error) {
	s, err := rd.Sheet(ctx, id)
	if err != nil {
		return models.CoverSheet{}, err
	}
	if !a.Sees(s.Building.ID) {
		return models.CoverSheet{}, missing("cover")
	}
	return s, nil
}

// fault is one Invalid error about one field.
func fault(field, format string, args ...any) error {
	var f models.Faults
	f.Add(field, format, args...)
	return f.Err()
}

// duplicate turns the store's Conflict of a name that must be the only one into
// a fault on its field.
func duplicate(err error, field, msg string) error {
	if models.KindOf(err) != models.Conflict {
		return err
	}
	return &models.Error{Kind: models.Invalid, Msg: "1 answer needs a look.", Faults: models.Faults{{Field: field, Msg: msg}}, Err: err}
}

// known tells whether a lookup found something; Missing is no error here.
func known(err error) (bool, error) {
	switch {
	case err == nil:
		return true, nil
	case models.KindOf(err) == models.Missing:
		return false, nil
	}
	return false, err
}

// event is a line of the log on behalf of an actor.
func (r *Register) event(a models.Actor, act, subject string, of, building models.ID, detail any) models.Event {
	return models.Event{At: r.Now(), Actor: a.ID, Act: act, Subject: subject, Of: of, Building: building, Detail: jsonOf(detail)}
}

// jsonOf is a detail as canonical JSON, its keys in order; empty for nil.
func jsonOf(v any) string {
	if v == nil {
		return ""
	}
	b, err := json.Marshal(v)
	if err != nil { // only a number that is none can do this, and Validate refused it
		return `{"unreadable":true}`
	}
	return string(b)
}

// changes lists the fields in which two records of one kind differ, each with
// the value before and after.
func changes(before, after any) map[string][2]json.RawMessage {
	var b, n map[string]json.RawMessage
	out := map[string][2]json.RawMessage{}
	if json.Unmarshal([]byte(jsonOf(before)), &b) != nil || json.Unmarshal([]byte(jsonOf(after)), &n) != nil {
		return out
	}
	for _, k := range slices.Sorted(maps.Keys(n)) {
		if k != "Version" && string(b[k]) != string(n[k]) {
			out[k] = [2]json.RawMessage{b[k], n[k]}
		}
	}
	return out
}

// faultList are the faults of an Invalid error, none of any other.
func faultList(err error) []models.Fault {
	var e *models.Error
	if errors.As(err, &e) {
		return e.Faults
	}
	return nil
}
