// Package server is drylag's HTTP edge: routes, sessions, pages and the JSON
// API. A handler reads, calls register and shows; rules, queries and arithmetic
// live behind register, so that pages, phones, imports and commands cannot
// differ.
package server

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"drylag/models/register"
)

// Limits of the HTTP server. A page or a form takes moments; a photo over a
// bad link may take minutes, and routes with a larger body get uploadTime.
const (
	headerTime   = 5 * time.Second
	readTime     = 30 * time.Second
	writeTime    = 60 * time.Second
	idleTime     = 2 * time.Minute
	uploadTime   = 10 * time.Minute
	shutdownTime = 20 * time.Second
	headerBytes  = 32 << 10
	formBytes    = 1 << 20 // of a body, where the route does not say more
)

// Config is what a Server takes from the command line.
type Config struct {
	Secure  bool     // reached over TLS, its own or a proxy's
	Proxies []string // addresses or networks whose X-Forwarded-For is believed
	Demo    bool     // an invented campus: every page says so
	Choices []Choice // accounts offered on the log-in page of a demo
	Log     *slog.Logger
}

// Choice is an account that a demo offers at its log-in page. It is shown to
// browsers on the same machine only.
type Choice struct {
	Login, Password string
	Say             string // "Inspector: opens covers in the basement"
}

// Server answers HTTP requests over one Register.
type Server struct {
	register *register.Register
	config   Config
	log      *slog.Logger
	pages    pages
	static   static
	sessions *scs.SessionManager
	cross    *http.CrossOriginProtection
	handler  http.Handler
	closing  atomic.Bool
	held     heldFiles
}

// New makes a Server. It errs on a template that does not parse and on a proxy
// that is no address, so that a wrong build or flag stops the start.
func New(reg *register.Register, cfg Config) (*Server, error) {
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{register: reg, config: cfg, log: cfg.Log, cross: http.NewCrossOriginProtection()}
	var err error
	if s.static, err = loadStatic(); err != nil {
		return nil, fmt.Errorf("static files: %w", err)
	}
	if s.pages, err = loadPages(s.static); err != nil {
		return nil, fmt.Errorf("templates: %w", err)
	}
	s.sessions = newSessions(reg, cfg.Secure, s.sessionTrouble)
	engine, err := s.engine()
	if err != nil {
		return nil, err
	}
	s.handler = s.withSession(engine)
	return s, nil
}

// engine is gin with the routes of the table and nothing else.
func (s *Server) engine() (*gin.Engine, error) {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.HandleMethodNotAllowed = true
	e.RedirectTrailingSlash = false
	if err := e.SetTrustedProxies(s.config.Proxies); err != nil {
		return nil, fmt.Errorf("trusted proxies: %w", err)
	}
	e.Use(s.begin, s.headers, s.identify, s.sameOrigin)
	e.NoRoute(s.nothingHere)
	e.NoMethod(s.wrongMethod)
	for _, r := range routes {
		e.Handle(r.Method, r.Path, s.guard(r))
	}
	return e, nil
}

// Handler answers requests; tests and Serve use the same one.
func (s *Server) Handler() http.Handler { return s.handler }

// Serve answers on ln until ctx ends, then lets requests in flight finish.
func (s *Server) Serve(ctx context.Context, ln net.Listener) error {
	srv := &http.Server{
		Handler:           s.handler,
		ReadHeaderTimeout: headerTime,
		ReadTimeout:       readTime,
		WriteTimeout:      writeTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    headerBytes,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	served := make(chan error, 1)
	go func() { served <- srv.Serve(ln) }()
	select {
	case err := <-served:
		return fmt.Errorf("serve: %w", err)
	case <-ctx.Done():
	}
	s.closing.Store(true)
	err := s.shutdown(ctx, srv)
	<-served // Serve has returned before the caller closes the store
	return err
}

func (s *Server) shutdown(ctx context.Context, srv *http.Server) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
	defer cancel()
	if err := srv.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("shut down: %w", err), srv.Close())
	}
	return nil
}
