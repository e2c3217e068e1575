package register

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// Receipt tells what a record did. The record is stored when a Receipt comes
// back, whatever became of the score.
type Receipt struct {
	ID      models.ID // of the version stored
	Cover   models.ID
	Again   bool                // the same record had been stored before
	Pending bool                // the score could not be worked out: "score pending"
	Held    bool                // kept aside until an engineer decides: see SendOpening
	Before  *models.ScoreChange // the score before, nil: none
	After   *models.ScoreChange // the score after, nil while pending
	State   models.CoverState   // of the cover after the record

	Asked  []models.FollowUp // follow-ups this record opened
	Closed []models.FollowUp // follow-ups this record closed
}

var uuidForm = regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)

// checkID refuses a record whose ID was not made as a UUID.
func checkID(id models.ID) error {
	if !uuidForm.MatchString(string(id)) {
		return fault("id", "A record needs its own ID, a UUID in lower case.")
	}
	return nil
}

// act is one record being stored: by whom, about which cover, in which
// transaction.
type act struct {
	r     *Register
	tx    *store.Tx
	actor models.Actor
	sheet models.CoverSheet
	id    models.ID // of the record
	from  models.ID // what its follow-ups name: an opening's first version
	on    models.Date
}

// settleState reads the cover's state afresh from all its records.
func (t act) settleState(ctx context.Context, c models.Cover) (models.CoverState, error) {
	openings, err := t.tx.Openings(ctx, c.ID)
	if err != nil {
		return "", err
	}
	looks, err := t.tx.Looks(ctx, c.ID)
	if err != nil {
		return "", err
	}
	l := lifeOf(c, openings, looks)
	if l.state == t.sheet.Cover.State && l.offSince == t.sheet.Cover.OffSince {
		return l.state, nil
	}
	return l.state, t.tx.SetCoverState(ctx, c.ID, l.state, l.offSince)
}

// settleFollowUps closes what the record answers and opens what it asks for.
func (t act) settleFollowUps(ctx context.Context, asks []ask, answers func(string) (string, bool), skip map[models.ID]bool) (asked, closed []models.FollowUp, err error) {
	open, err := t.tx.FollowUps(ctx, store.FollowUpFilter{Cover: t.sheet.Cover.ID, OpenOnly: true})
	if err != nil {
		return nil, nil, err
	}
	open = without(open, skip)
	closed, _, wanted := settle(open, t.on, dayIn(t.sheet.Building), asks, answers)
	for i, f := range closed {
		if closed[i], err = t.close(ctx, f, f.ClosedWhy); err != nil {
			return nil, nil, err
		}
	}
	for _, w := range wanted {
		f := models.FollowUp{ID: t.r.newID(), Cover: t.sheet.Cover.ID, Building: t.sheet.Building.ID, Kind: w.kind,
			Why: w.why, From: t.from, By: w.by, OpenedAt: t.r.Now(), Opener: t.actor.ID}
		if err := t.tx.AddFollowUp(ctx, f); err != nil {
			return nil, nil, err
		}
		asked = append(asked, f)
	}
	return asked, closed, nil
}

// close closes a follow-up by this record.
func (t act) close(ctx context.Context, f models.FollowUp, why string) (models.FollowUp, error) {
	f.ClosedBy, f.ClosedAt, f.ClosedWhy = t.id, t.r.Now(), why
	return f, t.tx.CloseFollowUp(ctx, f.ID, f.ClosedBy, f.ClosedAt, f.ClosedWhy)
}

func without(list []models.FollowUp, skip map[models.ID]bool) []models.FollowUp {
	var out []models.FollowUp
	for _, f := range list {
		if !skip[f.ID] {
			out = append(out, f)
		}
	}
	return out
}

