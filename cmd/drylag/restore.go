package main

import (
	"fmt"

	"drylag/models/store"
)

// restoreCommand makes a data folder from a backup.
type restoreCommand struct {
	folder
	File string `arg:"" type:"existingfile" help:"Backup file; its .sha256 lies beside it."`
}

// Run checks the backup and puts it into an empty folder; it overwrites nothing.
func (c *restoreCommand) Run(w world) error {
	info, err := store.Restore(w.ctx, c.File, c.Dir)
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "Restored %d events into %s; run drylag verify --dir %s\n", info.Head.Seq, c.Dir, c.Dir)
	return nil
}
