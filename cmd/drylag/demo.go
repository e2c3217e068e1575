package main

import (
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"time"

	"drylag/models/demo"
	"drylag/models/register"
	"drylag/models/store"
	"drylag/server"
)

// demoCommand shows an invented campus.
type demoCommand struct {
	Addr string `help:"Listen address; log-in choices are offered to this machine only." default:"127.0.0.1:8080"`
	Dir  string `help:"Data folder; fresh under the temporary folder if none is given." type:"path"`
}

// Run builds the campus in a fresh folder and serves it.
func (c *demoCommand) Run(w world) error {
	dir, err := c.freshDir()
	if err != nil {
		return err
	}
	log := newLog(w.err, false)
	st, err := store.Create(w.ctx, store.Config{Dir: dir, Log: log, Now: time.Now})
	if err != nil {
		return err
	}
	defer st.Close()
	choices, err := buildDemo(w, st)
	if err != nil {
		return err
	}
	reg := newRegister(st, log, time.Now)
	s, err := server.New(reg, server.Config{Demo: true, Choices: choices, Log: log})
	if err != nil {
		return err
	}
	ln, err := net.Listen("tcp", c.Addr)
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "Demo data in %s\nOpen http://%s and choose who you are.\n", dir, ln.Addr())
	return keepAndServe(w.ctx, s, reg, ln, log)
}

// freshDir is a folder that did not exist before.
func (c *demoCommand) freshDir() (string, error) {
	if c.Dir == "" {
		base, err := os.MkdirTemp("", "drylag-demo-")
		return filepath.Join(base, "data"), err
	}
	if _, err := os.Stat(c.Dir); err == nil {
		return "", fmt.Errorf("%s exists: the demo wants a fresh folder; use drylag serve --dir %s for an existing one", c.Dir, c.Dir)
	}
	return c.Dir, nil
}

// buildDemo fills the record with the invented campus, each act on its own day.
func buildDemo(w world, st *store.Store) ([]server.Choice, error) {
	quiet := slog.New(slog.DiscardHandler)
	at := func(now func() time.Time) *register.Register { return newRegister(st, quiet, now) }
	people, err := demo.Build(w.ctx, at, time.Now(), func(done string) { fmt.Fprintln(w.out, done) })
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	choices := make([]server.Choice, len(people))
	for i, p := range people {
		choices[i] = server.Choice{Login: p.Login, Password: p.Password, Say: p.Say}
	}
	return choices, nil
}
