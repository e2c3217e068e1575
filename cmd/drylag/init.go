package main

import (
	"fmt"
	"time"

	"drylag/models/store"
)

// initCommand makes a data folder.
type initCommand struct {
	folder
	Link string `help:"Address at which people will reach the service, for the printed link." env:"DRYLAG_URL" default:"http://127.0.0.1:8080"`
}

// Run makes the folder if there is none and prints a set-up link as long as no
// administrator exists.
func (c *initCommand) Run(w world) error {
	st, err := store.Create(w.ctx, store.Config{Dir: c.Dir, Log: newLog(w.err, false), Now: time.Now})
	if err != nil {
		return err
	}
	defer st.Close()
	token, err := newRegister(st, nil, time.Now).SetupLink(w.ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "Data folder: %s\nOpen this link once, within 24 hours, to make the first administrator:\n  %s/setup?key=%s\nThen keep the service running with: drylag serve --dir %s\n", c.Dir, c.Link, token, c.Dir)
	return nil
}
