package register

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestOpeningFromRecordToScoreFollowUpAndState(t *testing.T) {
	w := newWorld(t)
	w.weather(0)
	s := w.cover[0]
	_, err := w.Score(w.ctx, s.Cover.ID, "climate")
	require.NoError(t, err)
	w.clock.turn(time.Hour)

	rh := 0.6
	air := &models.RoomReading{ID: newID(), TempC: 24, RH: &rh}
	wet := wetLeftWet(s, "2026-11-25")
	rc, err := w.RecordOpening(w.ctx, w.inspector, wet, air)
	require.NoError(t, err)
	require.False(t, rc.Again)
	require.False(t, rc.Pending)
	require.Equal(t, models.InPlace, rc.State)
	require.NotNil(t, rc.Before)
	require.NotNil(t, rc.After)
	require.Less(t, rc.Before.PWet, 1.0)
	require.Equal(t, 1.0, rc.After.PWet, "closed wet is known wet")
	require.Equal(t, models.LookNow, rc.After.Action)
	require.Len(t, rc.Asked, 1)
	require.Equal(t, "dry", rc.Asked[0].Kind)
	require.Equal(t, models.Date("2026-11-27"), rc.Asked[0].By, "within 48 hours")

	last, err := w.LastAir(w.ctx, w.inspector, w.room[0].ID)
	require.NoError(t, err)
	require.Equal(t, air.ID, last.ID)
	require.Equal(t, "Ben", last.By)

	file, err := w.CoverFile(w.ctx, w.inspector, s.Cover.ID)
	require.NoError(t, err)
	require.Equal(t, models.WetKnown, file.Score.Condition)
	require.Greater(t, file.Score.HoursBelow, 0.0)
	require.Equal(t, file.Score.YearHours, 8760.0)
	require.Len(t, file.FollowUps, 1)

	w.clock.turn(26 * time.Hour)
	none, err := w.LastAir(w.ctx, w.inspector, w.room[0].ID)
	require.NoError(t, err)
	require.Nil(t, none, "air stands for two hours")

	rc, err = w.RecordOpening(w.ctx, w.inspector, soundDry(s, "2026-11-26"), nil)
	require.NoError(t, err)
	require.Len(t, rc.Closed, 1)
	require.Equal(t, rc.ID, rc.Closed[0].ClosedBy)
	require.Empty(t, rc.Asked)
	require.Equal(t, 1.0, rc.Before.PWet)
	require.Less(t, rc.After.PWet, 0.1, "just closed dry")
	require.NotEqual(t, models.LookNow, rc.After.Action)

	health, err := w.Verify(w.ctx, w.admin)
	require.NoError(t, err)
	require.True(t, health.OK, health.Findings)
}

func TestSameOpeningAgain(t *testing.T) {
	w := newWorld(t)
	o := wetLeftWet(w.cover[0], "2026-11-25")
	_, err := w.Score(w.ctx, o.Cover, "new day")
	require.NoError(t, err)
	w.clock.turn(time.Minute)
	first, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	w.clock.turn(time.Minute)

	again, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	require.True(t, again.Again)
	require.Equal(t, first.ID, again.ID)
	require.Equal(t, first.Asked, again.Asked)
	require.Equal(t, first.State, again.State)
	require.Equal(t, first.Before.PWet, again.Before.PWet)
	require.Equal(t, first.After.PWet, again.After.PWet)

	o.Note = "something else"
	_, err = w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.Equal(t, models.Invalid, kind(err))
	list, err := w.store.Openings(w.ctx, o.Cover)
	require.NoError(t, err)
	require.Len(t, list, 1)
}

func TestOpeningRefused(t *testing.T) {
	w := newWorld(t)
	retired := w.cover[0]
	for _, c := range []struct {
		name   string
		change func(*models.Opening)
		field  string
	}{
		{"no UUID", func(o *models.Opening) { o.ID = "opening-1" }, "id"},
		{"in the future there", func(o *models.Opening) { o.On = "2026-11-26" }, "on"},
		{"closing not answered", func(o *models.Opening) { o.Closing.Metal = "" }, "closing_metal"},
		{"place not answered", func(o *models.Opening) { o.Places = o.Places[1:] }, "left_long_seam"},
		{"reading without unit", func(o *models.Opening) { o.Readings = []models.ThicknessReading{{Point: "6 o'clock", Value: 7}} }, "reading_1_value"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := soundDry(retired, "2026-11-25")
			c.change(&o)
			_, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
			require.Equal(t, models.Invalid, kind(err))
			require.ErrorContains(t, err, c.field+": ")
		})
	}
	retired.Cover.State = models.Retired
	retired, err := w.SaveCover(w.ctx, w.engineer, retired)
	require.NoError(t, err)
	_, err = w.RecordOpening(w.ctx, w.inspector, soundDry(retired, "2026-11-25"), nil)
	require.ErrorContains(t, err, "cover: This cover is retired")
	_, err = w.RecordLook(w.ctx, w.inspector, cleanLook(retired, "2026-11-25"))
	require.ErrorContains(t, err, "cover: This cover is retired")
}

