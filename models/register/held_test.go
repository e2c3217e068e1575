package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestRecordsThatMayNotComeInAreHeld(t *testing.T) {
	w := newWorld(t)
	s := w.cover[1] // of the building that the inspector has lost
	o := wetLeftWet(s, "2026-11-24")
	rc, err := w.SendOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	require.True(t, rc.Held)
	require.Empty(t, rc.State, "nothing is told of the cover")
	again, err := w.SendOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	require.True(t, again.Held && again.Again)
	other := o
	other.Note = "something else"
	_, err = w.SendOpening(w.ctx, w.inspector, other, nil)
	require.Equal(t, models.Invalid, kind(err))

	nowhere := soundDry(s, "2026-11-24")
	nowhere.Cover = newID()
	none, err := w.SendOpening(w.ctx, w.inspector, nowhere, nil)
	require.NoError(t, err)
	none.ID, none.Cover = rc.ID, rc.Cover
	require.Equal(t, rc, none, "a cover out of scope and none cannot be told apart")

	bad := soundDry(w.cover[0], "2026-11-24")
	bad.Closing.Metal = ""
	_, err = w.SendOpening(w.ctx, w.inspector, bad, nil)
	require.Equal(t, models.Invalid, kind(err), "a record with a fault of its own goes back to its author")
	rc, err = w.SendOpening(w.ctx, w.inspector, soundDry(w.cover[0], "2026-11-24"), nil)
	require.NoError(t, err)
	require.False(t, rc.Held)

	for _, c := range []struct {
		name string
		a    models.Actor
		n    int
	}{{"does not decide", w.inspector, 0}, {"of another building", w.engineer, 0}, {"sees all", w.admin, 2}} {
		n, err := w.HeldCount(w.ctx, c.a)
		require.NoError(t, err)
		require.Equal(t, c.n, n, c.name)
	}
	_, err = w.Held(w.ctx, w.inspector)
	require.Equal(t, models.Denied, kind(err))
	list, err := w.Held(w.ctx, w.engineer)
	require.NoError(t, err)
	require.Empty(t, list, "not for the engineer of another building")
	list, err = w.Held(w.ctx, w.admin)
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.Equal(t, o.ID, list[0].ID)
	require.Equal(t, "the sender has no access to the building", list[0].Why)
	require.Equal(t, "V-1", list[0].Sheet.Component.Tag)
	require.Equal(t, o.Moisture, list[0].Opening.Moisture)
	require.Nil(t, list[1].Sheet)
	_, err = w.ReleaseHeld(w.ctx, w.engineer, o.ID)
	require.Equal(t, models.Missing, kind(err))
	require.Equal(t, models.Missing, kind(w.RejectHeld(w.ctx, w.engineer, o.ID, "no")))

	rc, err = w.ReleaseHeld(w.ctx, w.admin, o.ID)
	require.NoError(t, err)
	require.Len(t, rc.Asked, 1)
	now, _, err := w.Opening(w.ctx, w.admin, o.ID)
	require.NoError(t, err)
	require.Equal(t, w.inspector.ID, now.Recorder, "it is its author's")
	_, err = w.ReleaseHeld(w.ctx, w.admin, o.ID)
	require.Equal(t, models.Missing, kind(err))
	_, err = w.ReleaseHeld(w.ctx, w.admin, nowhere.ID)
	require.Equal(t, models.Invalid, kind(err))
	require.Equal(t, models.Invalid, kind(w.RejectHeld(w.ctx, w.admin, nowhere.ID, " ")))
	n, err := w.HeldCount(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, 1, n, "one was released")
	require.NoError(t, w.RejectHeld(w.ctx, w.admin, nowhere.ID, "written on V-1"))
	n, err = w.HeldCount(w.ctx, w.admin)
	require.NoError(t, err)
	require.Zero(t, n)
	list, err = w.Held(w.ctx, w.admin)
	require.NoError(t, err)
	require.Empty(t, list)

	var acts []string
	for _, id := range []models.ID{o.ID, nowhere.ID} {
		events, err := w.Events(w.ctx, w.admin, EventFilter{Of: id})
		require.NoError(t, err)
		for i := range events {
			acts = append(acts, events[len(events)-1-i].Act)
		}
	}
	require.Equal(t, []string{"record held", "opening recorded", "held record released", "record held", "held record rejected"}, acts)
	health, err := w.Verify(w.ctx, w.admin)
	require.NoError(t, err)
	require.True(t, health.OK, health.Findings)
}

func TestRecordsOfACoverThatIsGoneAreHeld(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	s.Cover.State = models.Retired
	s, err := w.SaveCover(w.ctx, w.engineer, s)
	require.NoError(t, err)
	look := cleanLook(s, "2026-11-24")
	rc, err := w.SendLook(w.ctx, w.inspector, look)
	require.NoError(t, err)
	require.True(t, rc.Held)
	list, err := w.Held(w.ctx, w.engineer)
	require.NoError(t, err)
	require.Equal(t, "the cover is retired", list[0].Why)
	rc, err = w.ReleaseHeld(w.ctx, w.engineer, look.ID)
	require.NoError(t, err)
	require.Equal(t, models.Retired, rc.State, "it stays retired")
	file, err := w.CoverFile(w.ctx, w.engineer, s.Cover.ID)
	require.NoError(t, err)
	require.Len(t, file.History, 1)

	owner := models.Actor{ID: newID(), Role: models.Owner, Buildings: []models.ID{w.building[0].ID}}
	rc, err = w.SendLook(w.ctx, owner, cleanLook(s, "2026-11-24"))
	require.NoError(t, err)
	require.True(t, rc.Held)
	_, err = w.SendLook(w.ctx, models.Actor{}, cleanLook(s, "2026-11-24"))
	require.Equal(t, models.SignIn, kind(err))
}
