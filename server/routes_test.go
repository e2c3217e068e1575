package server

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// matrix says once more, by hand and apart from the code, who may call what:
// i inspector, c crew, o owner, e engineer, a administrator, * everybody
// without an account too. A route without a line fails.
var matrix = map[string]string{
	"GET /static/:version/*file": "*",
	"GET /healthz":               "*",
	"GET /readyz":                "*",

	"GET /login":             "*",
	"POST /login":            "*",
	"POST /login/choice":     "*",
	"POST /logout":           "*",
	"GET /setup":             "*",
	"POST /setup":            "*",
	"GET /reset":             "*",
	"POST /reset":            "*",
	"GET /account":           "icoea",
	"POST /account/units":    "icoea",
	"POST /account/password": "icoea",
	"POST /account/end":      "icoea",

	"GET /": "icoea",

	"GET /covers":          "icoea",
	"GET /covers/:id":      "icoea",
	"POST /covers":         "ea",
	"GET /covers/new":      "ea",
	"GET /covers/:id/edit": "ea",
	"POST /rooms":          "ea",
	"GET /rooms/new":       "ea",
	"GET /rooms/:id":       "ea",
	"POST /loops":          "ea",
	"GET /loops/new":       "ea",
	"GET /loops/:id":       "ea",

	"GET /due": "icoea",

	"GET /reckoner":           "icoea",
	"GET /reckoner/:quantity": "icoea",

	"GET /deferrals/new": "ea",
	"POST /deferrals":    "ea",

	"GET /buildings":          "ioea",
	"POST /buildings":         "ea",
	"GET /buildings/new":      "ea",
	"GET /buildings/:id":      "ioea",
	"GET /buildings/:id/edit": "ea",

	"GET /api/v1/openapi.json":           "*",
	"GET /api/v1/me":                     "icoea",
	"GET /api/v1/morning":                "icoea",
	"GET /api/v1/buildings":              "ioea",
	"POST /api/v1/buildings":             "ea",
	"GET /api/v1/buildings/:id":          "ioea",
	"PUT /api/v1/buildings/:id":          "ea",
	"GET /api/v1/buildings/:id/trend":    "ioea",
	"GET /api/v1/buildings/:id/climates": "icoea",
	"GET /api/v1/buildings/:id/rooms":    "icoea",
	"GET /api/v1/buildings/:id/loops":    "icoea",
	"POST /api/v1/rooms":                 "ea",
	"GET /api/v1/rooms/:id":              "icoea",
	"PUT /api/v1/rooms/:id":              "ea",
	"GET /api/v1/rooms/:id/readings":     "icoea",
	"POST /api/v1/rooms/:id/readings":    "icea",
	"POST /api/v1/loops":                 "ea",
	"GET /api/v1/loops/:id":              "icoea",
	"PUT /api/v1/loops/:id":              "ea",
	"GET /api/v1/covers":                 "icoea",
	"POST /api/v1/covers":                "ea",
	"GET /api/v1/covers/:id":             "icoea",
	"PUT /api/v1/covers/:id":             "ea",
	"GET /api/v1/covers/:id/file":        "icoea",
	"GET /api/v1/covers/:id/physics":     "icoea",
	"GET /api/v1/covers/:id/looks":       "icoea",
	"GET /api/v1/covers/:id/readings":    "icoea",
	"POST /api/v1/covers/:id/readings":   "icea",
	"POST /api/v1/openings":              "icea",
	"GET /api/v1/openings/:id":           "icoea",
	"PUT /api/v1/openings/:id":           "iea",
	"GET /api/v1/openings/:id/versions":  "icoea",
	"POST /api/v1/looks":                 "icea",
	"GET /api/v1/looks/:id":              "icoea",
	"GET /api/v1/follow-ups":             "icoea",
	"POST /api/v1/follow-ups":            "iea",
	"GET /api/v1/follow-ups/:id":         "icoea",
	"POST /api/v1/follow-ups/:id/close":  "iea",
	"GET /api/v1/due":                    "icoea",
	"POST /api/v1/deferrals":             "ea",
	"POST /api/v1/imports":               "ea",
	"POST /api/v1/imports/:key/store":    "ea",
	"GET /api/v1/imports/:key/bad-rows":  "ea",
	"GET /api/v1/reckon":                 "icoea",
	"POST /api/v1/reckon/:quantity":      "icoea",
	"GET /api/v1/policy":                 "icoea",
	"PUT /api/v1/policy":                 "ea",
	"GET /api/v1/scoring":                "ea",
	"POST /api/v1/scoring":               "ea",
	"POST /api/v1/scoring/stop":          "ea",
	"POST /constants/scores":             "ea",
	"POST /constants/scores/stop":        "ea",
	"GET /api/v1/people":                 "a",
	"POST /api/v1/people":                "a",
	"GET /api/v1/people/:id":             "a",
	"PUT /api/v1/people/:id":             "a",
	"POST /api/v1/people/:id/link":       "a",
	"GET /api/v1/events":                 "a",
	"GET /api/v1/backups":                "a",
	"POST /api/v1/backups":               "a",
	"POST /api/v1/backups/:name/verify":  "a",
	"POST /api/v1/verify":                "a",

	"GET /constants":  "ea",
	"POST /constants": "ea",

	"GET /import":               "ea",
	"POST /import":              "ea",
	"POST /import/store":        "ea",
	"GET /import/bad-rows/:key": "ea",

	"GET /covers/:id/openings/new":   "icea",
	"POST /openings":                 "icea",
	"GET /openings/:id":              "icoea",
	"GET /openings/:id/amend":        "iea",
	"POST /openings/:id/amend":       "iea",
	"GET /covers/:id/looks/new":      "icea",
	"POST /looks":                    "icea",
	"GET /covers/:id/readings/new":   "icea",
	"POST /readings":                 "icea",
	"GET /held":                      "ea",
	"GET /held/:id":                  "ea",
	"POST /held/:id/release":         "ea",
	"POST /held/:id/reject":          "ea",
	"GET /follow-ups":                "icoea",
	"POST /follow-ups":               "iea",
	"GET /covers/:id/follow-ups/new": "iea",
	"GET /follow-ups/:id/close":      "iea",
	"POST /follow-ups/:id/close":     "iea",

	"GET /people":           "a",
	"POST /people":          "a",
	"GET /people/new":       "a",
	"GET /people/:id":       "a",
	"POST /people/:id":      "a",
	"POST /people/:id/link": "a",
	"POST /people/:id/end":  "a",
	"GET /backups":          "a",
	"POST /backups":         "a",
	"POST /backups/verify":  "a",
	"POST /backups/read":    "a",
	"GET /log":              "a",
}

