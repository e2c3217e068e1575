package server

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/web"
)

const apiKey = "0192f0c0-1111-7000-8000-000000000001"

// contract is the description of the API, and what holds answers to it.
type contract struct {
	t      *testing.T
	router routers.Router
}

func newContract(t *testing.T) contract {
	doc, err := openapi3.NewLoader().LoadFromData(web.OpenAPI())
	require.NoError(t, err)
	require.NoError(t, doc.Validate(t.Context()))
	doc.Servers = nil
	router, err := gorillamux.NewRouter(doc)
	require.NoError(t, err)
	return contract{t, router}
}

// call sends a request and holds the answer to the description.
func (k contract) call(c *client, method, path, body string, header ...string) answer {
	k.t.Helper()
	c.header = http.Header{"Sec-Fetch-Site": {"same-origin"}}
	for i := 0; i < len(header); i += 2 {
		c.header.Set(header[i], header[i+1])
	}
	kind := ""
	if body != "" {
		kind = "application/json"
	}
	a := c.send(method, path, kind, body)
	r, err := http.NewRequest(method, "https://drylag.example"+path, strings.NewReader(body))
	require.NoError(k.t, err)
	r.Header = c.header.Clone()
	r.Header.Set("Content-Type", kind)
	route, params, err := k.router.FindRoute(r)
	require.NoError(k.t, err, "%s %s is not described", method, path)
	in := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route},
		Status:                 a.status, Header: a.header, Body: io.NopCloser(bytes.NewBufferString(a.body))}
	require.NoError(k.t, openapi3filter.ValidateResponse(k.t.Context(), in), "%s %s %d: %s", method, path, a.status, a.body)
	return a
}

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
	k, c := newContract(t), w.as(models.Inspector)

	list := k.call(c, "GET", "/api/v1/covers?limit=10", "")
	require.Equal(t, 200, list.status, list.body)
	require.Contains(t, list.body, "CHW-7")
	require.NotContains(t, list.body, string(there.Cover.ID), "the other building does not exist for this inspector")
	require.Equal(t, 422, k.call(c, "GET", "/api/v1/covers?limit=9000", "").status)
	require.Equal(t, 200, k.call(c, "GET", "/api/v1/buildings", "").status)

	made := k.call(c, "POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey)
	require.Equal(t, 201, made.status, made.body)
	again := k.call(c, "POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey)
	require.Equal(t, made.body, again.body, "the same again gives the same answer")
	other := k.call(c, "POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, map[string]any{"moisture": "dry"}), "Idempotency-Key", apiKey)
	require.Equal(t, 422, other.status, other.body)

	cover := k.call(c, "GET", "/api/v1/covers/"+string(here.Cover.ID), "")
	require.Equal(t, 200, cover.status)
	require.Contains(t, cover.body, apiKey)
	tag := cover.header.Get("ETag")
	require.Equal(t, 304, c.sendWith("GET", "/api/v1/covers/"+string(here.Cover.ID), "If-None-Match", tag).status)
	require.Equal(t, 404, k.call(c, "GET", "/api/v1/covers/"+string(there.Cover.ID), "").status)
	require.Equal(t, 404, k.call(c, "POST", "/api/v1/openings", apiOpeningBody(there.Cover.ID, nil), "Idempotency-Key", "0192f0c0-1111-7000-8000-000000000002").status)
}

func TestAPIRefusesInWords(t *testing.T) {
	w := newWorld(t)
	here := apiCoverIn(t, w, w.here)
	k, c := newContract(t), w.as(models.Inspector)
	for _, bad := range []struct{ name, body, want string }{
		{"no answer on moisture", apiOpeningBody(here.Cover.ID, map[string]any{"moisture": ""}), `"field":"moisture"`},
		{"a word that is none", apiOpeningBody(here.Cover.ID, map[string]any{"blanket": "soggy"}), `"field":"blanket"`},
		{"a field that is not known", apiOpeningBody(here.Cover.ID, map[string]any{"recorder": "me"}), "recorder"},
		{"set by the service", apiOpeningBody(here.Cover.ID, map[string]any{"wet": false}), "set by the service"},
		{"text for a number", apiOpeningBody(here.Cover.ID, map[string]any{"minutes": "many"}), "minutes"},
		{"no JSON", "{", "not the JSON"},
		{"two values", apiOpeningBody(here.Cover.ID, nil) + "{}", "more than one value"},
	} {
		a := k.call(c, "POST", "/api/v1/openings", bad.body, "Idempotency-Key", apiKey)
		require.Equal(t, 422, a.status, "%s: %s", bad.name, a.body)
		require.Contains(t, a.body, bad.want, bad.name)
		require.Equal(t, "application/problem+json", a.header.Get("Content-Type"))
	}
	require.Equal(t, 404, k.call(c, "GET", "/api/v1/openings/"+apiKey, "").status, "nothing was stored")
}

func TestAPIAmendsByVersion(t *testing.T) {
	w := newWorld(t)
	here := apiCoverIn(t, w, w.here)
	k, c := newContract(t), w.as(models.Inspector)
	require.Equal(t, 201, k.call(c, "POST", "/api/v1/openings", apiOpeningBody(here.Cover.ID, nil), "Idempotency-Key", apiKey).status)
	path := "/api/v1/openings/" + apiKey
	fixed := apiOpeningBody("", map[string]any{"rust_grade": "Ri 2", "amends": "wrong row read"})
	require.Equal(t, 428, k.call(c, "PUT", path, fixed).status)
	require.Equal(t, 200, k.call(c, "PUT", path, fixed, "If-Match", `"1"`).status)
	require.Equal(t, 412, k.call(c, "PUT", path, fixed, "If-Match", `"1"`).status)
	now := k.call(c, "GET", path, "")
	require.Contains(t, now.body, `"Ri 2"`)
	require.Equal(t, `"2"`, now.header.Get("ETag"))
}

// sendWith is a request with one header more.
func (c *client) sendWith(method, path, header, value string) answer {
	c.header = http.Header{"Sec-Fetch-Site": {"same-origin"}, http.CanonicalHeaderKey(header): {value}}
	return c.send(method, path, "", "")
}
