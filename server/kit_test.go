package server

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/register"
	"drylag/models/store"
)

// world is a whole service over a real store in a folder of its own: two
// buildings and a person in each role. People other than the engineer and the
// administrator see the first building only.
type world struct {
	t        *testing.T
	server   *Server
	register *register.Register
	mu       sync.Mutex
	now      time.Time
	log      bytes.Buffer
	here     models.Building
	there    models.Building
	users    map[models.Role]models.User
}

const testPassword = "a cold valve at noon"

var roles = []models.Role{models.Inspector, models.Crew, models.Owner, models.Engineer, models.Admin}

func newWorld(t *testing.T, change ...func(*Config)) *world {
	t.Helper()
	w := &world{t: t, now: time.Date(2026, 11, 25, 10, 43, 0, 0, time.UTC), users: map[models.Role]models.User{}}
	ctx := context.Background()
	st, err := store.Create(ctx, store.Config{Dir: t.TempDir(), Now: w.clock})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	logger := slog.New(slog.NewJSONHandler(&lockedBuffer{w: w}, nil))
	n := 0
	w.register = register.New(st, register.Options{Now: w.clock, Log: logger, NewID: func() models.ID {
		n++
		return models.ID(fmt.Sprintf("0192f0c0-0000-7000-8000-%012d", n))
	}})
	cfg := Config{Secure: true, Log: logger}
	for _, f := range change {
		f(&cfg)
	}
	w.server, err = New(w.register, cfg)
	require.NoError(t, err)
	w.people(ctx)
	return w
}

// people makes the administrator as the set-up does and the others as he does.
func (w *world) people(ctx context.Context) {
	t := w.t
	token, err := w.register.SetupLink(ctx)
	require.NoError(t, err)
	admin, err := w.register.Setup(ctx, token, "admin", "Ada Admin", testPassword)
	require.NoError(t, err)
	w.users[models.Admin] = admin
	for name, b := range map[string]*models.Building{"North Hall": &w.here, "Far Laboratory": &w.there} {
		*b, err = w.register.SaveBuilding(ctx, admin.Actor(), models.Building{Name: name, TimeZone: "America/New_York", Currency: "$"})
		require.NoError(t, err)
	}
	for _, role := range roles[:4] {
		u := models.User{Login: string(role), Name: "Pat " + string(role), Role: role, Units: "IP",
			AllBuildings: role == models.Engineer, Buildings: []models.ID{w.here.ID}}
		if role == models.Crew {
			u.Until = "2027-11-25"
		}
		u, token, err := w.register.AddUser(ctx, admin.Actor(), u)
		require.NoError(t, err)
		u, err = w.register.UseLink(ctx, token, testPassword)
		require.NoError(t, err)
		w.users[role] = u
	}
}

func (w *world) clock() time.Time {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

// later moves the clock on.
func (w *world) later(d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = w.now.Add(d)
}

// logged is what the log holds so far.
func (w *world) logged() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.log.String()
}

type lockedBuffer struct{ w *world }

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.w.mu.Lock()
	defer b.w.mu.Unlock()
	return b.w.log.Write(p)
}

// client is a browser with one cookie jar.
type client struct {
	w      *world
	cookie string
	header http.Header // sent with every request
	addr   string
}

// nobody is a browser that is not logged in.
func (w *world) nobody() *client {
	return &client{w: w, header: http.Header{"Sec-Fetch-Site": {"same-origin"}}, addr: "192.0.2.7:4711"}
}

// as is a browser in which the person of that role is logged in.
func (w *world) as(role models.Role) *client {
	w.t.Helper()
	c := w.nobody()
	a := c.post("/login", url.Values{"login": {w.users[role].Login}, "password": {testPassword}})
	require.Equal(w.t, http.StatusSeeOther, a.status, a.body)
	return c
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	body   string
}

func (c *client) get(path string) answer { return c.send(http.MethodGet, path, "", "") }

func (c *client) post(path string, form url.Values) answer {
	return c.send(http.MethodPost, path, "application/x-www-form-urlencoded", form.Encode())
}

// send sends any request, keeps the cookie, and holds every page to the rules
// for pages and every call of the API to its description.
func (c *client) send(method, path, kind, body string) answer {
	c.w.t.Helper()
	r := httptest.NewRequest(method, "https://drylag.example"+path, strings.NewReader(body))
	r.RemoteAddr = c.addr
	for k, v := range c.header {
		r.Header[k] = v
	}
	if h := r.Header.Get("Host"); h != "" {
		r.Host = h
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	if c.cookie != "" {
		r.Header.Set("Cookie", c.cookie)
	}
	rec := httptest.NewRecorder()
	c.w.server.Handler().ServeHTTP(rec, r)
	for _, ck := range rec.Result().Cookies() {
		c.cookie = ck.Name + "=" + ck.Value
	}
	a := answer{status: rec.Code, header: rec.Header(), body: rec.Body.String()}
	plain := a.header.Get("Content-Encoding") == "" && a.status != http.StatusSeeOther
	if plain && strings.HasPrefix(r.URL.Path, api) {
		keepsDescription(c.w.t, r, body, a)
	}
	if plain && strings.HasPrefix(a.header.Get("Content-Type"), "text/html") {
		require.Empty(c.w.t, pageFaults(a.body), "%s %s", method, path)
	}
	return a
}
