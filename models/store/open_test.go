package store

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// allConns takes every connection of a pool at once, so that none is asked twice.
func allConns(t *testing.T, st *Store, write bool) []*sql.Conn {
	t.Helper()
	db, n := st.Reader.db, readers
	if write {
		db, n = st.writer, 1
	}
	plain, err := db.DB()
	require.NoError(t, err)
	var conns []*sql.Conn
	for range n {
		c, err := plain.Conn(t.Context())
		require.NoError(t, err)
		conns = append(conns, c)
	}
	require.Equal(t, n, plain.Stats().InUse)
	t.Cleanup(func() {
		for _, c := range conns {
			require.NoError(t, c.Close())
		}
	})
	return conns
}

func TestPragmasOfEveryConnection(t *testing.T) {
	// Values as sqlite.org's page of pragmas numbers them: synchronous 2 = FULL.
	for _, c := range []struct {
		name  string
		write bool
		want  map[string]string
	}{
		{"writer", true, map[string]string{"synchronous": "2", "foreign_keys": "1", "journal_mode": "wal", "busy_timeout": "5000",
			"recursive_triggers": "1", "query_only": "0", "cache_size": "-65536"}},
		{"readers", false, map[string]string{"synchronous": "2", "foreign_keys": "1", "journal_mode": "wal", "busy_timeout": "5000",
			"recursive_triggers": "1", "query_only": "1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, conn := range allConns(t, create(t), c.write) {
				for pragma, want := range c.want {
					var got string
					require.NoError(t, conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got))
					require.Equal(t, want, got, pragma)
				}
			}
		})
	}
}

func TestReadersCannotWrite(t *testing.T) {
	for _, conn := range allConns(t, filled(t, 1), false) {
		_, err := conn.ExecContext(t.Context(), "UPDATE covers SET note = 'x'")
		require.ErrorContains(t, err, "readonly")
	}
}

func TestOpenWithoutDatabaseMakesNone(t *testing.T) {
	empty := t.TempDir()
	gone := filepath.Join(t.TempDir(), "unmounted")
	hollow := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(hollow, databaseFile), nil, 0o600))
	for _, c := range []struct{ name, dir string }{{"empty folder", empty}, {"no folder", gone}, {"empty file", hollow}} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Open(t.Context(), testConfig(c.dir))
			requireKind(t, models.Missing, err)
			require.ErrorContains(t, err, c.dir)
			require.ErrorContains(t, err, "drylag init")
		})
	}
	left, err := os.ReadDir(empty)
	require.NoError(t, err)
	require.Empty(t, left)
	require.NoDirExists(t, gone)
}

func TestCreateTwiceIsConflict(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, st.Close())
	_, err = Create(t.Context(), testConfig(dir))
	requireKind(t, models.Conflict, err)
}

func TestFilesAreTheOwnersOnly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a folder?with #odd %20 name")
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	defer st.Close()
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, 1) })
	_, err = st.Backup(t.Context(), st.BackupPath("one.db"))
	require.NoError(t, err)
	seen := map[string]bool{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := d.Info()
		require.NoError(t, err)
		require.Zero(t, info.Mode().Perm()&0o077, "%s is %s", path, info.Mode())
		seen[filepath.Base(path)] = true
		return nil
	}))
	for _, name := range []string{databaseFile, databaseFile + "-wal", lockFile, "one.db", "one.db.sha256"} {
		require.True(t, seen[name], "%s in %v", name, seen)
	}
}

func TestSecondStoreIsBusyAndNamesTheFirst(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	_, err = Open(t.Context(), testConfig(dir))
	requireKind(t, models.Busy, err)
	require.ErrorContains(t, err, "process "+pid())
	require.NoError(t, st.Close())

	again, err := Open(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, again.Close())
}

func TestReadOnlyLooksBesideAWriter(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	defer st.Close()
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, 2) })

	look, err := Open(t.Context(), Config{Dir: dir, ReadOnly: true})
	require.NoError(t, err)
	defer look.Close()
	page, err := look.Covers(t.Context(), models.CoverFilter{})
	require.NoError(t, err)
	require.Equal(t, 2, page.Total)
	requireKind(t, models.Busy, look.Write(t.Context(), func(*Tx) error { return nil }))
}

func TestReadOnlyAlone(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, st.Close())
	look, err := Open(t.Context(), Config{Dir: dir, ReadOnly: true})
	require.NoError(t, err)
	report, err := look.Verify(t.Context())
	require.NoError(t, err)
	require.NoError(t, report.Err())
	require.NoError(t, look.Close())
}

func TestDamagedDatabaseDoesNotOpen(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, 300) })
	require.NoError(t, st.Close())
	path := filepath.Join(dir, databaseFile)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	noise := []byte(strings.Repeat("\xa5", 4096))
	refused := 0
	for page := 1; page < len(whole)/4096; page += 7 {
		torn := append([]byte{}, whole...)
		copy(torn[page*4096:], noise)
		require.NoError(t, os.WriteFile(path, torn, 0o600))
		st, err := Open(t.Context(), testConfig(dir))
		if err == nil { // the page held nothing: the whole record must still verify
			report, err := st.Verify(t.Context())
			require.NoError(t, err)
			require.NoError(t, report.Err(), "page %d", page)
			require.NoError(t, st.Close())
			continue
		}
		refused++
		require.NotEqual(t, models.Missing, models.KindOf(err))
		require.ErrorContains(t, err, "drylag restore", "page %d", page)
	}
	require.Greater(t, refused, 5)
}

func TestMountKind(t *testing.T) {
	// Lines in the form of proc(5), mountinfo.
	const table = `22 1 8:1 / / rw,relatime - ext4 /dev/sda1 rw
40 22 0:35 / /srv rw,nosuid shared:9 - nfs4 store:/export rw,vers=4.2
41 40 8:2 / /srv/local rw - xfs /dev/sdb1 rw
42 22 0:36 / /srv2 rw - cifs //store/x rw
`
	for dir, want := range map[string]string{
		"/": "ext4", "/home/x": "ext4", "/srv": "nfs4", "/srv/drylag": "nfs4", "/srv/local/x": "xfs", "/srvother": "ext4", "/srv2/d": "cifs",
	} {
		require.Equal(t, want, mountKind(table, dir), dir)
	}
}

func TestExpiredContextIsBusy(t *testing.T) {
	st := create(t)
	held := make(chan struct{})
	release := make(chan struct{})
	done := make(chan error, 1)
	go func() {
		done <- st.Write(context.Background(), func(*Tx) error { close(held); <-release; return nil })
	}()
	<-held
	ctx, cancel := context.WithTimeout(t.Context(), 1)
	defer cancel()
	requireKind(t, models.Busy, st.Write(ctx, func(*Tx) error { return nil }))
	close(release)
	require.NoError(t, <-done)
}
