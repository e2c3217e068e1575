package register

import (
	"context"
	"time"

	"drylag/models"
)

// BackupFile is one backup that lies in the data folder.
type BackupFile struct {
	Name     string
	At       time.Time
	Bytes    int64
	Verified time.Time // last read back and found whole, zero: never
}

// Health is the answer of Verify.
type Health struct {
	OK       bool
	Head     string   // hash of the last event
	Events   int64    // how many
	Findings []string // what is wrong, in words
}

// BackupsKept is how many backups stay; older ones are removed.
const BackupsKept = 14

// Backup writes and reads back a backup, and keeps the newest BackupsKept.
func (r *Register) Backup(ctx context.Context, a models.Actor) (BackupFile, error) {
	return BackupFile{}, errUnfinished
}

// Backups lists the backups, newest first.
func (r *Register) Backups(ctx context.Context, a models.Actor) ([]BackupFile, error) {
	return nil, errUnfinished
}

// Verify checks the whole database, its guards and the chain of events.
func (r *Register) Verify(ctx context.Context, a models.Actor) (Health, error) {
	return Health{}, errUnfinished
}

// EventFilter narrows the event log. Empty fields do not narrow.
type EventFilter struct {
	Before   int64 // events older than this number, 0: the newest
	Building models.ID
	Of       models.ID // subject
	Actor    models.ID
	Limit    int // 0: 100
}

// Events is a stretch of the event log, newest first.
func (r *Register) Events(ctx context.Context, a models.Actor, f EventFilter) ([]models.Event, error) {
	return nil, errUnfinished
}
