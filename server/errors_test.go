package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestTold(t *testing.T) {
	secret := errors.New("SELECT password FROM users: /srv/drylag.db")
	tests := []struct {
		name   string
		err    error
		status int
		msg    string
	}{
		{"nobody classified it", secret, 500, "as it was before"},
		{"classified as internal", &models.Error{Kind: models.Internal, Msg: "disk", Err: secret}, 500, "as it was before"},
		{"invalid", &models.Error{Kind: models.Invalid, Msg: "1 answer needs a look."}, 422, "1 answer"},
		{"missing", models.Errorf(models.Missing, "There is no such cover."), 404, "no such cover"},
		{"wrapped", fmt.Errorf("cover V-12: %w", models.Errorf(models.Missing, "gone")), 404, "gone"},
		{"conflict", models.Errorf(models.Conflict, "taken"), 409, "taken"},
		{"stale", models.Errorf(models.Stale, "changed"), 412, "changed"},
		{"needs version", models.Errorf(models.NeedsVersion, "which"), 428, "which"},
		{"sign in", models.Errorf(models.SignIn, "log in"), 401, "log in"},
		{"denied", models.Errorf(models.Denied, "no"), 403, "no"},
		{"too many", models.Errorf(models.TooMany, "wait"), 429, "wait"},
		{"busy", &models.Error{Kind: models.Busy, Msg: "busy", Err: secret}, 503, "busy"},
		{"full", models.Errorf(models.Full, "full"), 507, "full"},
		{"too large", fmt.Errorf("read: %w", &http.MaxBytesError{Limit: 1 << 20}), 413, "1 MB"},
		{"no form", fmt.Errorf("%w: %w", errUnparsed, secret), 400, "not a form"},
		{"took too long", fmt.Errorf("query: %w", context.DeadlineExceeded), 503, "too long"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			status, msg, _ := told(tt.err)
			require.Equal(t, tt.status, status)
			require.Contains(t, msg, tt.msg)
			require.NotContains(t, msg, "SELECT")
			require.Contains(t, titles, status)
		})
	}
}

// RFC 9457 section 3.1: the members and that status repeats the HTTP status.
func TestProblem(t *testing.T) {
	w := newWorld(t)
	crossSite := w.nobody()
	crossSite.header.Set("Sec-Fetch-Site", "cross-site")
	tests := []struct {
		name   string
		got    answer
		status int
	}{
		{"no such address", w.nobody().get("/api/v1/nothing-here"), 404},
		{"from another site", crossSite.post("/api/v1/nothing-here", nil), 403},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.status, tt.got.status)
			require.Equal(t, "application/problem+json", tt.got.header.Get("Content-Type"))
			var p problem
			d := json.NewDecoder(strings.NewReader(tt.got.body))
			d.DisallowUnknownFields()
			require.NoError(t, d.Decode(&p))
			require.Equal(t, problem{Type: "about:blank", Title: http.StatusText(tt.status), Status: tt.status,
				Detail: p.Detail, Request: tt.got.header.Get("X-Request-Id")}, p)
			require.NotEmpty(t, p.Detail)
			require.NotEmpty(t, p.Request)
		})
	}
}

func TestProblemNamesFaults(t *testing.T) {
	w := newWorld(t)
	rec := httptest.NewRecorder()
	c, _ := gin.CreateTestContext(rec)
	c.Request = httptest.NewRequest(http.MethodPost, "/api/v1/openings", nil)
	w.server.fail(c, models.Faults{{Field: "moisture", Msg: "Say what was found."}}.Err())
	require.Equal(t, 422, rec.Code)
	require.Contains(t, rec.Body.String(), `"faults":[{"field":"moisture","message":"Say what was found."}]`)
}

func TestErrorPagesSayWhatToDo(t *testing.T) {
	w := newWorld(t)
	tests := []struct {
		name   string
		got    answer
		status int
		want   string
	}{
		{"no such page, logged out", w.nobody().get("/nowhere"), 404, "To the log-in"},
		{"no such page, logged in", w.as(models.Owner).get("/nowhere"), 404, "Back to the morning sheet"},
		{"not allowed", w.as(models.Owner).get("/people"), 403, "owner"},
		{"wrong method", w.as(models.Owner).post("/log", nil), 405, "does not take"},
		{"session over while typing", w.nobody().post("/account/units", nil), 401, "still on the page before"},
		{"no such person", w.as(models.Admin).get("/people/0192f0c0-0000-7000-8000-00000000dead"), 404, "Nothing here"},
		{"no such place in the log", w.as(models.Admin).get("/log?before=abc"), 404, "no such place"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.status, tt.got.status)
			require.Contains(t, tt.got.body, tt.want)
		})
	}
}

// A panic becomes a page without its cause; the cause is in the log under the
// number on the page.
func TestPanic(t *testing.T) {
	w := newWorld(t)
	e := gin.New()
	e.Use(w.server.begin)
	e.GET("/bang", func(*gin.Context) { panic("secret of the machine room") })
	rec := httptest.NewRecorder()
	w.server.withSession(e).ServeHTTP(rec, httptest.NewRequest(http.MethodGet, "/bang", nil))
	require.Equal(t, 500, rec.Code)
	require.NotContains(t, rec.Body.String(), "machine room")
	id := rec.Header().Get("X-Request-Id")
	require.Contains(t, rec.Body.String(), id)
	require.Contains(t, w.logged(), "secret of the machine room")
	require.Contains(t, w.logged(), id)
}