func TestRoomAirIsStoredWithItsOpeningOrNotAtAll(t *testing.T) {
	w := newWorld(t)
	dew := 30.0
	_, err := w.RecordOpening(w.ctx, w.inspector, soundDry(w.cover[0], "2026-11-25"), &models.RoomReading{ID: newID(), TempC: 24, DewPointC: &dew})
	require.Equal(t, models.Invalid, kind(err))
	require.ErrorContains(t, err, "room_dew_point")
	list, err := w.store.Openings(w.ctx, w.cover[0].Cover.ID)
	require.NoError(t, err)
	require.Empty(t, list)
}

func TestAmendTwice(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	o := wetLeftWet(s, "2026-11-24")
	_, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	w.clock.turn(time.Minute)

	next := o
	next.ID, next.Root, next.Version = newID(), o.ID, 1
	next.Closing.Metal, next.Closing.Blanket = "dry", "replaced"
	_, err = w.AmendOpening(w.ctx, w.inspector, next)
	require.ErrorContains(t, err, "amends: ", "a reason is required")
	next.Amends = "the blanket was changed, ticked wrongly"
	_, err = w.AmendOpening(w.ctx, w.other, next)
	require.Equal(t, models.Denied, kind(err), "somebody else's opening")
	rc, err := w.AmendOpening(w.ctx, w.inspector, next)
	require.NoError(t, err)
	require.Len(t, rc.Closed, 1, "the follow-up to dry it is taken back")
	require.Less(t, rc.After.PWet, 1.0)
	w.clock.turn(time.Minute)

	again, err := w.AmendOpening(w.ctx, w.inspector, next)
	require.NoError(t, err)
	require.True(t, again.Again)

	third := next
	third.ID, third.Amends = newID(), "it was left off after all"
	third.Closing = models.Closing{Cover: "left_off", OffWhy: "valve leaks"}
	_, err = w.AmendOpening(w.ctx, w.engineer, third)
	require.Equal(t, models.Stale, kind(err), "version 1 is not the last")
	third.Version = 2
	rc, err = w.AmendOpening(w.ctx, w.engineer, third)
	require.NoError(t, err)
	require.Equal(t, models.Off, rc.State)
	require.Equal(t, models.PutBack, rc.After.Action)

	versions, err := w.OpeningVersions(w.ctx, w.inspector, o.ID)
	require.NoError(t, err)
	require.Len(t, versions, 3)
	require.Equal(t, "wet", versions[0].Closing.Metal)
	require.Equal(t, "dry", versions[1].Closing.Metal)
	require.Equal(t, "left_off", versions[2].Closing.Cover)
	now, _, err := w.Opening(w.ctx, w.inspector, o.ID)
	require.NoError(t, err)
	require.Equal(t, 3, now.Version)
	require.Equal(t, w.engineer.ID, now.Recorder)

	fourth := third
	fourth.ID, fourth.Version, fourth.Amends = newID(), 3, "no, it was closed"
	fourth.Closing = next.Closing
	rc, err = w.AmendOpening(w.ctx, w.engineer, fourth)
	require.NoError(t, err)
	require.Equal(t, models.InPlace, rc.State, "what version 3 said of it being off is gone")
	file, err := w.CoverFile(w.ctx, w.inspector, s.Cover.ID)
	require.NoError(t, err)
	require.Len(t, file.History, 1)
	require.Len(t, file.History[0].Versions, 4)
}

func cleanLook(s models.CoverSheet, on models.Date) models.Look {
	yes, no := true, false
	return models.Look{ID: newID(), Cover: s.Cover.ID, On: on, By: "Ben", InPlace: &yes, Drips: &no}
}

func TestLooksAskAndAnswer(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	drip := cleanLook(s, "2026-11-24")
	*drip.Drips = true
	rc, err := w.RecordLook(w.ctx, w.inspector, drip)
	require.NoError(t, err)
	require.Len(t, rc.Asked, 1)
	require.Equal(t, "look", rc.Asked[0].Kind)
	require.Equal(t, models.LookNow, rc.After.Action)

	worse := cleanLook(s, "2026-11-25")
	worse.Places = []models.PlaceFinding{{Place: models.LongSeam, Found: "open"}}
	rc, err = w.RecordLook(w.ctx, w.inspector, worse)
	require.NoError(t, err)
	require.Empty(t, rc.Asked, "it is asked for already")
	require.Empty(t, rc.Closed)

	off := cleanLook(s, "2026-11-25")
	*off.InPlace = false
	rc, err = w.RecordLook(w.ctx, w.inspector, off)
	require.NoError(t, err)
	require.Equal(t, models.Off, rc.State)
	require.Len(t, rc.Closed, 1, "a look without a new report answers it")
	again, err := w.RecordLook(w.ctx, w.inspector, off)
	require.NoError(t, err)
	require.True(t, again.Again)
	require.Len(t, again.Closed, 1)
}
