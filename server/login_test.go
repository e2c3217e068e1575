package server

import (
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func fmtInt(n int) string { return strconv.Itoa(n) }

func TestWrongLogin(t *testing.T) {
	w := newWorld(t)
	for _, login := range []string{"owner", "nobody-of-that-name"} {
		c := w.nobody()
		a := c.post("/login", url.Values{"login": {login}, "password": {"wrong-canary"}, "next": {"/log"}})
		require.Equal(t, http.StatusUnauthorized, a.status)
		require.Contains(t, a.body, `value="`+login+`"`, "what was typed is kept")
		require.Contains(t, a.body, `name="next" value="/log"`)
		require.NotContains(t, a.body, "wrong-canary", "a password never comes back")
		require.False(t, c.in())
	}
}

func TestLoginLeadsToWhereOneWanted(t *testing.T) {
	tests := []struct{ next, want string }{
		{"", "/"},
		{"/log?before=12", "/log?before=12"},
		{"https://evil.example/", "/"},
		{"//evil.example", "/"},
		{`/\evil.example`, "/"},
		{"javascript:alert(1)", "/"},
		{"/log\r\nSet-Cookie: a=b", "/"},
	}
	w := newWorld(t)
	for _, tt := range tests {
		t.Run(tt.next, func(t *testing.T) {
			a := w.nobody().post("/login", url.Values{"login": {"admin"}, "password": {testPassword}, "next": {tt.next}})
			require.Equal(t, http.StatusSeeOther, a.status)
			require.Equal(t, tt.want, a.header.Get("Location"))
		})
	}
	a := w.nobody().get("/log?before=12")
	require.Equal(t, "/login?next=%2Flog%3Fbefore%3D12", a.header.Get("Location"))
}

// A choice without a password is offered and taken in a demo, on the machine
// itself, under a name of the machine itself.
func TestDemoChoice(t *testing.T) {
	choice := func(c *Config) {
		c.Choices = []Choice{{Login: "owner", Password: testPassword, Say: "Owner of all this"}}
	}
	tests := []struct {
		name, addr, host string
		demo, offered    bool
	}{
		{"demo on loopback", "127.0.0.1:5000", "127.0.0.1:8080", true, true},
		{"demo on localhost", "127.0.0.1:5000", "localhost:8080", true, true},
		{"demo on IPv6 loopback", "[::1]:5000", "[::1]:8080", true, true},
		{"demo from the network", "192.0.2.7:5000", "192.0.2.1:8080", true, false},
		{"demo from the network, forged host", "192.0.2.7:5000", "localhost:8080", true, false},
		{"a foreign name pointed at loopback", "127.0.0.1:5000", "evil.example:8080", true, false},
		{"no demo", "127.0.0.1:5000", "localhost:8080", false, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := newWorld(t, choice, func(c *Config) { c.Demo = tt.demo })
			c := w.nobody()
			c.addr = tt.addr
			c.header.Set("Host", tt.host)
			page := c.get("/login").body
			a := c.post("/login/choice", url.Values{"choice": {"owner"}})
			if tt.offered {
				require.Contains(t, page, "Owner of all this")
				require.Equal(t, http.StatusSeeOther, a.status)
				require.True(t, c.in())
				require.Contains(t, c.get("/").body, "Demo data.")
				return
			}
			require.NotContains(t, page, "Owner of all this")
			require.Equal(t, http.StatusNotFound, a.status)
			require.False(t, c.in())
		})
	}
}

func TestSetupIsDoneOnce(t *testing.T) {
	w := newWorld(t) // its administrator exists
	_, err := w.register.SetupLink(t.Context())
	require.Equal(t, models.Conflict, models.KindOf(err))
	for _, key := range []string{"", "made-up"} {
		a := w.nobody().post("/setup", url.Values{"key": {key}, "login": {"eve"}, "name": {"Eve"},
			"password": {testPassword}, "password_again": {testPassword}})
		require.GreaterOrEqual(t, a.status, 400)
		require.Less(t, a.status, 500)
	}
	a := w.nobody().post("/login", url.Values{"login": {"eve"}, "password": {testPassword}})
	require.Equal(t, http.StatusUnauthorized, a.status)
}

var linkInPage = regexp.MustCompile(`value="https://drylag\.example(/reset\?key=[^"]+)"`)

func TestOneTimeLink(t *testing.T) {
	w := newWorld(t)
	admin := w.as(models.Admin)
	a := admin.post("/people", url.Values{"login": {"new"}, "name": {"New Person"}, "role": {"inspector"},
		"buildings": {string(w.here.ID)}})
	require.Equal(t, http.StatusOK, a.status, a.body)
	require.Equal(t, "no-store", a.header.Get("Cache-Control"))
	found := linkInPage.FindStringSubmatch(a.body)
	require.NotNil(t, found, a.body)
	link, err := url.Parse(found[1])
	require.NoError(t, err)
	key := link.Query().Get("key")

	c := w.nobody()
	require.Contains(t, c.get(found[1]).body, `name="key" value="`+key+`"`)
	form := url.Values{"key": {key}, "password": {"a fresh cold valve"}, "password_again": {"a fresh warm valve"}}
	a = c.post("/reset", form)
	require.Equal(t, http.StatusUnprocessableEntity, a.status)
	require.Contains(t, a.body, `href="#f-password_again"`)
	form.Set("password_again", "a fresh cold valve")
	require.Equal(t, http.StatusSeeOther, c.post("/reset", form).status)
	require.True(t, c.in())

	again := w.nobody()
	require.Equal(t, http.StatusNotFound, again.post("/reset", form).status, "the link works once")
	require.False(t, again.in())
	require.NotContains(t, admin.get("/people").body, key)
}
