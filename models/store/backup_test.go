package store

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func TestBackupComesBackWhole(t *testing.T) {
	st := history(t)
	file := st.BackupPath("one.db")
	info, err := st.Backup(t.Context(), file)
	require.NoError(t, err)
	head, err := st.Head(t.Context())
	require.NoError(t, err)
	require.Equal(t, head, info.Head)

	dir := filepath.Join(t.TempDir(), "new")
	restored, err := Restore(t.Context(), file, dir)
	require.NoError(t, err)
	require.Equal(t, info, restored)
	back, err := Open(t.Context(), testConfig(dir))
	require.NoError(t, err)
	defer back.Close()
	tables := append([]string{"buildings", "rooms", "loops", "components", "covers", "scores", "follow_ups"}, appendOnly...)
	require.Equal(t, counts(t, st, tables...), counts(t, back, tables...))
	want, err := st.Material(t.Context(), "c1")
	require.NoError(t, err)
	got, err := back.Material(t.Context(), "c1")
	require.NoError(t, err)
	require.Equal(t, want, got)

	_, err = Restore(t.Context(), file, dir)
	requireKind(t, models.Conflict, err)
	_, err = st.Backup(t.Context(), file)
	requireKind(t, models.Conflict, err)
}

func TestChangedBackupIsFound(t *testing.T) {
	st := history(t)
	file := st.BackupPath("one.db")
	_, err := st.Backup(t.Context(), file)
	require.NoError(t, err)
	whole, err := os.ReadFile(file)
	require.NoError(t, err)
	for i := range 25 {
		at := i * (len(whole) - 1) / 24 // from the first byte to the last
		bad := append([]byte{}, whole...)
		bad[at] ^= 1 << (i % 8)
		require.NoError(t, os.WriteFile(file, bad, 0o600))
		_, err := VerifyBackup(t.Context(), file)
		require.Error(t, err, "byte %d", at)
		require.Equal(t, models.Conflict, models.KindOf(err), "byte %d: %v", at, err)
		_, err = Restore(t.Context(), file, filepath.Join(t.TempDir(), "new"))
		require.Error(t, err, "byte %d", at)
	}
	for name, bad := range map[string][]byte{"cut": whole[:len(whole)-1], "longer": append(append([]byte{}, whole...), 0), "empty": nil} {
		require.NoError(t, os.WriteFile(file, bad, 0o600))
		_, err := VerifyBackup(t.Context(), file)
		require.Error(t, err, name)
	}
	require.NoError(t, os.WriteFile(file, whole, 0o600))
	_, err = VerifyBackup(t.Context(), file)
	require.NoError(t, err)
	require.NoError(t, os.Remove(file+sumSuffix))
	_, err = VerifyBackup(t.Context(), file)
	requireKind(t, models.Missing, err)
	require.NoError(t, os.Remove(file))
	_, err = VerifyBackup(t.Context(), file)
	requireKind(t, models.Missing, err)
}

// A right check sum over a wrong record is no backup either.
func TestBackupOfATamperedRecordFails(t *testing.T) {
	st := logged(t, 3)
	require.NoError(t, st.writer.Exec("DROP TRIGGER events_no_update; UPDATE events SET act = 'x' WHERE seq = 2").Error)
	file := st.BackupPath("one.db")
	_, err := st.Backup(t.Context(), file)
	require.ErrorContains(t, err, "event 2 has been changed")
	left, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	require.Empty(t, left, "nothing half made is left behind")
}

func TestBackupUnderWriting(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	var wg sync.WaitGroup
	wg.Go(func() {
		for i := range 60 {
			o := openingOf(models.ID(fmt.Sprintf("o%d", i)), "c1", "2026-11-20")
			err := st.Write(ctx, func(tx *Tx) error {
				if _, err := tx.AddOpening(ctx, o, Derived{}); err != nil {
					return err
				}
				return tx.AppendEvent(ctx, models.Event{At: noon, Act: "opening recorded", Of: o.ID})
			})
			if err != nil {
				t.Errorf("write %d: %v", i, err)
			}
		}
	})
	for i := range 8 {
		dir := filepath.Join(t.TempDir(), "new")
		info, err := st.Backup(ctx, st.BackupPath(fmt.Sprintf("%d.db", i)))
		require.NoError(t, err)
		_, err = Restore(ctx, info.File, dir)
		require.NoError(t, err)
		back, err := Open(ctx, testConfig(dir))
		require.NoError(t, err)
		n := counts(t, back, "openings", "events", "opening_places")
		require.Equal(t, n["openings"], n["events"], "whole transactions only")
		require.Equal(t, 3*n["openings"], n["opening_places"])
		require.NoError(t, back.Close())
	}
	wg.Wait()
	require.Equal(t, map[string]int{"openings": 60}, counts(t, st, "openings"))
}

func TestListOfBackups(t *testing.T) {
	st := create(t)
	for _, name := range []string{"20261101T000000Z.db", "20261102T000000Z.db"} {
		_, err := st.Backup(t.Context(), st.BackupPath(name))
		require.NoError(t, err)
	}
	require.NoError(t, os.WriteFile(st.BackupPath("notes.txt"), nil, 0o600))
	names := func() string {
		list, err := st.Backups(t.Context())
		require.NoError(t, err)
		return strings.Join(convert(list, func(b BackupName) string { return b.Name }), " ")
	}
	require.Equal(t, "20261102T000000Z.db 20261101T000000Z.db", names())
	for _, name := range []string{"", "..", "../drylag.db", "a/b.db"} {
		require.Error(t, st.RemoveBackup(t.Context(), name), name)
	}
	require.NoError(t, st.RemoveBackup(t.Context(), "20261102T000000Z.db"))
	require.Equal(t, "20261101T000000Z.db", names())
	require.FileExists(t, filepath.Join(st.cfg.Dir, databaseFile))
	require.NoFileExists(t, st.BackupPath("20261102T000000Z.db.sha256"))
}
