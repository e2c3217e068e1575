package server

import (
	"bufio"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// The headers on every answer: ASVS 5.0.0 3.4.1 to 3.4.8 and 14.3.2.
func TestHeaders(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Admin)
	for _, r := range routes {
		if r.Method != http.MethodGet {
			continue
		}
		h := c.get(sample(r.Path)).header
		csp := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'"} {
			require.Contains(t, csp, want, r.Path)
		}
		require.NotContains(t, csp, "unsafe", r.Path)
		require.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), r.Path)
		require.Equal(t, "same-origin", h.Get("Referrer-Policy"), r.Path)
		require.Equal(t, "max-age=31536000", h.Get("Strict-Transport-Security"), r.Path)
		require.Contains(t, h.Get("Cache-Control"), "no-store", r.Path)
	}
}

func TestStatic(t *testing.T) {
	w := newWorld(t)
	now, err := w.server.static.url("style.css")
	require.NoError(t, err)
	a := w.nobody().get(now)
	require.Equal(t, http.StatusOK, a.status)
	require.Equal(t, "public, max-age=31536000, immutable", a.header.Get("Cache-Control"))
	require.Equal(t, "text/css; charset=utf-8", a.header.Get("Content-Type"))
	require.Empty(t, a.header.Get("Set-Cookie"))

	zipped := w.nobody()
	zipped.header.Set("Accept-Encoding", "gzip, br")
	z := zipped.get(now)
	require.Equal(t, "gzip", z.header.Get("Content-Encoding"))
	r, err := gzip.NewReader(strings.NewReader(z.body))
	require.NoError(t, err)
	plain, err := io.ReadAll(r)
	require.NoError(t, err)
	require.Equal(t, a.body, string(plain))

	old := w.nobody().get("/static/0123456789ab/style.css")
	require.Equal(t, http.StatusOK, old.status)
	require.Equal(t, "no-cache", old.header.Get("Cache-Control"), "an earlier version is never kept under its address")

	_, err = w.server.static.url("missing.css")
	require.Error(t, err)
	for _, path := range []string{"/static/x/../../go.mod", "/static/x/%2e%2e/web.go", "/static/x/", "/static/x/none.css"} {
		require.Equal(t, http.StatusNotFound, w.nobody().get(path).status, path)
	}
}

// A page with everything it needs is light: look.md, under 150 kB first load.
func TestWeight(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Admin)
	c.header.Set("Accept-Encoding", "gzip")
	total := len(c.get("/").body)
	for _, name := range []string{"style.css", "chart.css", "app.js", "icon.svg"} {
		at, err := w.server.static.url(name)
		require.NoError(t, err)
		total += len(c.get(at).body)
	}
	require.Less(t, total, 30_000)
}

func TestBodyCap(t *testing.T) {
	w := newWorld(t)
	large := "login=" + strings.Repeat("a", formBytes)
	for _, r := range routes {
		if r.Method == http.MethodGet || r.Act != public || r.Body > 0 {
			continue
		}
		t.Run(r.Path, func(t *testing.T) {
			for name, body := range map[string]io.Reader{"length given": strings.NewReader(large), "length hidden": io.MultiReader(strings.NewReader(large))} {
				req := httptest.NewRequest(r.Method, "https://drylag.example"+r.Path, body)
				req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				rec := httptest.NewRecorder()
				w.server.Handler().ServeHTTP(rec, req)
				if name == "length given" || r.Path != "/logout" && r.Path != "/login/choice" { // these read no form
					require.Equal(t, http.StatusRequestEntityTooLarge, rec.Code, name)
				}
			}
		})
	}
}

func TestUnreadableForm(t *testing.T) {
	w := newWorld(t)
	a := w.nobody().send(http.MethodPost, "/login", "application/x-www-form-urlencoded", "login=%zz")
	require.Equal(t, http.StatusBadRequest, a.status)
}

