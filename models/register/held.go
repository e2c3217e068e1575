package register

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// The acts of a record that is kept aside, as the log names them.
const (
	actHeld     = "record held"
	actReleased = "held record released"
	actRejected = "held record rejected"
)

// heldMost is how many records of one person may wait at once, heldBytes how
// large one may be.
const (
	heldMost  = 500
	heldBytes = 64 << 10
)

// HeldRecord is an opening or a look that waits for an engineer: its sender may
// no longer record there, or its cover is no longer there. What was seen in the
// field cannot be seen again, so nothing that is sent is dropped.
type HeldRecord struct {
	ID      models.ID // of the record
	At      time.Time
	Sender  models.ID
	Name    string // of the sender
	Why     string
	Sheet   *models.CoverSheet // nil: there is no such cover
	Opening *models.Opening    // one of the two
	Look    *models.Look
	Air     *models.RoomReading
}

// heldBody is what the log keeps of a held record.
type heldBody struct {
	Why     string              `json:"why"`
	Opening *models.Opening     `json:"opening,omitempty"`
	Look    *models.Look        `json:"look,omitempty"`
	Air     *models.RoomReading `json:"air,omitempty"`
}

func (b heldBody) cover() models.ID {
	if b.Opening != nil {
		return b.Opening.Cover
	}
	return b.Look.Cover
}

// SendOpening is RecordOpening for a record that comes from a phone's queue,
// perhaps long after the work: where its author has lost access meanwhile, or
// the cover was replaced or retired, the record is held for an engineer, and the
// receipt says so. Whether such a cover exists cannot be told from the answer.
func (r *Register) SendOpening(ctx context.Context, a models.Actor, o models.Opening, air *models.RoomReading) (Receipt, error) {
	rc, err := r.RecordOpening(ctx, a, o, air)
	if !holdable(a, err) {
		return rc, err
	}
	return r.hold(ctx, a, o.ID, heldBody{Opening: &o, Air: air})
}

// SendLook is RecordLook for a record that comes from a phone's queue; see
// SendOpening.
func (r *Register) SendLook(ctx context.Context, a models.Actor, l models.Look) (Receipt, error) {
	rc, err := r.RecordLook(ctx, a, l)
	if !holdable(a, err) {
		return rc, err
	}
	return r.hold(ctx, a, l.ID, heldBody{Look: &l})
}

// holdable tells whether a record was refused for no fault of its own.
func holdable(a models.Actor, err error) bool {
	if a.ID == models.None {
		return false
	}
	switch models.KindOf(err) {
	case models.Missing, models.Denied:
		return err != nil
	case models.Invalid:
		for _, f := range faultList(err) {
			if f.Field != "cover" {
				return false
			}
		}
		return len(faultList(err)) > 0
	}
	return false
}

// hold keeps a record aside as an event; the same again changes nothing.
func (r *Register) hold(ctx context.Context, a models.Actor, id models.ID, b heldBody) (Receipt, error) {
	rc := Receipt{ID: id, Cover: b.cover(), Held: true}
	if err := checkID(id); err != nil {
		return Receipt{}, err
	}
	err := r.store.Write(ctx, func(tx *store.Tx) (err error) {
		var in models.ID
		if b.Why, in, err = whyHeld(ctx, tx, a, b.cover()); err != nil {
			return err
		}
		before, err := heldOnce(ctx, tx, id)
		if err != nil {
			return err
		}
		if before != nil {
			rc.Again = true
			return sameBody(*before, b)
		}
		if err := roomFor(ctx, tx, a, b); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, actHeld, "held record", id, in, b))
	})
	r.waiting.forget()
	if err != nil {
		return Receipt{}, err
	}
	return rc, nil
}

// whyHeld says in words why a record is held, and in which building its cover is.
func whyHeld(ctx context.Context, tx *store.Tx, a models.Actor, id models.ID) (string, models.ID, error) {
	s, err := found(tx.Sheet(ctx, id))
	switch {
	case err != nil:
		return "", models.None, err
	case s == nil:
		return "there is no such cover", models.None, nil
	case !a.Sees(s.Building.ID):
		return "the sender has no access to the building", s.Building.ID, nil
	case a.May(models.ActRecord) != nil:
		return "the sender's role does not record", s.Building.ID, nil
	}
	return "the cover is " + models.CoverStates.Say(string(s.Cover.State)), s.Building.ID, nil
}

// heldOnce is a record as it was held before, settled or not; nil if it was not.
func heldOnce(ctx context.Context, tx *store.Tx, id models.ID) (*heldBody, error) {
	list, err := tx.Events(ctx, store.EventFilter{Of: id})
	if err != nil {
		return nil, err
	}
	for _, e := range list {
		if e.Act == actHeld {
			var b heldBody
			return &b, json.Unmarshal([]byte(e.Detail), &b)
		}
	}
	return nil, nil
}

