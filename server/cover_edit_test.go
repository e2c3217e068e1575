package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestCoverIsAddedByHand(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	require.Contains(t, c.get("/covers/new").body, "In which building?")
	here := "/covers/new?building=" + string(w.here.ID)
	require.Contains(t, c.get(here).body, "has no room yet")
	require.Equal(t, http.StatusNotFound, c.get("/covers/new?building=none").status)

	added := c.post("/rooms", url.Values{"building": {string(w.here.ID)}, "name": {"Cellar"}, "kind": {"closed"}, "temp": {"72F"}, "order": {"1"}})
	require.Equal(t, http.StatusSeeOther, added.status, added.body)
	added = c.post("/loops", url.Values{"building": {string(w.here.ID)}, "name": {"CHW"}, "kind": {"chilled"}, "supply": {"42"}})
	require.Equal(t, http.StatusSeeOther, added.status, added.body)

	form := inputs(t, c.get(here).body, "/covers")
	require.Equal(t, "in_place", form.Get("state"))
	faulty := c.post("/covers", with(form, map[string]string{"nps": "six", "tag": payload, "service": "cold"}))
	require.Equal(t, http.StatusUnprocessableEntity, faulty.status)
	for _, want := range []string{"Say which room it is in.", "Say what kind of component it is.", "six", "cold", `href="#f-nps"`, "Nothing that you typed is lost"} {
		require.Contains(t, faulty.body, want)
	}
	require.NotContains(t, faulty.body, "<script>alert")

	rooms, err := w.register.Rooms(t.Context(), w.users[models.Engineer].Actor(), w.here.ID)
	require.NoError(t, err)
	saved := c.post("/covers", with(form, map[string]string{"tag": "V-1", "kind": "gate_valve", "nps": "1 1/2", "room": string(rooms[0].ID),
		"pressure": "10 bar", "thickness": "1", "height": "8"}))
	require.Equal(t, http.StatusSeeOther, saved.status, saved.body)
	body := c.get(saved.header.Get("Location")).body
	for _, want := range []string{"V-1 is in the register.", "gate valve NPS\u00a01\u00a01/2", "145.0\u00a0psi", "8\u00a0ft up", "in place, 1\u00a0in thick", "Never seen"} {
		require.Contains(t, body, want)
	}
}

// A form that is sent back unchanged changes nothing, in either system of units.
func TestCoverFormKeepsWhatItShows(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	s.Component.ServiceC, s.Component.PressureBar, s.Component.NominalWallMM = new(6.7), new(8.6), new(7.11)
	s.Component.Height, s.Component.People, s.Component.Pools, s.Component.Note = new(2.35), 2, true, "one\ntwo "+payload
	s.Cover.ThicknessMM, s.Cover.Conductivity, s.Cover.PermeancePerm, s.Cover.SeamClock = new(25.0), new(0.038), new(0.02), new(4.5)
	s, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(t, err)
	for _, units := range []string{"IP", "SI"} {
		require.NoError(t, w.register.SetUnits(t.Context(), w.users[models.Engineer].Actor(), units))
		c := w.as(models.Engineer)
		page := c.get("/covers/" + string(s.Cover.ID) + "/edit")
		require.NotContains(t, page.body, "<script>alert")
		a := c.post("/covers", inputs(t, page.body, "/covers"))
		require.Equal(t, http.StatusSeeOther, a.status, a.body)
		now, err := w.register.Cover(t.Context(), w.users[models.Engineer].Actor(), s.Cover.ID)
		require.NoError(t, err)
		s.Cover.Version = now.Cover.Version
		require.Equal(t, s, now, units)
	}
}

