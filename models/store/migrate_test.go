package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// withNext is the embedded migrations and one more.
func withNext(t *testing.T, sql string) fstest.MapFS {
	t.Helper()
	all := fstest.MapFS{}
	files, err := migrations.ReadDir("migrations/sqlite")
	require.NoError(t, err)
	for _, f := range files {
		data, err := migrations.ReadFile("migrations/sqlite/" + f.Name())
		require.NoError(t, err)
		all[f.Name()] = &fstest.MapFile{Data: data}
	}
	all[fmt.Sprintf("%05d_next.sql", newest(t)+1)] = &fstest.MapFile{Data: []byte("-- +goose Up\n" + sql)}
	return all
}

// ofSchema is a data folder with the database that a release left, by the
// engine of the name.
func ofSchema(t *testing.T, fixture string) string {
	t.Helper()
	dir := t.TempDir()
	b, err := os.ReadFile(filepath.Join(fixtures, fixture))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, databaseFile), b, 0o600))
	return dir
}

func version(t *testing.T, st *Store) int64 {
	t.Helper()
	v, err := st.schemaVersion(t.Context())
	require.NoError(t, err)
	return v
}

func TestMigrationBacksUpFirst(t *testing.T) {
	st, ctx := history(t), t.Context()
	require.NoError(t, st.migrateBy(ctx, withNext(t, "ALTER TABLE rooms ADD COLUMN floor TEXT;")))
	require.Equal(t, newest(t)+1, version(t, st))

	dir := filepath.Join(t.TempDir(), "before")
	_, err := Restore(ctx, st.BackupPath(fmt.Sprintf("20261125T120000Z-before-schema-%d.db", newest(t)+1)), dir)
	require.NoError(t, err)
	before, err := Open(ctx, testConfig(dir))
	require.NoError(t, err)
	defer before.Close()
	require.Equal(t, newest(t), version(t, before))
	require.Equal(t, counts(t, st, appendOnly...), counts(t, before, appendOnly...))
}

// An old backup is held to the guards of its own time, not to none.
func TestBackupOfAnOlderSchemaIsHeldToThatSchema(t *testing.T) {
	for _, c := range []struct{ name, sql, want string }{
		{"guard dropped", "DROP TRIGGER openings_no_update", "trigger openings_no_update is missing"},
		{"table added", "CREATE TABLE mine (x TEXT)", "table mine does not belong there"},
		{"event changed", "DROP TRIGGER events_no_update; UPDATE events SET act = 'x'; CREATE TRIGGER events_no_update BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'append-only'); END",
			"event 1 has been changed"},
		{"schema of nobody", "INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)", "does not know schema 9999"},
		{"no schema at all", "DROP TABLE goose_db_version", "does not know schema 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, ctx := ofSchema(t, "schema-1-cgo.db"), t.Context()
			st := &Store{cfg: testConfig(dir).complete()}
			db, err := pool(filepath.Join(dir, databaseFile), forWrites, 1, st.cfg.Log)
			require.NoError(t, err)
			require.NoError(t, db.Exec(c.sql).Error)
			require.NoError(t, closePool(db))
			_, err = st.Backup(ctx, filepath.Join(dir, "one.db"))
			requireKind(t, models.Conflict, err)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestFailedMigrationChangesNothing(t *testing.T) {
	st, ctx := history(t), t.Context()
	before, err := st.schema(ctx)
	require.NoError(t, err)
	for range 2 { // within one second: each has its own backup
		require.Error(t, st.migrateBy(ctx, withNext(t, "ALTER TABLE rooms ADD COLUMN floor TEXT; ALTER TABLE nothing ADD COLUMN x TEXT;")))
		after, err := st.schema(ctx)
		require.NoError(t, err)
		require.Equal(t, before, after)
		require.Equal(t, newest(t), version(t, st))
		require.NoError(t, st.checkGuards(ctx))
	}
	backups, err := st.Backups(ctx)
	require.NoError(t, err)
	require.Len(t, backups, 2)
	for _, b := range backups {
		info, err := VerifyBackup(ctx, b.File)
		require.NoError(t, err)
		require.Equal(t, newest(t), info.Schema)
	}
	add(t, st, openingOf("o2", "c1", "2026-11-22"), Derived{}) // and the record goes on
}

func TestOlderRecordIsNotMigratedReadOnly(t *testing.T) {
	st := history(t)
	look, err := Open(t.Context(), Config{Dir: st.cfg.Dir, ReadOnly: true})
	require.NoError(t, err)
	defer look.Close()
	err = look.migrateBy(t.Context(), withNext(t, "ALTER TABLE rooms ADD COLUMN floor TEXT;"))
	requireKind(t, models.Conflict, err)
	require.ErrorContains(t, err, "drylag migrate")
}
