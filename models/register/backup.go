package register

import (
	"context"
	"errors"
	"time"

	"drylag/models"
	"drylag/models/store"
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

// BackupsKept is how many backups of Backup stay; older ones are removed. Those
// made before an upgrade are not counted and stay.
const BackupsKept = 14

const backupForm = "20060102T150405Z"

// Backup writes a backup and reads it back, and keeps the newest BackupsKept.
func (r *Register) Backup(ctx context.Context, a models.Actor) (BackupFile, error) {
	if err := a.May(models.ActBackup); err != nil {
		return BackupFile{}, err
	}
	name := r.Now().Format(backupForm) + ".db"
	info, err := r.store.Backup(ctx, r.store.BackupPath(name))
	if err != nil {
		return BackupFile{}, err
	}
	made := BackupFile{Name: name, At: info.At, Bytes: info.Bytes, Verified: r.Now()}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		return tx.AppendEvent(ctx, r.event(a, "backup made", "backup", models.ID(name), models.None,
			map[string]any{"sha256": info.SHA256, "head": info.Head.Hash, "events": info.Head.Seq}))
	})
	if err != nil {
		return made, err
	}
	return made, r.prune(ctx)
}

// prune removes all but the newest backups that Backup made.
func (r *Register) prune(ctx context.Context) error {
	list, err := r.store.Backups(ctx)
	if err != nil {
		return err
	}
	kept, errs := 0, []error(nil)
	for _, b := range list {
		if _, err := time.Parse(backupForm+".db", b.Name); err != nil {
			continue
		}
		if kept++; kept > BackupsKept {
			errs = append(errs, r.store.RemoveBackup(ctx, b.Name))
		}
	}
	return errors.Join(errs...)
}

// Backups lists the backups, newest first.
func (r *Register) Backups(ctx context.Context, a models.Actor) ([]BackupFile, error) {
	if err := a.May(models.ActBackup); err != nil {
		return nil, err
	}
	list, err := r.store.Backups(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]BackupFile, len(list))
	for i, b := range list {
		out[i] = BackupFile{Name: b.Name, At: b.At, Bytes: b.Bytes}
		events, err := r.store.Events(ctx, store.EventFilter{Of: models.ID(b.Name), Limit: 1})
		if err != nil {
			return nil, err
		}
		if len(events) > 0 {
			out[i].Verified = events[0].At
		}
	}
	return out, nil
}

// VerifyBackup reads one backup back; Conflict says what is wrong with it.
func (r *Register) VerifyBackup(ctx context.Context, a models.Actor, name string) (BackupFile, error) {
	if err := a.May(models.ActBackup); err != nil {
		return BackupFile{}, err
	}
	list, err := r.store.Backups(ctx)
	if err != nil {
		return BackupFile{}, err
	}
	for _, b := range list {
		if b.Name != name {
			continue
		}
		if _, err := store.VerifyBackup(ctx, r.store.BackupPath(name)); err != nil {
			return BackupFile{}, err
		}
		err := r.store.Write(ctx, func(tx *store.Tx) error {
			return tx.AppendEvent(ctx, r.event(a, "backup verified", "backup", models.ID(name), models.None, nil))
		})
		return BackupFile{Name: b.Name, At: b.At, Bytes: b.Bytes, Verified: r.Now()}, err
	}
	return BackupFile{}, missing("backup")
}

// Verify checks the whole database, its guards, the chain of events, and that
// openings and looks still say what they said when they were recorded.
func (r *Register) Verify(ctx context.Context, a models.Actor) (Health, error) {
	if err := a.May(models.ActBackup); err != nil {
		return Health{}, err
	}
	report, err := r.store.Verify(ctx)
	if err != nil {
		return Health{}, err
	}
	h := Health{Head: report.Head.Hash, Events: report.Events}
	h.Findings = append(append(h.Findings, report.Damage...), report.Guards...)
	if report.BadEvent != "" {
		h.Findings = append(h.Findings, report.BadEvent)
	}
	changed, err := r.changedRecords(ctx)
	if err != nil {
		return h, err
	}
	h.Findings = append(h.Findings, changed...)
	h.OK = len(h.Findings) == 0
	return h, nil
}