var letters = map[models.Role]string{models.Inspector: "i", models.Crew: "c", models.Owner: "o",
	models.Engineer: "e", models.Admin: "a"}

// sample fills the parts of an address with something that does not exist.
func sample(path string) string {
	for from, to := range map[string]string{":version": "none", "*file": "none.css",
		":id": "0192f0c0-0000-7000-8000-00000000dead", ":key": "none", ":name": "none.db", ":quantity": "none"} {
		path = strings.ReplaceAll(path, from, to)
	}
	return path
}

// ending are routes that end the session they are called with.
var ending = map[string]bool{"POST /logout": true, "POST /account/end": true}

func TestEveryRouteHasALine(t *testing.T) {
	w := newWorld(t)
	engine, err := w.server.engine()
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, r := range engine.Routes() {
		seen[r.Method+" "+r.Path] = true
		require.Contains(t, matrix, r.Method+" "+r.Path, "say in matrix who may call it")
	}
	for line := range matrix {
		require.Contains(t, seen, line, "a line without a route")
	}
	for _, r := range routes {
		require.NotEmpty(t, r.Act, "%s %s has no act", r.Method, r.Path)
	}
}

func TestRolesByRoute(t *testing.T) {
	w := newWorld(t)
	clients := map[models.Role]*client{}
	for _, role := range roles {
		clients[role] = w.as(role)
	}
	for _, r := range routes {
		name := r.Method + " " + r.Path
		t.Run(name, func(t *testing.T) {
			allowed := matrix[name]
			checkNobody(t, w, r, allowed)
			for _, role := range roles {
				got := clients[role].send(r.Method, sample(r.Path), "application/x-www-form-urlencoded", "")
				if ending[name] {
					clients[role] = w.as(role)
				}
				const denied = "does not allow this"
				if allowed == "*" || strings.Contains(allowed, letters[role]) {
					require.Less(t, got.status, 500, "%s: %s", role, got.body)
					require.NotContains(t, got.body, denied, "%s", role)
					require.NotContains(t, got.header.Get("Location"), "/login?next=", "%s", role)
					continue
				}
				require.Equal(t, http.StatusForbidden, got.status, "%s", role)
				require.Contains(t, got.body, denied, "%s", role)
			}
		})
	}
}

func checkNobody(t *testing.T, w *world, r route, allowed string) {
	got := w.nobody().send(r.Method, sample(r.Path), "application/x-www-form-urlencoded", "")
	switch {
	case allowed == "*":
		require.Less(t, got.status, 500, got.body)
	case strings.HasPrefix(r.Path, "/api/") || r.Method != http.MethodGet:
		require.Equal(t, http.StatusUnauthorized, got.status)
	default:
		require.Equal(t, http.StatusSeeOther, got.status)
		require.Contains(t, got.header.Get("Location"), "/login?next=")
	}
}

// Every page of the navigation exists and is open to whom it is offered.
func TestNavigation(t *testing.T) {
	w := newWorld(t)
	for _, role := range roles {
		c := w.as(role)
		items := navFor(role, "/", true)
		require.NotEmpty(t, items)
		require.True(t, items[0].Here)
		for _, item := range items {
			got := c.get(item.Path)
			require.Equal(t, http.StatusOK, got.status, "%s %s", role, item.Path)
			require.Contains(t, got.body, `<a href="`+item.Path+`" aria-current="page">`)
		}
	}
}

func TestUnsafeRoutesNeedTheSameOrigin(t *testing.T) {
	w := newWorld(t)
	tests := []struct {
		name    string
		header  http.Header
		refused bool
	}{
		{"same origin", http.Header{"Sec-Fetch-Site": {"same-origin"}}, false},
		{"typed or bookmarked", http.Header{"Sec-Fetch-Site": {"none"}}, false},
		{"cross site", http.Header{"Sec-Fetch-Site": {"cross-site"}}, true},
		{"same site", http.Header{"Sec-Fetch-Site": {"same-site"}}, true},
		{"no headers, no browser", nil, false},
		{"origin alone, ours", http.Header{"Origin": {"https://drylag.example"}}, false},
		{"origin alone, another", http.Header{"Origin": {"https://evil.example"}}, true},
		{"origin null", http.Header{"Origin": {"null"}}, true},
	}
	for _, r := range routes {
		for _, tt := range tests {
			if r.Method == http.MethodGet {
				continue
			}
			t.Run(r.Path+" "+tt.name, func(t *testing.T) {
				c := w.nobody()
				c.header = tt.header
				got := c.send(r.Method, sample(r.Path), "application/x-www-form-urlencoded", "")
				const words = "sent from another site"
				if tt.refused {
					require.Equal(t, http.StatusForbidden, got.status)
					require.Contains(t, got.body, words)
					return
				}
				require.NotContains(t, got.body, words)
			})
		}
	}
}
