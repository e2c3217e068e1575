package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"drylag/models/reckon"
)

// reckonCommand answers engineering questions, one JSON line each.
type reckonCommand struct {
	File     string `arg:"" optional:"" help:"File of JSON lines; standard input where it is left out or -."`
	Climates string `help:"Folder of climates that a line may name: hour tables (.csv) and EPW files." default:"." type:"path"`
}

// Run answers every line, with an error where one cannot be answered; it fails
// where the file or the folder cannot be read.
func (c *reckonCommand) Run(w world) error {
	folder, err := os.OpenRoot(c.Climates)
	if err != nil {
		return fmt.Errorf("climates: %w", err)
	}
	defer folder.Close()
	shelf := reckon.NewShelf(folder.FS(), filepath.Base(c.Climates))
	if c.File == "" || c.File == "-" {
		// Nothing is open that an interrupt could harm, and a read from a
		// terminal can be ended by nothing else.
		signal.Reset(os.Interrupt, syscall.SIGTERM)
		return reckon.Lines(w.ctx, os.Stdin, w.out, shelf)
	}
	return reckonFile(w.ctx, c.File, w.out, shelf)
}

func reckonFile(ctx context.Context, name string, out io.Writer, shelf *reckon.Shelf) error {
	file, err := os.Open(name)
	if err != nil {
		return err
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return &fs.PathError{Op: "read", Path: name, Err: syscall.EISDIR}
	}
	return reckon.Lines(ctx, file, out, shelf)
}
