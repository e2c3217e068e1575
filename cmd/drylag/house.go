package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"time"

	"github.com/google/uuid"

	"drylag/models"
	"drylag/models/register"
	"drylag/models/store"
)

// house is an open data folder with the program's acts over it.
type house struct {
	store    *store.Store
	register *register.Register
}

// openHouse opens an existing data folder. Without one it is an error that says
// to run init.
func openHouse(ctx context.Context, dir string, log *slog.Logger) (*house, error) {
	st, err := store.Open(ctx, store.Config{Dir: dir, Log: log, Now: time.Now})
	if err != nil {
		return nil, err
	}
	return &house{st, newRegister(st, log, time.Now)}, nil
}

func newRegister(st *store.Store, log *slog.Logger, now func() time.Time) *register.Register {
	return register.New(st, register.Options{Now: now, NewID: newID, Log: log})
}

func (h *house) close() error { return h.store.Close() }

// inHouse does something in an existing data folder and closes it again.
func inHouse(w world, dir string, do func(*house) error) (err error) {
	h, err := openHouse(w.ctx, dir, newLog(w.err, false))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.close()) }()
	return do(h)
}

// newID makes a UUIDv7: ordered by time, so that rows lie in the order in which
// they came.
func newID() models.ID {
	id, err := uuid.NewV7()
	if err != nil { // the system's random source is gone: nothing sensible can be stored
		panic("no random numbers: " + err.Error())
	}
	return models.ID(id.String())
}

// newLog writes events for the operator, as text or JSON lines.
func newLog(w io.Writer, asJSON bool) *slog.Logger {
	if asJSON {
		return slog.New(slog.NewJSONHandler(w, nil))
	}
	return slog.New(slog.NewTextHandler(w, nil))
}

// operator is the account of whoever sits at the machine's console: all
// buildings, all acts. Its events carry the name "console".
func operator() models.Actor {
	return models.Actor{ID: "console", Name: "console", Login: "console", Role: models.Admin, All: true, Units: "SI"}
}
