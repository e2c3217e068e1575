package register

import (
	"context"
	"errors"

	"drylag/models"
	"drylag/models/store"
)

// RecordLook stores a look from outside. It never moves the opening clock.
func (r *Register) RecordLook(ctx context.Context, a models.Actor, l models.Look) (Receipt, error) {
	return r.recordLook(ctx, a, l, released{})
}

func (r *Register) recordLook(ctx context.Context, a models.Actor, l models.Look, h released) (Receipt, error) {
	if err := a.May(models.ActRecord); err != nil {
		return Receipt{}, err
	}
	if err := checkID(l.ID); err != nil {
		return Receipt{}, err
	}
	var rc Receipt
	var s models.CoverSheet
	err := r.store.Write(ctx, func(tx *store.Tx) (err error) {
		if s, err = cover(ctx, tx.Reader, a, l.Cover); err != nil {
			return err
		}
		l.Building, l.EnteredAt, l.Recorder = s.Building.ID, r.Now(), a.ID
		have, err := found(tx.Look(ctx, l.ID))
		if err != nil {
			return err
		}
		if have != nil {
			rc.Again, err = tx.AddLook(ctx, l)
			return errors.Join(err, h.note(tx))
		}
		if err := faultsOf(checkThere(h.of(s).Cover), l.Validate(r.Today(s.Building))); err != nil {
			return err
		}
		t := act{r: r, tx: tx, actor: a, sheet: s, id: l.ID, from: l.ID, on: l.On}
		if rc, err = t.storeLook(ctx, l); err != nil {
			return err
		}
		return h.note(tx)
	})
	if err != nil {
		return Receipt{}, err
	}
	if rc.Again {
		stored, err := r.store.Look(ctx, l.ID)
		if err != nil {
			return Receipt{}, err
		}
		return r.replayed(ctx, l.ID, l.ID, s, stored.EnteredAt)
	}
	return r.finish(ctx, rc, "look"), nil
}

// Look is one look.
func (r *Register) Look(ctx context.Context, a models.Actor, id models.ID) (models.Look, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.Look{}, err
	}
	l, err := r.store.Look(ctx, id)
	if err != nil || !a.Sees(l.Building) {
		return models.Look{}, orMissing(err, "look")
	}
	return l, nil
}

// checkThere refuses records on a cover that is no longer there.
func checkThere(c models.Cover) error {
	if c.State == models.Replaced || c.State == models.Retired {
		return fault("cover", "This cover is %s: record it on the cover that is there now.", models.CoverStates.Say(string(c.State)))
	}
	return nil
}

// storeLook stores a look with all that follows from it.
func (t act) storeLook(ctx context.Context, l models.Look) (Receipt, error) {
	rc := Receipt{ID: l.ID, Cover: l.Cover}
	before, err := found(t.tx.Score(ctx, l.Cover))
	if err != nil {
		return rc, err
	}
	if before != nil {
		rc.Before = changeOf(*before, "")
	}
	if _, err := t.tx.AddLook(ctx, l); err != nil {
		return rc, err
	}
	if rc.State, err = t.settleState(ctx, t.sheet.Cover); err != nil {
		return rc, err
	}
	rc.Asked, rc.Closed, err = t.settleFollowUps(ctx, lookAsks(l), func(kind string) (string, bool) { return lookAnswers(l, kind) }, nil)
	if err != nil {
		return rc, err
	}
	return rc, t.log(ctx, "look recorded", "look", lookHash(l), rc)
}
