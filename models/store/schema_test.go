package store

import (
	"encoding/json"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// writeGolden writes the golden schema of a new migration; read the difference
// from the one before. Those of released versions are never written again.
var writeGolden = flag.Bool("golden", false, "write the newest migrations/schema-N.golden.json")

// newest is the schema of this program.
func newest(t testing.TB) int64 {
	t.Helper()
	files, err := migrations.ReadDir("migrations/sqlite")
	require.NoError(t, err)
	return int64(len(files))
}

// bare is a store on an empty database, not migrated.
func bare(t *testing.T) *Store {
	t.Helper()
	st := &Store{cfg: testConfig(t.TempDir()).complete()}
	registerSerializers()
	var err error
	st.writer, err = pool(filepath.Join(st.cfg.Dir, databaseFile), forWrites, 1, st.cfg.Log)
	require.NoError(t, err)
	st.Reader.db = st.writer
	t.Cleanup(func() { require.NoError(t, closePool(st.writer)) })
	return st
}

func TestMigrationsMakeTheGoldenSchemas(t *testing.T) {
	st, ctx := bare(t), t.Context()
	files, err := fs.Sub(migrations, "migrations/sqlite")
	require.NoError(t, err)
	steps, err := st.provider(files)
	require.NoError(t, err)
	for version := int64(1); version <= newest(t); version++ {
		_, err := steps.UpTo(ctx, version)
		require.NoError(t, err)
		have, err := st.schema(ctx)
		require.NoError(t, err)
		text, err := json.MarshalIndent(have, "", " ")
		require.NoError(t, err)
		if *writeGolden && version == newest(t) {
			require.NoError(t, os.WriteFile(goldenFile(version), append(text, '\n'), 0o644))
		}
		want, err := os.ReadFile(goldenFile(version))
		require.NoError(t, err, "after reading the new migration again: go test ./models/store -run GoldenSchemas -golden")
		require.Equal(t, string(want), string(text)+"\n", "schema %d", version)
	}
}

func TestEveryAppendOnlyTableHasItsGuards(t *testing.T) {
	st := create(t)
	have, err := st.schema(t.Context())
	require.NoError(t, err)
	guards := map[string]bool{}
	for _, o := range have {
		guards[o.Name] = o.Type == "trigger"
	}
	for _, table := range appendOnly {
		require.True(t, guards[table+"_no_update"], table)
		require.True(t, guards[table+"_no_delete"], table)
	}
}

// appendOnly are the tables of history.
var appendOnly = []string{"openings", "opening_places", "thickness_readings", "looks", "look_places", "room_readings",
	"earlier_records", "deferrals", "events", "score_changes", "learned_fits", "prior_sets", "prior_rows", "predictions"}

func TestTamperedSchemaDoesNotOpen(t *testing.T) {
	for _, c := range []struct{ name, sql, want string }{
		{"guard dropped", "DROP TRIGGER openings_no_update", "trigger openings_no_update is missing"},
		{"guard emptied", "DROP TRIGGER events_no_delete; CREATE TRIGGER events_no_delete BEFORE DELETE ON events BEGIN SELECT 1; END",
			"trigger events_no_delete has been changed"},
		{"index dropped", "DROP INDEX openings_trend", "index openings_trend is missing"},
		{"table added", "CREATE TABLE mine (x TEXT)", "table mine does not belong there"},
		{"column added", "ALTER TABLE rooms ADD COLUMN color TEXT", "table rooms has been changed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			st, err := Create(t.Context(), testConfig(dir))
			require.NoError(t, err)
			require.NoError(t, st.writer.Exec(c.sql).Error)
			require.NoError(t, st.Close())

			_, err = Open(t.Context(), testConfig(dir))
			requireKind(t, models.Conflict, err)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestNewerSchemaIsRefused(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, st.writer.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)").Error)
	require.NoError(t, st.Close())

	_, err = Open(t.Context(), testConfig(dir))
	requireKind(t, models.Conflict, err)
	require.ErrorContains(t, err, "newer drylag")
}

func TestGuardsThatDoNothingAreNoticed(t *testing.T) {
	st := create(t)
	require.NoError(t, st.writer.Exec("DROP TRIGGER events_no_update").Error)
	err := st.tryForbidden(t.Context())
	requireKind(t, models.Conflict, err)
	head, err := st.Head(t.Context())
	require.NoError(t, err)
	require.Zero(t, head, "the attempt is undone")
}
