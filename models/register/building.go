package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// Building is one building.
func (r *Register) Building(ctx context.Context, a models.Actor, id models.ID) (models.Building, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.Building{}, err
	}
	return building(ctx, r.store.Reader, a, id)
}

// SaveBuilding adds a building (Version 0) or changes one: Stale if it was
// changed meanwhile. Only an actor who sees all buildings may add one.
func (r *Register) SaveBuilding(ctx context.Context, a models.Actor, b models.Building) (saved models.Building, err error) {
	if err := a.May(models.ActBuildings); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.Building(ctx, b.ID)
		isNew, err := r.isNew(a, "building", &b.ID, old.ID, b.Version, err)
		if err != nil {
			return err
		}
		if isNew && !a.All {
			return models.Errorf(models.Denied, "Only somebody who sees all buildings may add one.")
		}
		if err := b.Validate(); err != nil {
			return err
		}
		if saved, err = tx.PutBuilding(ctx, b); err != nil {
			return duplicate(err, "name", "There is already a building of this name.")
		}
		if err := tx.MarkStaleBuilding(ctx, saved.ID); err != nil {
			return err
		}
		return r.edited(ctx, tx, a, "building", saved.ID, saved.ID, old, saved, isNew)
	})
	return saved, err
}

// isNew tells whether a building, room or loop is not there yet, from the error
// of looking it up, and gives it an ID if it has none. in is its building: one
// outside the actor's scope is Missing.
func (r *Register) isNew(a models.Actor, noun string, id *models.ID, in models.ID, version int, lookup error) (bool, error) {
	have, err := known(lookup)
	switch {
	case err != nil:
		return false, err
	case have && !a.Sees(in):
		return false, missing(noun)
	case have:
		return false, needVersion(noun, version)
	}
	if *id == models.None {
		*id = r.newID()
	}
	return true, needNew(noun, version)
}

// needNew refuses a version on something that is not there yet.
func needNew(noun string, version int) error {
	if version != 0 {
		return missing(noun)
	}
	return nil
}

// needVersion refuses an edit that does not say what it changes.
func needVersion(noun string, version int) error {
	if version == 0 {
		return models.Errorf(models.NeedsVersion, "Say which version of the %s you are changing: look at it first.", noun)
	}
	return nil
}

// edited logs that something was added or changed, with what changed.
func (r *Register) edited(ctx context.Context, tx *store.Tx, a models.Actor, noun string, of, building models.ID, old, now any, isNew bool) error {
	if isNew {
		return tx.AppendEvent(ctx, r.event(a, noun+" added", noun, of, building, now))
	}
	return tx.AppendEvent(ctx, r.event(a, noun+" changed", noun, of, building, changes(old, now)))
}
