package server

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// far are things of the building that the actor does not see, by noun.
type far struct {
	w                                               *world
	building, room, loop, cover, opening, look, ask models.ID
}

// newFar fills the far building, as the administrator who sees everything.
func newFar(t *testing.T, w *world) far {
	t.Helper()
	c, who := w.as(models.Admin), w.users[models.Admin].Actor()
	sheet := apiCoverIn(t, w, w.there)
	loop, err := w.register.SaveLoop(t.Context(), who, models.Loop{Building: w.there.ID, Name: "CHW-F", Kind: "chilled"})
	require.NoError(t, err)
	f := far{w: w, building: w.there.ID, room: sheet.Room.ID, loop: loop.ID, cover: sheet.Cover.ID, opening: apiKey, look: lookKey}
	require.Equal(t, 201, c.api("POST", "/api/v1/openings", apiOpeningBody(f.cover, nil), "Idempotency-Key", apiKey).status)
	require.Equal(t, 201, c.api("POST", "/api/v1/looks", apiLookBody(f.cover), "Idempotency-Key", lookKey).status)
	asked, err := w.register.OpenFollowUp(t.Context(), who, models.FollowUp{Cover: f.cover, Kind: "coat", Why: "bare", By: "2026-12-25"})
	require.NoError(t, err)
	f.ask = asked.ID
	return f
}

const lookKey = "0192f0c0-1111-7000-8000-0000000000aa"

func apiLookBody(cover models.ID) string {
	return `{"cover_id":"` + string(cover) + `","on":"2026-11-24","by":"Ines","in_place":true,"drips":false,
		"places":[{"place":"long_seam","found":"lifting"}],"note":"from the walkway"}`
}

// address fills the parts of an address, or of a body, with far things.
func (f far) address(path string) string {
	for noun, id := range map[string]models.ID{"buildings": f.building, "rooms": f.room, "loops": f.loop, "covers": f.cover,
		"openings": f.opening, "looks": f.look, "follow-ups": f.ask} {
		path = strings.ReplaceAll(path, noun+"/:id", noun+"/"+string(id))
		path = strings.ReplaceAll(path, "{"+noun+"}", string(id))
	}
	return path
}

// farBodies are bodies that would be taken if the thing were in scope.
var farBodies = map[string]string{
	"PUT /api/v1/buildings/:id":         `{"name":"X","time_zone":"UTC"}`,
	"PUT /api/v1/rooms/:id":             `{"name":"X"}`,
	"PUT /api/v1/loops/:id":             `{"name":"X"}`,
	"PUT /api/v1/covers/:id":            `{"room_id":"{rooms}","tag":"X","kind":"pump","state":"in_place"}`,
	"PUT /api/v1/openings/:id":          `{"outcome":"could_not_open","not_opened":"no_access","reason":"periodic","on":"2026-11-24","opened_by":"I","amends":"x"}`,
	"POST /api/v1/rooms/:id/readings":   `{"at":"2026-11-25T10:00:00Z","temp_c":24,"relative_humidity":0.5,"by":"I"}`,
	"POST /api/v1/covers/:id/readings":  `{"on":"2026-11-24","by":"I","readings":[{"id":"` + apiKey + `","point":"top","value":7,"unit":"mm"}]}`,
	"POST /api/v1/follow-ups/:id/close": `{"record_id":"{openings}","why":"done"}`,
}

// What lies in another building does not exist: for every address with an ID in
// it, and for every other place where an ID can stand.
func TestAPIShowsNothingOfAnotherBuilding(t *testing.T) {
	w := newWorld(t)
	f := newFar(t, w)
	near := apiCoverIn(t, w, w.here)
	boss := w.users[models.Admin]
	boss.AllBuildings, boss.Buildings = false, []models.ID{w.here.ID}
	boss.Role, boss.Login, boss.ID = models.Admin, "part", models.None
	_, token, err := w.register.AddUser(t.Context(), w.users[models.Admin].Actor(), boss)
	require.NoError(t, err)
	boss, err = w.register.UseLink(t.Context(), token, testPassword)
	require.NoError(t, err)
	w.users[models.Admin] = boss
	c := w.as(models.Admin)

	call := func(method, path, body string, status int) {
		t.Helper()
		a := c.api(method, f.address(path), f.address(body), "If-Match", `"1"`, "Idempotency-Key", "0192f0c0-1111-7000-8000-0000000000bb")
		require.Equal(t, status, a.status, "%s %s %s: %s", method, path, body, a.body)
		for _, mark := range []string{"Far Laboratory", "CHW-F", string(f.cover), string(f.building)} {
			require.NotContains(t, a.body, mark, "%s %s", method, path)
		}
	}
	for _, r := range apiRoutes() {
		if !strings.Contains(r.Path, "/:id") || strings.Contains(r.Path, "/people") {
			continue // people belong to the whole organization
		}
		body := farBodies[r.Method+" "+r.Path]
		require.False(t, body == "" && r.Method != get, "give a body for %s %s", r.Method, r.Path)
		call(r.Method, r.Path, body, 404)
	}
	for _, q := range []string{"covers?building={buildings}", "covers?room={rooms}", "covers?loop={loops}", "due?building={buildings}",
		"due?room={rooms}", "follow-ups?building={buildings}", "follow-ups?cover={covers}", "events?building={buildings}"} {
		call("GET", api+q, "", 404)
	}
	for _, q := range []string{"covers", "due?months=120", "follow-ups?closed=true", "morning", "buildings", "events", "people"} {
		call("GET", api+q, "", 200)
	}
	for path, body := range map[string]string{
		"rooms":      `{"building_id":"{buildings}","name":"X"}`,
		"loops":      `{"building_id":"{buildings}","name":"X"}`,
		"covers":     `{"room_id":"{rooms}","tag":"X","kind":"pump","state":"in_place"}`,
		"openings":   apiOpeningBody(f.cover, nil),
		"looks":      apiLookBody(f.cover),
		"follow-ups": `{"cover_id":"{covers}","kind":"coat","why":"x","by":"2026-12-25"}`,
		"deferrals":  `{"cover_ids":["` + string(near.Cover.ID) + `","{covers}"],"until":"2027-01-15","reason":"x"}`,
	} {
		call("POST", api+path, body, 404)
	}
	call("PUT", api+"covers/"+string(near.Cover.ID), `{"room_id":"{rooms}","tag":"X","kind":"pump","state":"in_place"}`, 404)
	call("POST", api+"buildings", `{"name":"X","time_zone":"UTC"}`, 403) // only who sees all may add one
	a := c.send("POST", f.address("/api/v1/imports?kind=covers&building={buildings}"), "text/csv", "tag\nX\n")
	require.Equal(t, 404, a.status, a.body)
}
