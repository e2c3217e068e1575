package register

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"drylag/models"
	"drylag/models/metal"
	"drylag/models/risk"
	"drylag/models/store"
)

// RecordOpening stores one opening, with the room's air if it was read (air may
// be nil). o.ID is a UUID made where the record was begun. The same ID with the
// same content again gives the same receipt with Again set; with other content
// it is Invalid. Building, recorder, version and time of entry are set here.
func (r *Register) RecordOpening(ctx context.Context, a models.Actor, o models.Opening, air *models.RoomReading) (Receipt, error) {
	return r.recordOpening(ctx, a, o, air, released{})
}

// released says how a record comes in that was held: it may be of a cover that
// is no longer there, and its release is logged in the same transaction.
type released struct {
	held bool
	log  func(*store.Tx) error
}

// of is the sheet by which a record is judged.
func (h released) of(s models.CoverSheet) models.CoverSheet {
	if h.held {
		return standing(s)
	}
	return s
}

func (h released) note(tx *store.Tx) error {
	if h.log == nil {
		return nil
	}
	return h.log(tx)
}

func (r *Register) recordOpening(ctx context.Context, a models.Actor, o models.Opening, air *models.RoomReading, h released) (Receipt, error) {
	if err := a.May(models.ActRecord); err != nil {
		return Receipt{}, err
	}
	if err := checkID(o.ID); err != nil {
		return Receipt{}, err
	}
	o.Root, o.Version, o.Amends = o.ID, 1, ""
	var rc Receipt
	var s models.CoverSheet
	before := r.before(ctx)
	err := r.store.Write(ctx, func(tx *store.Tx) (err error) {
		if s, err = cover(ctx, tx.Reader, a, o.Cover); err != nil {
			return err
		}
		if rc.Again, err = stored(ctx, tx, o); rc.Again || err != nil {
			return errors.Join(err, h.note(tx))
		}
		if rc, err = r.openingAct(a, tx, s, &o).storeNew(ctx, o, air, h); err != nil {
			return err
		}
		return h.note(tx)
	})
	if err != nil {
		return Receipt{}, err
	}
	if rc.Again {
		return r.replayedOpening(ctx, o.ID, s)
	}
	r.foretell(ctx, before, o)
	return r.finish(ctx, rc, "opening"), nil
}

// storeNew stores the first version of an opening, with the room's air.
func (t act) storeNew(ctx context.Context, o models.Opening, air *models.RoomReading, h released) (Receipt, error) {
	air = t.airOf(o, air)
	if err := faultsOf(o.Validate(h.of(t.sheet), t.r.Today(t.sheet.Building)), checkAir(air)); err != nil {
		return Receipt{}, err
	}
	if air != nil {
		if _, err := t.tx.AddRoomReading(ctx, *air); err != nil {
			return Receipt{}, err
		}
	}
	return t.storeOpening(ctx, o, t.sheet.Cover, nil)
}

// stored tells whether this very opening is stored already; one with the same
// ID and other content is Invalid.
func stored(ctx context.Context, tx *store.Tx, o models.Opening) (bool, error) {
	have, err := found(tx.Opening(ctx, o.ID))
	if err != nil || have == nil {
		return false, err
	}
	o.Readings = dated(o)
	return tx.AddOpening(ctx, o, store.Derived{})
}

// found is what a lookup found, nil where there is nothing.
func found[T any](v T, err error) (*T, error) {
	have, err := known(err)
	if err != nil || !have {
		return nil, err
	}
	return &v, nil
}

// openingAct sets what the service sets on an opening.
func (r *Register) openingAct(a models.Actor, tx *store.Tx, s models.CoverSheet, o *models.Opening) act {
	o.Building, o.EnteredAt, o.Recorder = s.Building.ID, r.Now(), a.ID
	o.Readings = dated(*o)
	for i := range o.Readings {
		x := &o.Readings[i]
		x.ID, x.Cover, x.Opening, x.EnteredAt, x.Recorder = r.newID(), s.Cover.ID, o.ID, o.EnteredAt, a.ID
	}
	return act{r: r, tx: tx, actor: a, sheet: s, id: o.ID, from: o.Root, on: o.On}
}

// dated are an opening's readings with its day and the name of who did the work.
func dated(o models.Opening) []models.ThicknessReading {
	out := make([]models.ThicknessReading, len(o.Readings))
	for i, x := range o.Readings {
		x.On = o.On
		if strings.TrimSpace(x.By) == "" {
			x.By = o.OpenedBy
		}
		out[i] = x
	}
	return out
}