func TestCoverEditIsRefused(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	far := w.cover(w.there, "V-9", models.InPlace)
	c := w.as(models.Engineer)
	form := inputs(t, c.get("/covers/"+string(s.Cover.ID)+"/edit").body, "/covers")
	require.Equal(t, http.StatusSeeOther, c.post("/covers", with(form, map[string]string{"tag": "V-1b"})).status)
	stale := c.post("/covers", with(form, map[string]string{"tag": "V-1c"}))
	require.Equal(t, http.StatusPreconditionFailed, stale.status)
	require.Contains(t, stale.body, "Somebody else saved it first")
	require.Contains(t, stale.body, "V-1c", "what was typed stays")

	form = inputs(t, c.get("/covers/"+string(s.Cover.ID)+"/edit").body, "/covers")
	require.Equal(t, http.StatusSeeOther, c.post("/covers", with(form, map[string]string{"state": "off"})).status)
	require.Contains(t, c.get("/covers/"+string(s.Cover.ID)).body, "in place, closed with tape", "only a record takes a cover off")
	form = inputs(t, c.get("/covers/"+string(s.Cover.ID)+"/edit").body, "/covers")
	require.Equal(t, http.StatusSeeOther, c.post("/covers", with(form, map[string]string{"state": "replaced"})).status)
	gone := c.get("/covers/" + string(s.Cover.ID)).body
	require.Contains(t, gone, "nothing is opened here")
	require.NotContains(t, gone, "Record an opening")

	require.Equal(t, http.StatusForbidden, w.as(models.Inspector).get("/covers/"+string(s.Cover.ID)+"/edit").status)
	require.Equal(t, http.StatusForbidden, w.as(models.Owner).post("/covers", form).status)
	engineer := w.users[models.Engineer]
	engineer.AllBuildings, engineer.Buildings = false, []models.ID{w.here.ID}
	_, err := w.register.SaveUser(t.Context(), w.users[models.Admin].Actor(), engineer)
	require.NoError(t, err)
	for _, path := range []string{"/covers/" + string(far.Cover.ID) + "/edit", "/rooms/" + string(far.Room.ID), "/rooms/new?building=" + string(w.there.ID)} {
		require.Equal(t, http.StatusNotFound, c.get(path).status, path)
	}
	require.Equal(t, http.StatusNotFound, c.post("/rooms", url.Values{"building": {string(w.there.ID)}, "name": {"X"}}).status)
}

func TestRoomAndLoopForms(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	c := w.as(models.Engineer)
	room := "/rooms/" + string(s.Room.ID)
	form := inputs(t, c.get(room).body, "/rooms")
	saved := c.post("/rooms", with(form, map[string]string{"name": "Vault", "temp": "21 C"}))
	require.Equal(t, "/covers?room="+string(s.Room.ID), saved.header.Get("Location"))
	require.Contains(t, c.get(room).body, `value="Vault"`)
	require.Equal(t, http.StatusPreconditionFailed, c.post("/rooms", form).status)
	cold := c.post("/rooms", with(inputs(t, c.get(room).body, "/rooms"), map[string]string{"temp": "-90 C"}))
	require.Equal(t, http.StatusUnprocessableEntity, cold.status)
	require.Contains(t, cold.body, "must be between -30 and 60")

	loop := with(inputs(t, c.get("/loops/new?building="+string(w.here.ID)).body, "/loops"), map[string]string{"name": "DTW", "kind": "dual"})
	hot := c.post("/loops", loop)
	require.Contains(t, hot.body, "needs the days of its hot season")
	require.Contains(t, hot.body, `href="#f-hot_season"`)
	loop = with(loop, map[string]string{"hot": "140F", "hot_season": "10-15", "hot_season_to": "04-14", "supply": "44F"})
	made := c.post("/loops", loop)
	require.Equal(t, http.StatusSeeOther, made.status, made.body)
	id := made.header.Get("Location")[len("/covers?loop="):]
	require.Contains(t, c.get("/loops/"+id).body, `value="10-15"`)
	require.Contains(t, c.get("/covers?loop="+id).body, "No cover is like that: North Hall, DTW")
}