// No secret reaches the log, whatever field or address carries it.
func TestLogHoldsNoSecret(t *testing.T) {
	w := newWorld(t)
	const canary = "canary-4711"
	c := w.nobody()
	c.header.Set("Authorization", "Bearer "+canary)
	c.cookie = cookieName(true) + "=" + canary
	c.get("/reset?key=" + canary)
	c.get("/setup?key=" + canary)
	c.get("/" + canary)
	c.post("/reset", url.Values{"key": {canary}, "password": {canary}, "password_again": {canary}})
	c.post("/setup", url.Values{"key": {canary}, "login": {"eve"}, "name": {"Eve"}, "password": {canary}, "password_again": {canary}})
	c.post("/login?password="+canary, url.Values{"login": {canary}, "password": {canary}})
	in := w.as(models.Owner)
	in.post("/account/password", url.Values{"old_password": {canary}, "password": {canary + canary}, "password_again": {canary + canary}})
	_, token, _ := strings.Cut(in.cookie, "=")
	got := w.logged()
	require.Contains(t, got, `"route":"/reset"`)
	require.NotContains(t, got, canary)
	require.NotContains(t, got, token)
	require.NotContains(t, got, testPassword)
}

func TestLogLinesStayLines(t *testing.T) {
	w := newWorld(t)
	c := w.nobody()
	c.header.Set("X-Forwarded-For", "1.2.3.4\nlevel=ERROR forged")
	c.post("/login", url.Values{"login": {"x\r\nforged"}, "password": {"y"}})
	for line := range strings.Lines(w.logged()) {
		require.True(t, strings.HasPrefix(line, "{"), line)
	}
}

// The client's address is the socket's unless a listed proxy says otherwise.
func TestClientAddress(t *testing.T) {
	tests := []struct {
		name    string
		proxies []string
		want    string
	}{
		{"no proxy listed", nil, "192.0.2.7"},
		{"another proxy listed", []string{"198.51.100.1"}, "192.0.2.7"},
		{"this proxy listed", []string{"192.0.2.0/24"}, "203.0.113.9"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := newWorld(t, func(c *Config) { c.Proxies = tt.proxies })
			c := w.nobody()
			c.header.Set("X-Forwarded-For", "203.0.113.9")
			c.header.Set("X-Real-Ip", "203.0.113.10")
			c.get("/login")
			require.Contains(t, w.logged(), `"addr":"`+tt.want+`"`)
		})
	}
	_, err := New(nil, Config{Proxies: []string{"no address"}})
	require.Error(t, err)
}

func TestHealth(t *testing.T) {
	w := newWorld(t)
	require.Equal(t, "live\n", w.nobody().get("/healthz").body)
	require.Equal(t, http.StatusOK, w.nobody().get("/readyz").status)
	w.server.closing.Store(true)
	require.Equal(t, http.StatusServiceUnavailable, w.nobody().get("/readyz").status)
	require.Equal(t, http.StatusOK, w.nobody().get("/healthz").status, "alive until it ends")
}

// Reading changes nothing: no event after all GETs.
func TestGetChangesNothing(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Admin)
	health, err := w.register.Verify(t.Context(), w.users[models.Admin].Actor())
	require.NoError(t, err)
	for _, r := range routes {
		if r.Method == http.MethodGet {
			c.get(sample(r.Path))
		}
	}
	after, err := w.register.Verify(t.Context(), w.users[models.Admin].Actor())
	require.NoError(t, err)
	require.Equal(t, health.Head, after.Head)
}

// Shutting down, the server finishes the request it has begun.
func TestServeFinishesWhatItBegan(t *testing.T) {
	w := newWorld(t, func(c *Config) { c.Log = slog.New(slog.DiscardHandler) })
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() { served <- w.server.Serve(ctx, ln) }()

	conn, err := net.Dial("tcp", ln.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	body := "login=admin&password=wrong"
	_, err = fmt.Fprintf(conn, "POST /login HTTP/1.1\r\nHost: localhost\r\nExpect: 100-continue\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\n\r\n", len(body))
	require.NoError(t, err)
	in := bufio.NewReader(conn)
	line, err := in.ReadString('\n') // the handler is reading the body by now
	require.NoError(t, err)
	require.Contains(t, line, "100 Continue")
	stop()
	_, err = io.WriteString(conn, body)
	require.NoError(t, err)
	_, err = in.ReadString('\n')
	require.NoError(t, err)
	resp, err := http.ReadResponse(in, nil)
	require.NoError(t, err)
	require.NoError(t, resp.Body.Close())
	require.Equal(t, http.StatusUnauthorized, resp.StatusCode)
	require.NoError(t, <-served)
	_, err = net.Dial("tcp", ln.Addr().String())
	require.Error(t, err, "nothing listens any more")
}
