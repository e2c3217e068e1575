package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// Room is one room.
func (r *Register) Room(ctx context.Context, a models.Actor, id models.ID) (models.Room, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.Room{}, err
	}
	rm, _, err := room(ctx, r.store.Reader, a, id)
	return rm, err
}

// SaveRoom adds a room (Version 0) or changes one; it stays in its building.
func (r *Register) SaveRoom(ctx context.Context, a models.Actor, rm models.Room) (saved models.Room, err error) {
	if err := a.May(models.ActRegister); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.Room(ctx, rm.ID)
		isNew, err := r.isNew(a, "room", &rm.ID, old.Building, rm.Version, err)
		if err != nil {
			return err
		}
		if !isNew {
			rm.Building = old.Building
		}
		if _, err := building(ctx, tx.Reader, a, rm.Building); err != nil {
			return err
		}
		if err := rm.Validate(); err != nil {
			return err
		}
		if saved, err = tx.PutRoom(ctx, rm); err != nil {
			return duplicate(err, "name", "There is already a room of this name in the building.")
		}
		if err := tx.MarkStaleRoom(ctx, saved.ID); err != nil {
			return err
		}
		return r.edited(ctx, tx, a, "room", saved.ID, saved.Building, old, saved, isNew)
	})
	return saved, err
}

// Loops lists a building's piping loops by name.
func (r *Register) Loops(ctx context.Context, a models.Actor, b models.ID) ([]models.Loop, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	if !a.Sees(b) {
		return nil, missing("building")
	}
	return r.store.Loops(ctx, b)
}

// Loop is one piping loop.
func (r *Register) Loop(ctx context.Context, a models.Actor, id models.ID) (models.Loop, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.Loop{}, err
	}
	l, err := r.store.Loop(ctx, id)
	if err == nil && !a.Sees(l.Building) {
		return models.Loop{}, missing("loop")
	}
	return l, err
}

// SaveLoop adds a loop (Version 0) or changes one; it stays in its building.
func (r *Register) SaveLoop(ctx context.Context, a models.Actor, l models.Loop) (saved models.Loop, err error) {
	if err := a.May(models.ActRegister); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.Loop(ctx, l.ID)
		isNew, err := r.isNew(a, "loop", &l.ID, old.Building, l.Version, err)
		if err != nil {
			return err
		}
		if !isNew {
			l.Building = old.Building
		}
		if _, err := building(ctx, tx.Reader, a, l.Building); err != nil {
			return err
		}
		if err := l.Validate(); err != nil {
			return err
		}
		if saved, err = tx.PutLoop(ctx, l); err != nil {
			return duplicate(err, "name", "There is already a loop of this name in the building.")
		}
		if err := tx.MarkStaleLoop(ctx, saved.ID); err != nil {
			return err
		}
		return r.edited(ctx, tx, a, "loop", saved.ID, saved.Building, old, saved, isNew)
	})
	return saved, err
}
