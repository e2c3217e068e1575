package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// Covers is one page of the covers that match the filter, within the actor's
// buildings.
func (r *Register) Covers(ctx context.Context, a models.Actor, f models.CoverFilter) (models.CoverPage, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.CoverPage{}, err
	}
	if err := r.seesFilter(ctx, a, f.Building, f.Room, f.Loop); err != nil {
		return models.CoverPage{}, err
	}
	f.Scope = scopeOf(a)
	return r.store.Covers(ctx, f)
}

// seesFilter refuses a filter by a building, room or loop out of scope.
func (r *Register) seesFilter(ctx context.Context, a models.Actor, b, rm, loop models.ID) error {
	if b != models.None {
		if _, err := building(ctx, r.store.Reader, a, b); err != nil {
			return err
		}
	}
	if rm != models.None {
		if _, _, err := room(ctx, r.store.Reader, a, rm); err != nil {
			return err
		}
	}
	if loop != models.None {
		if l, err := r.store.Loop(ctx, loop); err != nil || !a.Sees(l.Building) {
			return orMissing(err, "loop")
		}
	}
	return nil
}

// orMissing is the error, or that the thing is out of scope.
func orMissing(err error, noun string) error {
	if err != nil {
		return err
	}
	return missing(noun)
}

// Cover is one cover with the component, room, loop and building it stands on.
func (r *Register) Cover(ctx context.Context, a models.Actor, id models.ID) (models.CoverSheet, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.CoverSheet{}, err
	}
	return cover(ctx, r.store.Reader, a, id)
}

// CoverByLabel finds a cover by the code printed on it.
func (r *Register) CoverByLabel(ctx context.Context, a models.Actor, label string) (models.CoverSheet, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.CoverSheet{}, err
	}
	s, err := r.store.SheetByLabel(ctx, label)
	if err != nil || !a.Sees(s.Building.ID) {
		return models.CoverSheet{}, orMissing(err, "cover")
	}
	return s, nil
}

// SaveCover adds a cover with its component (Cover.Version 0) or changes them.
// The building and room must be in the actor's scope, the loop in that building.
// Whether a cover that is there is in place or off changes only by records; it
// may be set to planned, replaced or retired, and from those to in place or off.
func (r *Register) SaveCover(ctx context.Context, a models.Actor, s models.CoverSheet) (saved models.CoverSheet, err error) {
	if err := a.May(models.ActRegister); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.Sheet(ctx, s.Cover.ID)
		if _, err = r.isNew(a, "cover", &s.Cover.ID, old.Building.ID, s.Cover.Version, err); err != nil {
			return err
		}
		if err := r.standOn(ctx, tx, a, &s, old); err != nil {
			return err
		}
		r.keepState(&s, old.Cover)
		if err := s.Validate(); err != nil {
			return err
		}
		if saved, err = tx.PutSheet(ctx, s); err != nil {
			return duplicate(err, "label", "This label is on another cover already.")
		}
		return r.coverEdited(ctx, tx, a, old, saved)
	})
	if err == nil {
		r.rescoreQuietly(ctx, "edit", saved.Cover.ID)
	}
	return saved, err
}

// coverEdited logs a cover that was added or changed.
func (r *Register) coverEdited(ctx context.Context, tx *store.Tx, a models.Actor, old, now models.CoverSheet) error {
	if old.Cover.ID == models.None {
		return tx.AppendEvent(ctx, r.event(a, "cover added", "cover", now.Cover.ID, now.Building.ID,
			map[string]any{"component": now.Component, "cover": now.Cover}))
	}
	return tx.AppendEvent(ctx, r.event(a, "cover changed", "cover", now.Cover.ID, now.Building.ID,
		map[string]any{"component": changes(old.Component, now.Component), "cover": changes(old.Cover, now.Cover)}))
}

// standOn finds the room, loop and building a cover's component stands in, all
// in the actor's scope, and keeps the component it had.
func (r *Register) standOn(ctx context.Context, tx *store.Tx, a models.Actor, s *models.CoverSheet, old models.CoverSheet) error {
	rm, b, err := room(ctx, tx.Reader, a, s.Component.Room)
	if err != nil && (s.Component.Room != models.None || models.KindOf(err) != models.Missing) {
		return err
	}
	s.Room, s.Building, s.Loop = rm, b, models.Loop{}
	if s.Component.Loop != models.None {
		l, err := tx.Loop(ctx, s.Component.Loop)
		if have, err := known(err); err != nil || !have || l.Building != b.ID {
			return orFault(err, "loop", "This loop is not in the building.")
		}
		s.Loop = l
	}
	return r.component(ctx, tx, a, s, old)
}

func orFault(err error, field, msg string) error {
	if err != nil {
		return err
	}
	return fault(field, "%s", msg)
}

// component keeps a cover on its component. A new cover gets a new one, or one
// that is there already and in scope.
func (r *Register) component(ctx context.Context, tx *store.Tx, a models.Actor, s *models.CoverSheet, old models.CoverSheet) error {
	switch {
	case old.Cover.ID != models.None:
		s.Component.ID = old.Component.ID
	case s.Component.ID == models.None:
		s.Component.ID = r.newID()
	default:
		in, err := tx.ComponentBuilding(ctx, s.Component.ID)
		have, err := known(err)
		if err != nil {
			return err
		}
		if have && !a.Sees(in) {
			return missing("component")
		}
	}
	s.Cover.Component = s.Component.ID
	return nil
}

// keepState holds what only records may change.
func (r *Register) keepState(s *models.CoverSheet, old models.Cover) {
	c, today := &s.Cover, r.Today(s.Building)
	onMetal := func(st models.CoverState) bool { return st == models.InPlace || st == models.Off }
	switch {
	case old.ID == models.None:
		c.Since = c.Fitted
		if c.Since == "" {
			c.Since = today
		}
	case onMetal(old.State) && onMetal(c.State):
		c.State = old.State
		fallthrough
	default:
		c.Since = old.Since
	}
	switch {
	case c.State != models.Off:
		c.OffSince = ""
	case old.State == models.Off:
		c.OffSince = old.OffSince
	case c.OffSince == "" || c.OffSince > today:
		c.OffSince = today
	}
}
