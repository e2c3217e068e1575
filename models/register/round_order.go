package register

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/store"
)

// checkOrder completes an order as the service keeps it: shifts have IDs, pins
// their building, author and time, and everything named is in the round's
// buildings, which must all be the actor's.
func (r *Register) checkOrder(ctx context.Context, tx *store.Tx, a models.Actor, old, o models.RoundOrder) (models.RoundOrder, error) {
	o.Shifts = slices.Clone(o.Shifts)
	for i := range o.Shifts {
		s := &o.Shifts[i]
		s.Crew = strings.TrimSpace(s.Crew)
		s.ID = strings.TrimSpace(string(s.Day) + " " + s.Crew)
	}
	o.Windows = slices.Clone(o.Windows)
	for i := range o.Windows {
		o.Windows[i].ID = fmt.Sprintf("w%d", i+1)
	}
	slices.SortStableFunc(o.Shifts, func(x, y models.RoundShift) int { return strings.Compare(x.ID, y.ID) })
	pins, err := r.pinned(ctx, tx, a, old.Pins, o)
	if err != nil {
		return o, err
	}
	o.Pins = pins
	return o, faultsOf(checkBuildings(ctx, tx, a, o), checkPlaces(ctx, tx, o), checkPeople(ctx, tx, o), checkWindows(ctx, tx, o))
}

func checkBuildings(ctx context.Context, tx *store.Tx, a models.Actor, o models.RoundOrder) error {
	for _, id := range o.Buildings {
		if _, err := building(ctx, tx.Reader, a, id); err != nil {
			return err
		}
	}
	return nil
}

// checkPlaces refuses minutes of places that the round does not go to.
func checkPlaces(ctx context.Context, tx *store.Tx, o models.RoundOrder) error {
	var f models.Faults
	for i, p := range o.Travel {
		field := fmt.Sprintf("travel_%d", i+1)
		if !slices.Contains(o.Buildings, p.ID) {
			f.Add(field, "The round does not go to this building.")
		}
		checkMinutes(&f, field, p.Minutes)
	}
	for i, p := range o.SetUp {
		field := fmt.Sprintf("set_up_%d", i+1)
		rm, err := found(tx.Room(ctx, p.ID))
		if err != nil {
			return err
		}
		if rm == nil || !slices.Contains(o.Buildings, rm.Building) {
			f.Add(field, "The round does not go to this room.")
		}
		checkMinutes(&f, field, p.Minutes)
	}
	return f.Err()
}

func checkMinutes(f *models.Faults, field string, n int) {
	if n < 0 || n > 600 {
		f.Add(field, "must be between 0 and 600 minutes")
	}
}

// checkPeople refuses shifts of people who are not there.
func checkPeople(ctx context.Context, tx *store.Tx, o models.RoundOrder) error {
	var f models.Faults
	for i, s := range o.Shifts {
		if s.Inspector == models.None {
			continue
		}
		u, err := found(tx.User(ctx, s.Inspector))
		if err != nil {
			return err
		}
		if u == nil || u.Disabled || !models.May(u.Role, models.ActRecord) {
			f.Add(fmt.Sprintf("shift_%d_inspector", i+1), "Choose somebody who records openings.")
		}
	}
	return f.Err()
}

// checkWindows refuses windows without name or days, or of covers elsewhere.
func checkWindows(ctx context.Context, tx *store.Tx, o models.RoundOrder) error {
	var f models.Faults
	for i, w := range o.Windows {
		at := func(name string) string { return fmt.Sprintf("window_%d_%s", i+1, name) }
		f.Need(at("name"), strings.TrimSpace(w.Name) != "", "Name the shutdown or the permit.")
		if len(w.Name) > 120 {
			f.Add(at("name"), "Keep it within 120 characters.")
		}
		f.Need(at("days"), len(w.Days) > 0, "Give its days.")
		for _, d := range w.Days {
			if _, err := models.ParseDate(string(d)); err != nil {
				f.Add(at("days"), "Give days as 2026-11-25.")
			}
		}
		sheets, err := tx.Sheets(ctx, w.Covers)
		if err != nil {
			return err
		}
		if len(sheets) != len(w.Covers) || slices.ContainsFunc(sheets, func(s models.CoverSheet) bool { return !slices.Contains(o.Buildings, s.Building.ID) }) {
			f.Add(at("covers"), "A cover of this window is not in the round's buildings.")
		}
	}
	return f.Err()
}

// pinned completes the pins of an order: who and when of a pin that is new or
// says something else than before.
func (r *Register) pinned(ctx context.Context, tx *store.Tx, a models.Actor, old []models.RoundPin, o models.RoundOrder) ([]models.RoundPin, error) {
	var out []models.RoundPin
	var f models.Faults
	for i, p := range o.Pins {
		field := fmt.Sprintf("pin_%d", i+1)
		s, err := found(tx.Sheet(ctx, p.Cover))
		if err != nil {
			return nil, err
		}
		switch {
		case s == nil || !slices.Contains(o.Buildings, s.Building.ID):
			f.Add(field, "This cover is not in the round's buildings.")
			continue
		case slices.ContainsFunc(out, func(q models.RoundPin) bool { return q.Cover == p.Cover }):
			f.Add(field, "%s is pinned twice.", s.Component.Tag)
			continue
		case len(p.Reason) > 400:
			f.Add(field, "Keep the reason within 400 characters.")
		}
		p.Building, p.By, p.At, p.Reason = s.Building.ID, a.Name, r.Now(), strings.TrimSpace(p.Reason)
		for _, q := range old {
			if q.Cover == p.Cover && q.In == p.In && q.Reason == p.Reason {
				p = q
			}
		}
		out = append(out, p)
	}
	return out, f.Err()
}

// Pin puts the engineer's word over the plan's for some covers of a draft or of
// a published round; a pin of the same cover before is replaced. The plan stays
// until it is made again.
func (r *Register) Pin(ctx context.Context, a models.Actor, id models.ID, pins []models.RoundPin) (models.Round, error) {
	return r.changePins(ctx, a, id, "covers pinned", func(list []models.RoundPin) []models.RoundPin {
		for _, p := range pins {
			list = append(kept(list, func(q models.RoundPin) bool { return q.Cover != p.Cover }), p)
		}
		return list
	})
}

// Unpin takes pins away.
func (r *Register) Unpin(ctx context.Context, a models.Actor, id models.ID, covers []models.ID) (models.Round, error) {
	return r.changePins(ctx, a, id, "pins taken away", func(list []models.RoundPin) []models.RoundPin {
		return kept(list, func(q models.RoundPin) bool { return !slices.Contains(covers, q.Cover) })
	})
}

func (r *Register) changePins(ctx context.Context, a models.Actor, id models.ID, act string, change func([]models.RoundPin) []models.RoundPin) (saved models.Round, err error) {
	if err := a.May(models.ActRound); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		rn, err := roundOwn(ctx, tx.Reader, a, id, models.RoundDraft, models.RoundPublished)
		if err != nil {
			return err
		}
		before := rn.Order.Pins
		rn.Order.Pins = change(slices.Clone(before))
		if rn.Order.Pins, err = r.pinned(ctx, tx, a, before, rn.Order); err != nil {
			return err
		}
		if err := rn.Validate(); err != nil {
			return err
		}
		if saved, err = tx.PutRound(ctx, rn); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, act, "round", id, models.None,
			map[string]any{"before": before, "after": saved.Order.Pins}))
	})
	return saved, err
}