// sameBody refuses other content under an ID that is held already.
func sameBody(before, now heldBody) error {
	before.Why, now.Why = "", ""
	if jsonOf(before) != jsonOf(now) {
		return models.Errorf(models.Invalid, "A record with this ID was sent before with other content.")
	}
	return nil
}

// roomFor refuses a flood of records that cannot be placed.
func roomFor(ctx context.Context, tx *store.Tx, a models.Actor, b heldBody) error {
	if len(jsonOf(b)) > heldBytes {
		return models.Errorf(models.Invalid, "The record is too long to be kept aside.")
	}
	waiting, err := tx.Unanswered(ctx, nil, actHeld, []string{actReleased, actRejected})
	if err != nil {
		return err
	}
	n := 0
	for _, e := range waiting {
		if e.Actor == a.ID {
			n++
		}
	}
	if n >= heldMost {
		return models.Errorf(models.TooMany, "%d of your records wait for an engineer already: ask him to look at them.", n)
	}
	return nil
}

// Held lists the records that wait in the actor's buildings, oldest first; those
// of no cover at all are for who sees all buildings.
func (r *Register) Held(ctx context.Context, a models.Actor) ([]HeldRecord, error) {
	if err := a.May(models.ActRegister); err != nil {
		return nil, err
	}
	events, err := r.store.Unanswered(ctx, scopeOf(a), actHeld, []string{actReleased, actRejected})
	if err != nil {
		return nil, err
	}
	names, err := r.names(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]HeldRecord, len(events))
	for i, e := range events {
		if out[i], err = r.heldRecord(ctx, e, names); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (r *Register) heldRecord(ctx context.Context, e models.Event, names map[models.ID]string) (HeldRecord, error) {
	var b heldBody
	if err := json.Unmarshal([]byte(e.Detail), &b); err != nil {
		return HeldRecord{}, err
	}
	s, err := found(r.store.Sheet(ctx, b.cover()))
	return HeldRecord{ID: e.Of, At: e.At, Sender: e.Actor, Name: names[e.Actor], Why: b.Why, Sheet: s,
		Opening: b.Opening, Look: b.Look, Air: b.Air}, err
}

// HeldRecordOf is one record that waits, Missing if it does not wait in the actor's
// buildings.
func (r *Register) HeldRecordOf(ctx context.Context, a models.Actor, id models.ID) (HeldRecord, error) {
	list, err := r.Held(ctx, a)
	if err != nil {
		return HeldRecord{}, err
	}
	for _, h := range list {
		if h.ID == id {
			return h, nil
		}
	}
	return HeldRecord{}, missing("held record")
}

// ReleaseHeld takes a held record into the history of its cover, under the name
// of who sent it; the log says who released it. A record of no cover cannot be.
func (r *Register) ReleaseHeld(ctx context.Context, a models.Actor, id models.ID) (Receipt, error) {
	h, err := r.HeldRecordOf(ctx, a, id)
	if err != nil {
		return Receipt{}, err
	}
	if h.Sheet == nil {
		return Receipt{}, models.Errorf(models.Invalid, "There is no such cover: write the record down on the right one, then reject this.")
	}
	sender := a
	sender.ID = h.Sender
	how := released{held: true, log: func(tx *store.Tx) error { return r.settleHeld(ctx, tx, a, h, actReleased, "") }}
	defer r.waiting.forget()
	if h.Look != nil {
		return r.recordLook(ctx, sender, *h.Look, how)
	}
	return r.recordOpening(ctx, sender, *h.Opening, h.Air, how)
}

// RejectHeld puts a held record aside for good, with a reason. It stays in the log.
func (r *Register) RejectHeld(ctx context.Context, a models.Actor, id models.ID, why string) error {
	h, err := r.HeldRecordOf(ctx, a, id)
	if err != nil {
		return err
	}
	if why = strings.TrimSpace(why); why == "" || len(why) > 400 {
		return fault("why", "Say in at most 400 characters why it is not taken.")
	}
	defer r.waiting.forget()
	return r.store.Write(ctx, func(tx *store.Tx) error { return r.settleHeld(ctx, tx, a, h, actRejected, why) })
}

var errSettled = errors.New("settled meanwhile")

// settleHeld logs what became of a held record, once.
func (r *Register) settleHeld(ctx context.Context, tx *store.Tx, a models.Actor, h HeldRecord, act, why string) error {
	list, err := tx.Events(ctx, store.EventFilter{Of: h.ID})
	if err != nil {
		return err
	}
	for _, e := range list {
		if e.Act == actReleased || e.Act == actRejected {
			return &models.Error{Kind: models.Conflict, Msg: "Somebody has dealt with this record meanwhile.", Err: errSettled}
		}
	}
	in := models.None
	if h.Sheet != nil {
		in = h.Sheet.Building.ID
	}
	return tx.AppendEvent(ctx, r.event(a, act, "held record", h.ID, in, map[string]string{"why": why}))
}
