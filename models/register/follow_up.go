package register

import (
	"context"
	"strings"

	"drylag/models"
	"drylag/models/store"
)

// FollowUpFilter narrows a list of follow-ups. Empty fields do not narrow.
type FollowUpFilter struct {
	Building models.ID
	Cover    models.ID
	Kind     string // models.FollowUpKinds
	Closed   bool   // closed ones too
	Limit    int    // 0: 200
}

// FollowUpRow is one follow-up with the cover it is about.
type FollowUpRow struct {
	models.FollowUp
	Tag, Title   string // of the component
	Room         models.ID
	RoomName     string
	BuildingName string
}

// FollowUps lists what findings still need, the earliest day first.
func (r *Register) FollowUps(ctx context.Context, a models.Actor, f FollowUpFilter) ([]FollowUpRow, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	if err := r.seesFilter(ctx, a, f.Building, models.None, models.None); err != nil {
		return nil, err
	}
	if f.Cover != models.None {
		if _, err := cover(ctx, r.store.Reader, a, f.Cover); err != nil {
			return nil, err
		}
	}
	if f.Limit == 0 {
		f.Limit = 200
	}
	list, err := r.store.FollowUps(ctx, store.FollowUpFilter{Cover: f.Cover, Building: f.Building, Kind: f.Kind,
		OpenOnly: !f.Closed, Scope: scopeOf(a), Limit: f.Limit})
	if err != nil {
		return nil, err
	}
	return r.followUpRows(ctx, list)
}

// followUpRows sets each follow-up beside its cover.
func (r *Register) followUpRows(ctx context.Context, list []models.FollowUp) ([]FollowUpRow, error) {
	ids := make([]models.ID, len(list))
	for i, f := range list {
		ids[i] = f.Cover
	}
	sheets, err := r.store.Sheets(ctx, ids)
	if err != nil {
		return nil, err
	}
	at := map[models.ID]models.CoverSheet{}
	for _, s := range sheets {
		at[s.Cover.ID] = s
	}
	rows := make([]FollowUpRow, len(list))
	for i, f := range list {
		s := at[f.Cover]
		rows[i] = FollowUpRow{FollowUp: f, Tag: s.Component.Tag, Title: s.Title(), Room: s.Room.ID,
			RoomName: s.Room.Name, BuildingName: s.Building.Name}
	}
	return rows, nil
}

// OpenFollowUp opens a follow-up by hand; Kind, Cover, Why and By are the caller's.
func (r *Register) OpenFollowUp(ctx context.Context, a models.Actor, f models.FollowUp) (models.FollowUp, error) {
	if err := a.May(models.ActFollowUp); err != nil {
		return f, err
	}
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		s, err := cover(ctx, tx.Reader, a, f.Cover)
		if err != nil {
			return err
		}
		if err := checkFollowUp(f, s); err != nil {
			return err
		}
		f = models.FollowUp{ID: r.newID(), Cover: f.Cover, Building: s.Building.ID, Kind: f.Kind,
			Why: strings.TrimSpace(f.Why), By: f.By, OpenedAt: r.Now(), Opener: a.ID}
		if err := tx.AddFollowUp(ctx, f); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "follow-up opened", "follow-up", f.ID, f.Building, f))
	})
	if err == nil {
		r.rescoreQuietly(ctx, "follow-up", f.Cover)
	}
	return f, err
}

func checkFollowUp(f models.FollowUp, s models.CoverSheet) error {
	var bad models.Faults
	bad.Need("kind", f.Kind != "", "Say what is needed.")
	models.FollowUpKinds.Check(&bad, "kind", f.Kind)
	bad.Need("why", strings.TrimSpace(f.Why) != "", "Say why.")
	if len(f.Why) > 400 {
		bad.Add("why", "Keep it within 400 characters.")
	}
	if _, err := models.ParseDate(string(f.By)); err != nil {
		bad.Add("by", "Give the day by which it is wanted, as 2026-11-25.")
	}
	return faultsOf(checkThere(s.Cover), bad.Err())
}

// CloseFollowUp closes a follow-up by an opening or look of the same cover that
// is not older than what asked for it; why says how the record answers it.
func (r *Register) CloseFollowUp(ctx context.Context, a models.Actor, id, record models.ID, why string) (models.FollowUp, error) {
	if err := a.May(models.ActFollowUp); err != nil {
		return models.FollowUp{}, err
	}
	var f models.FollowUp
	err := r.store.Write(ctx, func(tx *store.Tx) (err error) {
		if f, err = tx.FollowUp(ctx, id); err != nil || !a.Sees(f.Building) {
			return orMissing(err, "follow-up")
		}
		b, err := tx.Building(ctx, f.Building)
		if err != nil {
			return err
		}
		if err := r.checkClosing(ctx, tx, f, b, record, why); err != nil {
			return err
		}
		f.ClosedBy, f.ClosedAt, f.ClosedWhy = record, r.Now(), strings.TrimSpace(why)
		if err := tx.CloseFollowUp(ctx, f.ID, f.ClosedBy, f.ClosedAt, f.ClosedWhy); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "follow-up closed", "follow-up", f.ID, f.Building, f))
	})
	if err == nil {
		r.rescoreQuietly(ctx, "follow-up", f.Cover)
	}
	return f, err
}

// checkClosing finds the record that closes a follow-up.
func (r *Register) checkClosing(ctx context.Context, tx *store.Tx, f models.FollowUp, b models.Building, record models.ID, why string) error {
	var bad models.Faults
	bad.Need("why", strings.TrimSpace(why) != "", "Say how the record answers it.")
	if len(why) > 400 {
		bad.Add("why", "Keep it within 400 characters.")
	}
	cover, on, err := recordDay(ctx, tx, record)
	if err != nil {
		return err
	}
	asked := askedOn(f, dayIn(b))
	switch {
	case cover != f.Cover:
		bad.Add("record", "A follow-up closes only by an opening or a look of its cover: choose one.")
	case record == f.From:
		bad.Add("record", "This is the record that asked for it: it takes a later one.")
	case on < asked:
		bad.Add("record", "That record is of %s, before this was asked for on %s.", on.Say(), asked.Say())
	}
	return bad.Err()
}

// recordDay is the cover and day of an opening or a look; nothing where there is
// no such record.
func recordDay(ctx context.Context, tx *store.Tx, id models.ID) (models.ID, models.Date, error) {
	o, err := found(tx.Opening(ctx, id))
	if err != nil {
		return models.None, "", err
	}
	if o != nil {
		return o.Cover, o.On, nil
	}
	l, err := found(tx.Look(ctx, id))
	if err != nil || l == nil {
		return models.None, "", err
	}
	return l.Cover, l.On, nil
}

// openFollowUps are the first open follow-ups in an actor's buildings.
func openFollowUps(a models.Actor, limit int) store.FollowUpFilter {
	return store.FollowUpFilter{OpenOnly: true, Scope: scopeOf(a), Limit: limit}
}
