package server

import (
	"context"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// Keys under which a request keeps what the middleware found.
const (
	requestKey = "request"
	actorKey   = "actor"
)

// begin gives the request its id, writes its line in the log and catches what
// panics. The log names the route, never the address as typed: a one-time link
// carries its secret there.
func (s *Server) begin(c *gin.Context) {
	start := time.Now()
	c.Set(requestKey, rand.Text())
	c.Header("X-Request-Id", requestID(c))
	defer s.access(c, start)
	defer s.recover(c)
	c.Next()
}

func (s *Server) access(c *gin.Context, start time.Time) {
	route := c.FullPath()
	if route == "" {
		route = "none"
	}
	s.log.LogAttrs(context.WithoutCancel(c.Request.Context()), slog.LevelInfo, "request",
		slog.String("request", requestID(c)),
		slog.String("method", c.Request.Method),
		slog.String("route", route),
		slog.Int("status", c.Writer.Status()),
		slog.Int("bytes", c.Writer.Size()),
		slog.Duration("took", time.Since(start)),
		slog.String("addr", c.ClientIP()),
		slog.String("user", string(actor(c).ID)))
}

func (s *Server) recover(c *gin.Context) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler {
		panic(p) // the net/http way to drop a connection
	}
	s.log.Error("panic", "request", requestID(c), "route", c.FullPath(), "err", fmt.Sprint(p), "stack", string(debug.Stack()))
	c.Abort()
	if !c.Writer.Written() {
		s.fail(c, fmt.Errorf("panic: %v", p))
	}
}

// policy is the content security policy: everything from here, nothing inline.
const policy = "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// headers sets what every answer carries. Referrer-Policy is same-origin, not
// no-referrer: with the latter a form sends "Origin: null" and, without TLS,
// would be taken for another site's.
func (s *Server) headers(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store")
	if s.config.Secure {
		h.Set("Strict-Transport-Security", "max-age=31536000")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
	}
}

// sameOrigin refuses unsafe requests that another site's page sends.
func (s *Server) sameOrigin(c *gin.Context) {
	if err := s.cross.Check(c.Request); err != nil {
		c.Abort()
		s.fail(c, &models.Error{Kind: models.Denied, Err: err,
			Msg: "This was sent from another site’s page, so nothing was done. Open drylag and send it from there."})
	}
}

// guard is what stands before every handler: the cap on the body, and whether
// the actor may do this act at all. Buildings are register's to check.
func (s *Server) guard(r route) gin.HandlerFunc {
	most := r.Body
	if most == 0 {
		most = formBytes
	}
	return func(c *gin.Context) {
		if r.Act != public {
			if err := actor(c).May(r.Act); err != nil {
				s.fail(c, err)
				return
			}
		}
		if c.Request.ContentLength > most {
			s.fail(c, &http.MaxBytesError{Limit: most})
			return
		}
		c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, most)
		if most > formBytes {
			s.slow(c)
		}
		if err := r.Do(s, c); err != nil {
			s.fail(c, err)
		}
	}
}

// slow gives a request the time that a large body or a check of the whole
// database takes.
func (s *Server) slow(c *gin.Context) {
	until := time.Now().Add(uploadTime)
	control := http.NewResponseController(c.Writer)
	for _, set := range []func(time.Time) error{control.SetReadDeadline, control.SetWriteDeadline} {
		if err := set(until); err != nil {
			s.log.Debug("deadline", "request", requestID(c), "err", err)
		}
	}
}

func (s *Server) nothingHere(c *gin.Context) {
	s.fail(c, models.Errorf(models.Missing, "There is no page at this address."))
}

func (s *Server) wrongMethod(c *gin.Context) {
	s.fail(c, errMethod)
}

// requestID names the request in the log and on error pages.
func requestID(c *gin.Context) string { return c.GetString(requestKey) }

// actor is who sends the request; the zero Actor where nobody is logged in.
func actor(c *gin.Context) models.Actor {
	a, _ := c.Value(actorKey).(models.Actor)
	return a
}
