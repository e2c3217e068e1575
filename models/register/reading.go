package register

import (
	"context"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// AirKept is how long a hand reading of a room's air stands for the visit.
const AirKept = 2 * time.Hour

// RecordRoomReading stores the air of a room read by hand. The same ID with the
// same content again changes nothing.
func (r *Register) RecordRoomReading(ctx context.Context, a models.Actor, rr models.RoomReading) (models.RoomReading, error) {
	if err := a.May(models.ActRecord); err != nil {
		return rr, err
	}
	if rr.ID == models.None {
		rr.ID = r.newID()
	}
	if rr.At.IsZero() {
		rr.At = r.Now()
	}
	rr.EnteredAt, rr.Recorder = r.Now(), a.ID
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		rm, _, err := room(ctx, tx.Reader, a, rr.Room)
		if err != nil {
			return err
		}
		if err := checkAir(&rr); err != nil {
			return err
		}
		again, err := tx.AddRoomReading(ctx, rr)
		if again || err != nil {
			return err
		}
		if err := tx.MarkStaleRoom(ctx, rm.ID); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "room air recorded", "room", rm.ID, rm.Building, map[string]any{"content": hashOf(rr)}))
	})
	return rr, err
}

// LastAir is the room's air read within AirKept; nil without error if none was.
func (r *Register) LastAir(ctx context.Context, a models.Actor, id models.ID) (*models.RoomReading, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	rm, _, err := room(ctx, r.store.Reader, a, id)
	if err != nil {
		return nil, err
	}
	return r.lastAir(ctx, rm.ID)
}

// RoomReadings are what was read by hand of a room's air at an instant or after,
// oldest first; from the beginning for the zero instant.
func (r *Register) RoomReadings(ctx context.Context, a models.Actor, id models.ID, since time.Time) ([]models.RoomReading, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	rm, _, err := room(ctx, r.store.Reader, a, id)
	if err != nil {
		return nil, err
	}
	return r.store.RoomReadings(ctx, rm.ID, since)
}

// lastAir is the last reading within AirKept. A reading from a phone whose clock
// runs ahead counts from when it was entered.
func (r *Register) lastAir(ctx context.Context, room models.ID) (*models.RoomReading, error) {
	since := r.Now().Add(-AirKept)
	list, err := r.store.RoomReadings(ctx, room, since)
	if err != nil {
		return nil, err
	}
	var last *models.RoomReading
	var lastAt time.Time
	for _, x := range list {
		at := x.At
		if x.EnteredAt.Before(at) {
			at = x.EnteredAt
		}
		if !at.Before(since) && !at.Before(lastAt) {
			last, lastAt = &x, at
		}
	}
	return last, nil
}

// RecordThickness stores wall readings taken without an opening. Each has its
// own UUID; what is there already changes nothing.
func (r *Register) RecordThickness(ctx context.Context, a models.Actor, id models.ID, list []models.ThicknessReading) (Receipt, error) {
	if err := a.May(models.ActRecord); err != nil {
		return Receipt{}, err
	}
	var rc Receipt
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		s, err := cover(ctx, tx.Reader, a, id)
		if err != nil {
			return err
		}
		if err := r.checkThickness(s, list); err != nil {
			return err
		}
		rc, err = r.storeThickness(ctx, tx, a, s, list)
		return err
	})
	if err != nil || rc.Again {
		return rc, err
	}
	return r.finish(ctx, rc, "reading"), nil
}

// checkThickness reports every fault of readings that come by themselves.
func (r *Register) checkThickness(s models.CoverSheet, list []models.ThicknessReading) error {
	today := r.Today(s.Building)
	errs := []error{checkThere(s.Cover), checkReadings(list, today)}
	for i := range list {
		x := &list[i]
		errs = append(errs, checkID(x.ID))
		if _, err := models.ParseDate(string(x.On)); err != nil || x.On > today {
			errs = append(errs, fault("on", "Give the day of the reading, as 2026-11-25; it cannot be in the future."))
		}
		if strings.TrimSpace(x.By) == "" {
			errs = append(errs, fault("by", "Say who read it."))
		}
	}
	if len(list) == 0 {
		errs = append(errs, fault("reading_1_value", "Give at least one reading."))
	}
	return faultsOf(errs...)
}

// checkReadings holds readings to the rule that an opening has for its own.
func checkReadings(list []models.ThicknessReading, today models.Date) error {
	bare := models.Opening{Outcome: "could_not_open", NotOpened: "no_access", Reason: "periodic", OpenedBy: "-", On: today, Readings: list}
	return bare.Validate(models.CoverSheet{}, today)
}

// storeThickness stores readings with what follows from them.
func (r *Register) storeThickness(ctx context.Context, tx *store.Tx, a models.Actor, s models.CoverSheet, list []models.ThicknessReading) (Receipt, error) {
	rc := Receipt{ID: list[0].ID, Cover: s.Cover.ID, State: s.Cover.State}
	stored := 0
	for i := range list {
		x := &list[i]
		x.Cover, x.Opening, x.EnteredAt, x.Recorder = s.Cover.ID, models.None, r.Now(), a.ID
		again, err := tx.AddReading(ctx, *x)
		if err != nil {
			return rc, err
		}
		if !again {
			stored++
		}
	}
	if rc.Again = stored == 0; rc.Again {
		return rc, nil
	}
	before, err := found(tx.Score(ctx, rc.Cover))
	if err != nil {
		return rc, err
	}
	if before != nil {
		rc.Before = changeOf(*before, "")
	}
	t := act{r: r, tx: tx, actor: a, sheet: s, id: list[0].ID, from: list[0].ID, on: list[0].On}
	_, rc.Closed, err = t.settleFollowUps(ctx, nil, func(kind string) (string, bool) {
		return "wall read on " + t.on.Say(), kind == "reading"
	}, nil)
	if err != nil {
		return rc, err
	}
	return rc, t.log(ctx, "wall read", "cover", hashOf(list), rc)
}