// airOf is the room's air that came with an opening, nil if none did.
func (t act) airOf(o models.Opening, air *models.RoomReading) *models.RoomReading {
	if air == nil {
		return nil
	}
	x := *air
	if x.ID == models.None {
		x.ID = t.r.newID()
	}
	if x.At.IsZero() {
		x.At = o.EnteredAt
	}
	if x.By == "" {
		x.By = o.OpenedBy
	}
	x.Room, x.EnteredAt, x.Recorder = t.sheet.Room.ID, o.EnteredAt, t.actor.ID
	return &x
}

func checkAir(air *models.RoomReading) error {
	if air == nil {
		return nil
	}
	return faultsOf(checkID(air.ID), air.Validate())
}

// faultsOf joins the faults of several checks into one error.
func faultsOf(errs ...error) error {
	var all models.Faults
	for _, err := range errs {
		var e *models.Error
		if errors.As(err, &e) && len(e.Faults) > 0 {
			all = append(all, e.Faults...)
		} else if err != nil {
			return err
		}
	}
	return all.Err()
}

// storeOpening stores one version of an opening with all that follows from it.
// c is the cover as its state is read from; replaced holds the follow-ups that
// an amendment takes back.
func (t act) storeOpening(ctx context.Context, o models.Opening, c models.Cover, replaced []models.FollowUp) (Receipt, error) {
	rc := Receipt{ID: o.ID, Cover: o.Cover}
	before, err := found(t.tx.Score(ctx, o.Cover))
	if err != nil {
		return rc, err
	}
	if before != nil {
		rc.Before = changeOf(*before, "")
	}
	if _, err := t.tx.AddOpening(ctx, o, derived(o)); err != nil {
		return rc, err
	}
	if rc.State, err = t.settleState(ctx, c); err != nil {
		return rc, err
	}
	skip := map[models.ID]bool{}
	for _, f := range replaced {
		skip[f.ID] = true
		if f, err = t.close(ctx, f, "no longer asked for: the opening of "+o.On.Say()+" was amended"); err != nil {
			return rc, err
		}
		rc.Closed = append(rc.Closed, f)
	}
	asked, closed, err := t.settleFollowUps(ctx, openingAsks(o), func(kind string) (string, bool) { return openingAnswers(o, kind) }, skip)
	if err != nil {
		return rc, err
	}
	rc.Asked, rc.Closed = asked, append(rc.Closed, closed...)
	what := "opening recorded"
	if o.Version > 1 {
		what = "opening amended"
	}
	return rc, t.log(ctx, what, "opening", openingHash(o), rc)
}

// derived puts the rust found on the scales that lists and charts use.
func derived(o models.Opening) store.Derived {
	var d store.Derived
	if ri, ok := risk.RiOf(o.Metal); ok {
		n := int(ri)
		d.Ri = &n
	}
	d.AreaPct = o.Metal.AreaPct
	if o.Metal.Scale == "area" || o.Metal.Scale == "iso8501" {
		return d
	}
	grade, err := strconv.Atoi(strings.TrimPrefix(o.Metal.Grade, "Ri "))
	if rust, ok := metal.RustOn(metal.RustScale(o.Metal.Scale), float64(grade)); ok && err == nil {
		d.AreaPct = &rust.HighPct // a grade says "up to"
	}
	return d
}

// Opening is the current version of an opening, by the ID of any version, with
// its cover's sheet.
func (r *Register) Opening(ctx context.Context, a models.Actor, id models.ID) (models.Opening, models.CoverSheet, error) {
	var none models.Opening
	if err := a.May(models.ActRead); err != nil {
		return none, models.CoverSheet{}, err
	}
	o, err := r.store.Opening(ctx, id)
	if err != nil || !a.Sees(o.Building) {
		return none, models.CoverSheet{}, orMissing(err, "opening")
	}
	if o, err = r.store.OpeningNow(ctx, o.Root); err != nil {
		return none, models.CoverSheet{}, err
	}
	s, err := r.store.Sheet(ctx, o.Cover)
	return o, s, err
}

// OpeningVersions are all versions of an opening, oldest first.
func (r *Register) OpeningVersions(ctx context.Context, a models.Actor, id models.ID) ([]models.Opening, error) {
	o, _, err := r.Opening(ctx, a, id)
	if err != nil {
		return nil, err
	}
	return r.store.OpeningVersions(ctx, o.Root)
}

// replayedOpening is the receipt of an opening that had been stored before.
func (r *Register) replayedOpening(ctx context.Context, id models.ID, s models.CoverSheet) (Receipt, error) {
	o, err := r.store.Opening(ctx, id)
	if err != nil {
		return Receipt{}, err
	}
	return r.replayed(ctx, o.ID, o.Root, s, o.EnteredAt)
}
