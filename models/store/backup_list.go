package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"drylag/models"
)

// BackupName is a backup in the data folder, not read back.
type BackupName struct {
	Name string
	BackupInfo
}

// Backups lists the backups in the data folder, newest name first.
func (s *Store) Backups(ctx context.Context) ([]BackupName, error) {
	entries, err := os.ReadDir(s.BackupPath(""))
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, diskError(s.BackupPath(""), err)
	}
	var list []BackupName
	for _, e := range entries {
		if e.IsDir() || !strings.HasSuffix(e.Name(), ".db") {
			continue
		}
		stat, err := e.Info()
		if err != nil {
			return nil, diskError(e.Name(), err)
		}
		list = append(list, BackupName{e.Name(), BackupInfo{File: s.BackupPath(e.Name()), Bytes: stat.Size(), At: stat.ModTime().UTC()}})
	}
	slices.Reverse(list) // ReadDir sorts by name, and names begin with their time
	return list, ctx.Err()
}

// RemoveBackup removes one backup of the data folder with its check sum.
func (s *Store) RemoveBackup(_ context.Context, name string) error {
	if name == "" || filepath.Base(name) != name {
		return models.Errorf(models.Missing, "There is no backup %q.", name)
	}
	file := s.BackupPath(name)
	return errors.Join(remove(file), remove(file+sumSuffix))
}
