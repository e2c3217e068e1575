package server

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestCookie(t *testing.T) {
	tests := []struct {
		name   string
		secure bool
		cookie string
	}{
		{"over TLS", true, "__Host-drylag"},
		{"plain HTTP", false, "drylag"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := newWorld(t, func(c *Config) { c.Secure = tt.secure })
			c := w.nobody()
			a := c.post("/login", url.Values{"login": {"admin"}, "password": {testPassword}})
			ck, err := http.ParseSetCookie(a.header.Get("Set-Cookie"))
			require.NoError(t, err)
			require.Equal(t, tt.cookie, ck.Name)
			require.Equal(t, tt.secure, ck.Secure)
			require.True(t, ck.HttpOnly)
			require.Equal(t, http.SameSiteLaxMode, ck.SameSite)
			require.Equal(t, "/", ck.Path)
			require.Empty(t, ck.Domain)
			require.GreaterOrEqual(t, len(ck.Value), 22, "128 bit in base64") // ASVS 7.2.3
			require.Equal(t, !tt.secure, strings.Contains(c.get("/").body, "Not encrypted."))
		})
	}
}

func TestSessionIsStoredByItsHash(t *testing.T) {
	w := newWorld(t)
	_, token, _ := strings.Cut(w.as(models.Owner).cookie, "=")
	ctx := context.Background()
	_, found, err := w.register.FindSession(ctx, token)
	require.NoError(t, err)
	require.False(t, found)
	hash := sha256.Sum256([]byte(token))
	_, found, err = w.register.FindSession(ctx, base64.RawURLEncoding.EncodeToString(hash[:]))
	require.NoError(t, err)
	require.True(t, found)
}

// in tells whether the client is logged in.
func (c *client) in() bool { return c.get("/account").status == http.StatusOK }

func TestSessionEnds(t *testing.T) {
	day := 24 * time.Hour
	tests := []struct {
		name  string
		role  models.Role
		do    func(w *world, c *client)
		still bool
	}{
		{"nothing happens", models.Owner, func(*world, *client) {}, true},
		{"six days unused", models.Owner, func(w *world, _ *client) { w.later(6 * day) }, true},
		{"a week and a bit unused", models.Owner, func(w *world, _ *client) { w.later(7*day + time.Minute) }, false},
		{"29 days, used daily", models.Owner, func(w *world, c *client) { useDaily(w, c, 29) }, true},
		{"31 days, used daily", models.Owner, func(w *world, c *client) { useDaily(w, c, 31) }, false},
		{"logged out everywhere from another device", models.Owner, func(w *world, _ *client) {
			w.as(models.Owner).post("/account/end", nil)
		}, false},
		{"password changed on another device", models.Owner, func(w *world, _ *client) {
			a := w.as(models.Owner).post("/account/password", url.Values{"old_password": {testPassword},
				"password": {"another cold valve"}, "password_again": {"another cold valve"}})
			require.Equal(w.t, http.StatusSeeOther, a.status, a.body)
		}, false},
		{"the administrator ends the sessions", models.Owner, func(w *world, _ *client) {
			w.as(models.Admin).post("/people/"+string(w.users[models.Owner].ID)+"/end", nil)
		}, false},
		{"the administrator ends the access", models.Owner, func(w *world, _ *client) {
			w.edit(models.Owner, url.Values{"disabled": {"yes"}})
		}, false},
		{"the last day of access has passed", models.Crew, func(w *world, _ *client) {
			w.edit(models.Crew, url.Values{"until": {"2026-11-26"}})
			w.later(3 * day)
		}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := newWorld(t)
			c := w.as(tt.role)
			require.True(t, c.in())
			tt.do(w, c)
			require.Equal(t, tt.still, c.in())
		})
	}
}

func useDaily(w *world, c *client, days int) {
	for range days {
		w.later(24 * time.Hour)
		c.get("/account")
	}
}

// edit saves a person's page as the administrator, with some fields changed.
func (w *world) edit(role models.Role, change url.Values) {
	w.t.Helper()
	u := w.users[role]
	form := url.Values{"name": {u.Name}, "role": {string(u.Role)}, "version": {fmtInt(u.Version)}}
	for _, b := range u.Buildings {
		form.Add("buildings", string(b))
	}
	for k, v := range change {
		form[k] = v
	}
	a := w.as(models.Admin).post("/people/"+string(u.ID), form)
	require.Equal(w.t, http.StatusSeeOther, a.status, a.body)
}

func TestLoginMakesANewToken(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Owner)
	before := c.cookie
	a := c.post("/login", url.Values{"login": {"owner"}, "password": {testPassword}})
	require.Equal(t, http.StatusSeeOther, a.status)
	require.NotEqual(t, before, c.cookie)
	old := w.nobody()
	old.cookie = before
	require.False(t, old.in(), "the token from before the log-in is dead")
}

func TestLogoutKillsTheToken(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Owner)
	old := w.nobody()
	old.cookie = c.cookie
	a := c.post("/logout", nil)
	require.Equal(t, "/login?out=1", a.header.Get("Location"))
	require.False(t, old.in())
	require.Contains(t, c.get("/login?out=1").body, "You are logged out.")
}

// A new role acts on the next request: what the person held before is over.
func TestRoleChangeActsOnTheNextRequest(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	w.edit(models.Engineer, url.Values{"role": {"owner"}})
	require.NotEqual(t, http.StatusOK, c.get("/").status)
	w.edit(models.Owner, url.Values{"role": {"admin"}, "all_buildings": {"yes"}})
	require.Equal(t, http.StatusOK, w.as(models.Owner).get("/people").status)
}
