package server

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

const apiKey = "0192f0c0-1111-7000-8000-000000000001"

// apiCoverIn makes a cover in a building of the world.
func apiCoverIn(t *testing.T, w *world, b models.Building) models.CoverSheet {
	t.Helper()
	who := w.users[models.Admin].Actor()
	room, err := w.register.SaveRoom(t.Context(), who, models.Room{Building: b.ID, Name: "Plant room"})
	require.NoError(t, err)
	s, err := w.register.SaveCover(t.Context(), who, models.CoverSheet{
		Component: models.Component{Room: room.ID, Tag: "CHW-7", Kind: "flange_pair"},
		Cover:     models.Cover{State: models.InPlace, Fitted: "2024-03-01", Closure: "tape"}})
	require.NoError(t, err)
	return s
}

func apiOpeningBody(cover models.ID, change map[string]any) string {
	body := map[string]any{"cover_id": cover, "outcome": "opened", "reason": "periodic", "on": "2026-11-24", "opened_by": "Ines",
		"moisture": "wet", "blanket": "damp", "rust_scale": "ri", "rust_grade": "Ri 3", "closing_metal": "dry", "closing_blanket": "replaced",
		"closing_water": "running", "closing_cover": "same", "places": []map[string]string{
			{"place": "long_seam", "found": "open", "left": "renewed"}, {"place": "near_end", "left": "renewed"},
			{"place": "far_end", "left": "renewed"}, {"place": "edges_corners", "left": "renewed"}, {"place": "facing", "left": "undisturbed"}}}
	for k, v := range change {
		body[k] = v
	}
	text, err := json.Marshal(body)
	if err != nil {
		panic(err)
	}
	return string(text)
}

func TestAPIKeepsItsDescription(t *testing.T) {
	w := newWorld(t)
	here, there := apiCoverIn(t, w, w.here), apiCoverIn(t, w, w.there)
	c := w.as(models.Inspector)

	list := c.api("GET", "/api/v1/covers?limit=10", "")
	require.Equal(t, 200, list.status, list.body)
	require.Contains(t, list.body, "CHW-7")
	require.NotContains(t, list.body, string(there.Cover.ID), "the other building does not exist for this inspector")
	require.Equal(t, 422, c.api("GET", "/api/v1/covers?limit=9000", "").status)
	require.Equal(t, 200, c.api("GET", "/api/v1/buildings", "").status)

	made := c.api("POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey)
	require.Equal(t, 201, made.status, made.body)
	again := c.api("POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey)
	require.Equal(t, made.body, again.body, "the same again gives the same answer")
	other := c.api("POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, map[string]any{"moisture": "dry"}), "Idempotency-Key", apiKey)
	require.Equal(t, 422, other.status, other.body)

	cover := c.api("GET", "/api/v1/covers/"+string(here.Cover.ID), "")
	require.Equal(t, 200, cover.status)
	require.Contains(t, c.api("GET", "/api/v1/covers/"+string(here.Cover.ID)+"/file", "").body, apiKey)
	tag := cover.header.Get("ETag")
	require.Equal(t, 304, c.sendWith("GET", "/api/v1/covers/"+string(here.Cover.ID), "If-None-Match", tag).status)
	require.Equal(t, 404, c.api("GET", "/api/v1/covers/"+string(there.Cover.ID), "").status)
	require.Equal(t, 404, c.api("POST", "/api/v1/openings", apiOpeningBody(there.Cover.ID, nil), "Idempotency-Key", "0192f0c0-1111-7000-8000-000000000002").status)
}

func TestAPIRefusesInWords(t *testing.T) {
	w := newWorld(t)
	here := apiCoverIn(t, w, w.here)
	c := w.as(models.Inspector)
	for _, bad := range []struct{ name, body, want string }{
		{"no answer on moisture", apiOpeningBody(here.Cover.ID, map[string]any{"moisture": ""}), `"field":"moisture"`},
		{"a word that is none", apiOpeningBody(here.Cover.ID, map[string]any{"blanket": "soggy"}), `"field":"blanket"`},
		{"a field that is not known", apiOpeningBody(here.Cover.ID, map[string]any{"recorder": "me"}), `"field":"recorder"`},
		{"set by the service", apiOpeningBody(here.Cover.ID, map[string]any{"wet": false}), "set by the service"},
		{"text for a number", apiOpeningBody(here.Cover.ID, map[string]any{"minutes": "many"}), `"field":"minutes","message":"expects a number"`},
		{"no JSON", "{", "is not JSON"},
		{"two values", apiOpeningBody(here.Cover.ID, nil) + "{}", "after top-level value"},
	} {
		a := c.api("POST", "/api/v1/openings", bad.body, "Idempotency-Key", apiKey)
		require.Equal(t, 422, a.status, "%s: %s", bad.name, a.body)
		require.Contains(t, a.body, bad.want, bad.name)
		require.Equal(t, "application/problem+json", a.header.Get("Content-Type"))
	}
	require.Equal(t, 404, c.api("GET", "/api/v1/openings/"+apiKey, "").status, "nothing was stored")
}

func TestAPIAmendsByVersion(t *testing.T) {
	w := newWorld(t)
	here := apiCoverIn(t, w, w.here)
	c := w.as(models.Inspector)
	require.Equal(t, 201, c.api("POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey).status)
	path := "/api/v1/openings/" + apiKey
	fixed := apiOpeningBody("", map[string]any{"rust_grade": "Ri 2", "amends": "wrong row read"})
	require.Equal(t, 428, c.api("PUT", path, fixed).status)
	require.Equal(t, 200, c.api("PUT", path, fixed, "If-Match", `"1"`).status)
	require.Equal(t, 412, c.api("PUT", path, fixed, "If-Match", `"1"`).status)
	now := c.api("GET", path, "")
	require.Contains(t, now.body, `"Ri 2"`)
	require.Equal(t, `"2"`, now.header.Get("ETag"))
}

// sendWith is a request with one header more.
func (c *client) sendWith(method, path, header, value string) answer {
	c.header = http.Header{"Sec-Fetch-Site": {"same-origin"}, http.CanonicalHeaderKey(header): {value}}
	return c.send(method, path, "", "")
}
