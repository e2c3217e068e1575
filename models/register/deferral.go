package register

import (
	"context"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// PutOff puts the due dates of covers off, each once, at most
// models.MaxDeferralDays, all with one reason. It gives the covers whose date
// moved; one that may not be put off again fails the whole act and is named.
func (r *Register) PutOff(ctx context.Context, a models.Actor, covers []models.ID, until models.Date, reason string) ([]models.ID, error) {
	if err := a.May(models.ActDefer); err != nil {
		return nil, err
	}
	if err := checkReason(covers, until, reason); err != nil {
		return nil, err
	}
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		var bad models.Faults
		for _, id := range covers {
			s, err := cover(ctx, tx.Reader, a, id)
			if err != nil {
				return err
			}
			d, msg, err := r.deferral(ctx, tx, a, s, until, reason)
			if err != nil {
				return err
			}
			if msg != "" {
				bad.Add("covers", "%s: %s", s.Component.Tag, msg)
				continue
			}
			if err := r.storeDeferral(ctx, tx, a, s, d); err != nil {
				return err
			}
		}
		return bad.Err()
	})
	if err != nil {
		return nil, err
	}
	r.rescoreQuietly(ctx, "put off", covers...)
	return covers, nil
}

func checkReason(covers []models.ID, until models.Date, reason string) error {
	var bad models.Faults
	bad.Need("covers", len(covers) > 0, "Choose at least one cover.")
	bad.Need("reason", strings.TrimSpace(reason) != "", "Say why it is put off.")
	if len(reason) > 400 {
		bad.Add("reason", "Keep it within 400 characters.")
	}
	if _, err := models.ParseDate(string(until)); err != nil {
		bad.Add("until", "Give the new day, as 2026-11-25.")
	}
	return bad.Err()
}

// deferral is how one cover's due date is put off, or in words why it may not be.
func (r *Register) deferral(ctx context.Context, tx *store.Tx, a models.Actor, s models.CoverSheet, until models.Date, reason string) (models.Deferral, string, error) {
	score, err := found(tx.Score(ctx, s.Cover.ID))
	if err != nil {
		return models.Deferral{}, "", err
	}
	if score == nil {
		return models.Deferral{}, "its score is pending; try again in a moment", nil
	}
	earlier, err := tx.Deferrals(ctx, s.Cover.ID)
	if err != nil {
		return models.Deferral{}, "", err
	}
	today, due := r.Today(s.Building), score.Due.On
	from := max(due, today)
	switch {
	case score.Action == models.PutBack:
		return models.Deferral{}, "the cover is off; it cannot be put off", nil
	case score.PutOffTo != "" || usedUp(earlier, due):
		return models.Deferral{}, "its date has been put off once already", nil
	case until <= from:
		return models.Deferral{}, "choose a day after " + from.Say(), nil
	case until > from.AddDays(models.MaxDeferralDays):
		return models.Deferral{}, "the latest day is " + from.AddDays(models.MaxDeferralDays).Say(), nil
	}
	return models.Deferral{ID: r.newID(), Cover: s.Cover.ID, DueOn: due, Until: until, Reason: strings.TrimSpace(reason),
		By: a.ID, EnteredAt: r.Now()}, "", nil
}

// usedUp tells whether this very due date was put off before.
func usedUp(earlier []models.Deferral, due models.Date) bool {
	for _, d := range earlier {
		if d.DueOn == due || d.Until == due {
			return true
		}
	}
	return false
}

func (r *Register) storeDeferral(ctx context.Context, tx *store.Tx, a models.Actor, s models.CoverSheet, d models.Deferral) error {
	if _, err := tx.AddDeferral(ctx, d); err != nil {
		return err
	}
	return tx.AppendEvent(ctx, r.event(a, "due date put off", "cover", s.Cover.ID, s.Building.ID, d))
}

// dayIn tells on which day of a building an instant falls.
func dayIn(b models.Building) func(time.Time) models.Date {
	return func(at time.Time) models.Date { return models.DateOf(at, b.Zone()) }
}