// log notes the record in the event log. Its content is held there by its hash,
// so that a change of the stored row shows.
func (t act) log(ctx context.Context, what, subject string, content string, rc Receipt) error {
	detail := map[string]any{"cover": t.sheet.Cover.ID, "on": t.on, "state": rc.State, "content": content}
	if len(rc.Asked) > 0 {
		detail["asked"] = kindsOf(rc.Asked)
	}
	if len(rc.Closed) > 0 {
		detail["closed"] = kindsOf(rc.Closed)
	}
	return t.tx.AppendEvent(ctx, t.r.event(t.actor, what, subject, t.id, t.sheet.Building.ID, detail))
}

func kindsOf(list []models.FollowUp) []string {
	out := make([]string, len(list))
	for i, f := range list {
		out[i] = f.Kind
	}
	return out
}

// openingHash is the SHA-256 of everything an opening says.
func openingHash(o models.Opening) string {
	if len(o.Places) == 0 {
		o.Places = nil
	}
	if len(o.Readings) == 0 {
		o.Readings = nil
	}
	return hashOf(o)
}

// lookHash is the SHA-256 of everything a look says.
func lookHash(l models.Look) string {
	if len(l.Places) == 0 {
		l.Places = nil
	}
	return hashOf(l)
}

func hashOf(record any) string {
	sum := sha256.Sum256([]byte(jsonOf(record)))
	return hex.EncodeToString(sum[:])
}

// finish works the score out after the record is stored, and puts what changed
// into the receipt. Whatever goes wrong here, the record stands.
func (r *Register) finish(ctx context.Context, rc Receipt, cause string) Receipt {
	score, err := r.Score(ctx, rc.Cover, cause)
	if err != nil {
		r.log.ErrorContext(ctx, "score failed", "cover", rc.Cover, "cause", cause, "err", err)
		rc.Pending = true
		return rc
	}
	rc.After = changeOf(score, cause)
	return rc
}

// rescoreQuietly works scores out after an edit that is stored; what fails is
// logged and stays pending.
func (r *Register) rescoreQuietly(ctx context.Context, cause string, covers ...models.ID) {
	for _, id := range covers {
		r.finish(ctx, Receipt{Cover: id}, cause)
	}
}

// changeOf is a score as one step of the history of scores.
func changeOf(s models.Score, cause string) *models.ScoreChange {
	return &models.ScoreChange{At: s.At, Risk: s.Risk, PWet: s.PWet.Mid, DueOn: s.Due.On, Action: s.Action,
		Rule: s.Due.Rule, Cause: cause, Method: s.Method, Fit: s.Fit}
}

// replayed is the receipt of a record that had been stored before, put together
// from what the record holds.
func (r *Register) replayed(ctx context.Context, id, from models.ID, s models.CoverSheet, entered time.Time) (Receipt, error) {
	rc := Receipt{ID: id, Cover: s.Cover.ID, Again: true, State: s.Cover.State}
	changes, err := r.store.ScoreChanges(ctx, s.Cover.ID)
	if err != nil {
		return rc, err
	}
	for _, c := range changes {
		if c.At.Before(entered) && (rc.Before == nil || !c.At.Before(rc.Before.At)) {
			rc.Before = &c
		}
		if !c.At.Before(entered) && (rc.After == nil || c.At.Before(rc.After.At)) {
			rc.After = &c
		}
	}
	if rc.After == nil {
		if rc.Pending, err = r.store.Stale(ctx, s.Cover.ID); err != nil {
			return rc, err
		}
		if !rc.Pending {
			rc.After = rc.Before
		}
	}
	list, err := r.store.FollowUps(ctx, followUpsOf(s.Cover.ID))
	for _, f := range list {
		if f.From == from && f.OpenedAt.Equal(entered) {
			rc.Asked = append(rc.Asked, f)
		}
		if f.ClosedBy == id {
			rc.Closed = append(rc.Closed, f)
		}
	}
	return rc, err
}

func followUpsOf(cover models.ID) store.FollowUpFilter { return store.FollowUpFilter{Cover: cover} }
