package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// AmendOpening stores a further version of an opening; the ones before stay.
// o.ID is the new version's own UUID, o.Root the opening, o.Version the version
// that it replaces (Stale if that is not the last), o.Amends the reason.
// Inspectors amend only openings that they recorded.
func (r *Register) AmendOpening(ctx context.Context, a models.Actor, o models.Opening) (Receipt, error) {
	if err := a.May(models.ActAmend); err != nil {
		return Receipt{}, err
	}
	if err := checkID(o.ID); err != nil {
		return Receipt{}, err
	}
	if o.Version == 0 {
		return Receipt{}, needVersion("opening", 0)
	}
	o.Version++
	var rc Receipt
	var s models.CoverSheet
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		last, err := r.amendable(ctx, tx, a, o.Root)
		if err != nil {
			return err
		}
		if s, err = tx.Sheet(ctx, last.Cover); err != nil {
			return err
		}
		o.Cover = last.Cover
		if rc.Again, err = stored(ctx, tx, o); rc.Again || err != nil {
			return err
		}
		t := r.openingAct(a, tx, s, &o)
		if err := o.Validate(standing(s), r.Today(s.Building)); err != nil {
			return err
		}
		gone, err := t.takenBack(ctx, o)
		if err != nil {
			return err
		}
		rc, err = t.storeOpening(ctx, o, coverBefore(s.Cover, last), gone)
		return err
	})
	if err != nil {
		return Receipt{}, err
	}
	if rc.Again {
		return r.replayedOpening(ctx, o.ID, s)
	}
	return r.finish(ctx, rc, "amendment"), nil
}

// amendable is the last version of an opening that the actor may amend.
func (r *Register) amendable(ctx context.Context, tx *store.Tx, a models.Actor, root models.ID) (models.Opening, error) {
	first, err := tx.Opening(ctx, root)
	if err != nil || !a.Sees(first.Building) || first.Version != 1 {
		return models.Opening{}, orMissing(err, "opening")
	}
	if a.Role == models.Inspector && first.Recorder != a.ID {
		return models.Opening{}, models.Errorf(models.Denied, "Somebody else recorded this opening: an engineer can amend it.")
	}
	return tx.OpeningNow(ctx, root)
}

// standing is the sheet of a cover as if it were there still: what was found
// under a cover since replaced may be corrected.
func standing(s models.CoverSheet) models.CoverSheet {
	if s.Cover.State == models.Replaced || s.Cover.State == models.Retired {
		s.Cover.State = models.InPlace
	}
	return s
}

// coverBefore is the cover without what the version to be replaced said of its
// being off.
func coverBefore(c models.Cover, replaced models.Opening) models.Cover {
	if c.State == models.Off && replaced.LeftOff() && c.OffSince == replaced.On {
		c.State, c.OffSince = models.InPlace, ""
	}
	return c
}

// takenBack are the open follow-ups of an opening that its amended version does
// not ask for.
func (t act) takenBack(ctx context.Context, o models.Opening) ([]models.FollowUp, error) {
	open, err := t.tx.FollowUps(ctx, store.FollowUpFilter{Cover: o.Cover, OpenOnly: true})
	if err != nil {
		return nil, err
	}
	asks := map[string]bool{}
	for _, a := range openingAsks(o) {
		asks[a.kind] = true
	}
	var gone []models.FollowUp
	for _, f := range open {
		if f.From == o.Root && !asks[f.Kind] {
			gone = append(gone, f)
		}
	}
	return gone, nil
}
