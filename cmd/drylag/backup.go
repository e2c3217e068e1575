package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"drylag/models/store"
)

// backupCommand writes a copy of the record to a file.
type backupCommand struct {
	folder
	File string `arg:"" help:"New file; it must not exist yet." type:"path"`
}

// Run copies through the database's own means, reads the copy back, and only
// then gives it its name.
func (c *backupCommand) Run(w world) error {
	if _, err := os.Stat(c.File); err == nil {
		return fmt.Errorf("%s exists already: name a new file", c.File)
	}
	st, err := store.Open(w.ctx, store.Config{Dir: c.Dir, Log: newLog(w.err, false), Now: time.Now})
	if err != nil {
		return err
	}
	defer st.Close()
	if _, err := st.Backup(w.ctx, c.File); err != nil {
		return err
	}
	fmt.Fprintf(w.out, "Backup written and read back: %s\n", c.File)
	return nil
}

// verifyCommand checks the record.
type verifyCommand struct{ folder }

// Run walks the database, its guards and the chain of events, and fails on the
// first thing that is not as it should be.
func (c *verifyCommand) Run(w world) error {
	return inHouse(w, c.Dir, func(h *house) error { return verify(w, h) })
}

func verify(w world, h *house) error {
	health, err := h.register.Verify(w.ctx, operator())
	if err != nil {
		return err
	}
	for _, f := range health.Findings {
		fmt.Fprintln(w.out, f)
	}
	if !health.OK {
		return errors.New("the record is damaged: restore the last good backup")
	}
	fmt.Fprintf(w.out, "The record is whole: %d events, head %s\n", health.Events, health.Head)
	return nil
}
