package server

import (
	"context"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// A session lasts a month at most and a week without use: a day in a basement
// loses nothing.
const (
	sessionLife = 30 * 24 * time.Hour
	sessionIdle = 7 * 24 * time.Hour
	sessionStep = time.Hour // how exactly the last use is kept
)

// What a session holds.
const (
	userKey  = "user"
	epochKey = "epoch" // of the user when he logged in
	beganKey = "began" // Unix seconds
	seenKey  = "seen"  // Unix seconds
	saidKey  = "said"  // what the next page says first
)

// newSessions keeps sessions in the database by the hash of their token, so
// that a copy of the database opens none.
func newSessions(reg *register.Register, secure bool, trouble func(http.ResponseWriter, *http.Request, error)) *scs.SessionManager {
	m := scs.New()
	m.Store = rows{reg}
	m.HashTokenInStore = true
	m.Codec = scs.GobCodec{}
	m.Lifetime = sessionLife
	m.ErrorFunc = trouble
	m.Cookie.Name = cookieName(secure)
	m.Cookie.Secure = secure
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	m.Cookie.Path = "/"
	return m
}

// cookieName has the prefix that binds a cookie to this host and to TLS; a
// browser refuses it over plain HTTP.
func cookieName(secure bool) string {
	if secure {
		return "__Host-drylag"
	}
	return "drylag"
}

// withSession loads the session before next and keeps it afterwards. Static
// files are the same for everybody: they get an empty one that is not kept.
func (s *Server) withSession(next http.Handler) http.Handler {
	kept := s.sessions.LoadAndSave(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.HasPrefix(r.URL.Path, staticPath) {
			kept.ServeHTTP(w, r)
			return
		}
		ctx, err := s.sessions.Load(r.Context(), "")
		if err != nil {
			s.sessionTrouble(w, r, err)
			return
		}
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// sessionTrouble answers where the session itself cannot be read or kept.
func (s *Server) sessionTrouble(w http.ResponseWriter, r *http.Request, err error) {
	s.log.Error("session", "err", err)
	w.Header().Set("Retry-After", retryAfter)
	http.Error(w, "drylag cannot read its sessions just now. Try again in a moment.", http.StatusServiceUnavailable)
}

// identify finds who sends the request. An account that was disabled, has
// ended or was logged out everywhere is nobody from its next request on.
func (s *Server) identify(c *gin.Context) {
	ctx := c.Request.Context()
	user := models.ID(s.sessions.GetString(ctx, userKey))
	if user == models.None {
		return
	}
	if s.stale(ctx) {
		s.end(c)
		return
	}
	a, err := s.register.Actor(ctx, user, s.sessions.GetInt(ctx, epochKey))
	switch {
	case err == nil:
		c.Set(actorKey, a)
	case models.KindOf(err) == models.SignIn:
		s.end(c)
	default:
		c.Abort()
		s.fail(c, err)
	}
}

// stale tells whether the session is past its limits, and notes that it is in
// use.
func (s *Server) stale(ctx context.Context) bool {
	now := s.register.Now()
	began := time.Unix(s.sessions.GetInt64(ctx, beganKey), 0)
	seen := time.Unix(s.sessions.GetInt64(ctx, seenKey), 0)
	if now.Sub(began) > sessionLife || now.Sub(seen) > sessionIdle {
		return true
	}
	if now.Sub(seen) > sessionStep {
		s.sessions.Put(ctx, seenKey, now.Unix())
	}
	return false
}

// start makes the request's session the user's, under a new token.
func (s *Server) start(c *gin.Context, u models.User) error {
	ctx := c.Request.Context()
	if err := s.sessions.RenewToken(ctx); err != nil {
		return err
	}
	now := s.register.Now().Unix()
	s.sessions.Put(ctx, userKey, string(u.ID))
	s.sessions.Put(ctx, epochKey, u.Epoch)
	s.sessions.Put(ctx, beganKey, now)
	s.sessions.Put(ctx, seenKey, now)
	return nil
}

// end ends the request's session; whoever sent it is nobody now.
func (s *Server) end(c *gin.Context) {
	if err := s.sessions.Destroy(c.Request.Context()); err != nil {
		s.log.Error("end session", "request", requestID(c), "err", err)
	}
	c.Set(actorKey, models.Actor{})
}

// said leaves a sentence for the top of the next page.
func (s *Server) said(c *gin.Context, sentence string) {
	s.sessions.Put(c.Request.Context(), saidKey, sentence)
}

// loopback tells whether the browser runs on this machine and also asked for
// it by a name of this machine; a page elsewhere whose name was pointed here
// did not.
func loopback(c *gin.Context) bool {
	host := c.Request.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	here := host == "localhost" || (ip != nil && ip.IsLoopback())
	return here && net.ParseIP(c.RemoteIP()).IsLoopback()
}

// rows is register as scs wants its store.
type rows struct{ register *register.Register }

func (r rows) FindCtx(ctx context.Context, hash string) ([]byte, bool, error) {
	return r.register.FindSession(ctx, hash)
}

func (r rows) CommitCtx(ctx context.Context, hash string, content []byte, until time.Time) error {
	return r.register.KeepSession(context.WithoutCancel(ctx), hash, content, until)
}

func (r rows) DeleteCtx(ctx context.Context, hash string) error {
	return r.register.DropSession(context.WithoutCancel(ctx), hash)
}

func (r rows) Find(hash string) ([]byte, bool, error) { return r.FindCtx(context.Background(), hash) }

func (r rows) Commit(hash string, content []byte, until time.Time) error {
	return r.CommitCtx(context.Background(), hash, content, until)
}

func (r rows) Delete(hash string) error { return r.DeleteCtx(context.Background(), hash) }
