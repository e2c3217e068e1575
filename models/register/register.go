// Package register is what drylag does: one method per act. Each checks the
// actor's role and buildings, validates, and stores in one transaction with its
// event. Pages, the phones' sync, imports and commands call the same methods,
// so they cannot differ.
//
// A record outside the actor's buildings is Missing, exactly as one that does
// not exist.
package register

import (
	"log/slog"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// Options are what a Register takes from its surroundings.
type Options struct {
	Now   func() time.Time // the clock
	NewID func() models.ID // a fresh UUIDv7
	Log   *slog.Logger     // nil: nothing is logged
}

// Register is the program's acts over one store. It is safe for concurrent use.
type Register struct {
	store   *store.Store
	now     func() time.Time
	newID   func() models.ID
	log     *slog.Logger
	guard   *guard
	turns   turnstile
	fleet   fleet
	keeper  keeper
	pass    *pass
	years   yearCache
	bares   bareCache
	waiting waiting
}

// New makes a Register. Options.Now and Options.NewID must be given.
func New(st *store.Store, o Options) *Register {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return &Register{store: st, now: o.Now, newID: o.NewID, log: o.Log, guard: newGuard(), turns: make(turnstile, hashesAtOnce),
		pass: newPass()}
}

// Now is the instant it is, in UTC, to the millisecond: as exact as it is kept.
func (r *Register) Now() time.Time { return r.now().UTC().Truncate(time.Millisecond) }

// NewID makes the ID of a record that is about to be begun.
func (r *Register) NewID() models.ID { return r.newID() }

// Today is the day it is in the building's time zone.
func (r *Register) Today(b models.Building) models.Date {
	return models.DateOf(r.now(), b.Zone())
}
