package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// late sends an opening and a look as the phone's queue does after its owner
// has lost the building, and an opening of no cover at all.
func (w *world) late() (opening models.Opening, look models.Look, nowhere models.Opening) {
	w.t.Helper()
	ctx, sender := w.t.Context(), w.users[models.Inspector].Actor()
	s := w.taped(w.there, "FAR-1")
	opening = models.Opening{ID: w.register.NewID(), Cover: s.Cover.ID, Outcome: "opened", Reason: "periodic", On: "2026-11-24", OpenedBy: "Ines",
		Moisture: "wet", Blanket: "wet", Metal: models.MetalFinding{Seen: true, Scale: "ri", Grade: "Ri 3"}, Note: "water at the low point",
		Closing: models.Closing{Cover: "same", Metal: "dry", Blanket: "dry", Water: "running"}}
	for _, p := range s.Cover.Places() {
		opening.Places = append(opening.Places, models.PlaceFinding{Place: p, Found: "lifting", Left: "renewed"})
	}
	look = models.Look{ID: w.register.NewID(), Cover: s.Cover.ID, On: "2026-11-24", By: "Ines", InPlace: new(true), Drips: new(true)}
	nowhere = opening
	nowhere.ID, nowhere.Cover = w.register.NewID(), w.register.NewID()
	for _, o := range []models.Opening{opening, nowhere} {
		rc, err := w.register.SendOpening(ctx, sender, o, nil)
		require.NoError(w.t, err)
		require.True(w.t, rc.Held)
	}
	rc, err := w.register.SendLook(ctx, sender, look)
	require.NoError(w.t, err)
	require.True(w.t, rc.Held)
	return opening, look, nowhere
}

func TestLateRecordsAreReadAndDecided(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	for _, path := range []string{"/", "/covers"} {
		require.NotContains(t, c.get(path).body, `href="/held"`, "offered only where something waits: %s", path)
	}
	require.Contains(t, c.get("/held").body, "No late record waits for you.")
	opening, look, nowhere := w.late()
	require.Contains(t, c.get("/covers").body, `<a href="/held">Late records</a>`)
	require.Contains(t, c.get("/").body, `<a href="/held">3 records were kept aside</a>`)
	for _, role := range []models.Role{models.Inspector, models.Owner} {
		require.NotContains(t, w.as(role).get("/").body, "/held", "%s does not decide", role)
	}
	list := c.get("/held").body
	for _, want := range []string{"3 records wait for you", "FAR-1", "Sent by Pat inspector", "the sender has no access to the building",
		"a cover that is not in the register", `href="/held/` + string(look.ID) + `"`} {
		require.Contains(t, list, want)
	}

	page := c.get("/held/" + string(opening.ID)).body
	for _, want := range []string{"work of 24 Nov 2026", "Pat inspector", `<span class="water">wet</span>`, "Ri 3", "water at the low point", "lifting"} {
		require.Contains(t, page, want)
	}
	got := c.post("/held/"+string(opening.ID)+"/release", nil)
	require.Equal(t, http.StatusSeeOther, got.status, got.body)
	require.Equal(t, "/covers/"+string(opening.Cover), got.header.Get("Location"))
	require.Contains(t, c.get(got.header.Get("Location")).body, "Taken into the history, as recorded by Pat inspector.")
	require.Len(t, w.history(opening.Cover), 1)
	require.Equal(t, http.StatusNotFound, c.post("/held/"+string(opening.ID)+"/release", nil).status, "once")

	page = c.get("/held/" + string(nowhere.ID)).body
	require.NotContains(t, page, "/release", "what is of no cover cannot be taken in")
	got = c.post("/held/"+string(nowhere.ID)+"/release", nil)
	require.Equal(t, http.StatusUnprocessableEntity, got.status)
	require.Contains(t, got.body, "There is no such cover")
	got = c.post("/held/"+string(nowhere.ID)+"/reject", url.Values{"why": {" "}})
	require.Equal(t, http.StatusUnprocessableEntity, got.status)
	require.Contains(t, got.body, `<a href="#f-why">`)
	require.Equal(t, "/held", c.post("/held/"+string(nowhere.ID)+"/reject", url.Values{"why": {"written down on FAR-1"}}).header.Get("Location"))

	require.Contains(t, c.get("/").body, `<a href="/held">1 record was kept aside</a>`)
	require.Contains(t, c.get("/held/"+string(look.ID)).body, "In place, dripping.")
	require.Equal(t, http.StatusSeeOther, c.post("/held/"+string(look.ID)+"/reject", url.Values{"why": {"seen twice"}}).status)
	require.NotContains(t, c.get("/covers").body, `href="/held"`)
}
