package store

import (
	"path/filepath"
	"testing"
	"testing/fstest"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// withNext is the embedded migrations and one more.
func withNext(t *testing.T, sql string) fstest.MapFS {
	t.Helper()
	first, err := migrations.ReadFile("migrations/sqlite/00001_record.sql")
	require.NoError(t, err)
	return fstest.MapFS{"00001_record.sql": {Data: first}, "00002_next.sql": {Data: []byte("-- +goose Up\n" + sql)}}
}

func TestMigrationBacksUpFirst(t *testing.T) {
	st, ctx := history(t), t.Context()
	require.NoError(t, st.migrateBy(ctx, withNext(t, "ALTER TABLE rooms ADD COLUMN floor TEXT;")))
	version, err := st.schemaVersion(ctx)
	require.NoError(t, err)
	require.EqualValues(t, 2, version)

	dir := filepath.Join(t.TempDir(), "before")
	_, err = Restore(ctx, st.BackupPath("20261125T120000Z-before-schema-2.db"), dir)
	require.NoError(t, err)
	before, err := Open(ctx, testConfig(dir))
	require.NoError(t, err)
	defer before.Close()
	version, err = before.schemaVersion(ctx)
	require.NoError(t, err)
	require.EqualValues(t, 1, version)
	require.Equal(t, counts(t, st, appendOnly...), counts(t, before, appendOnly...))
}

func TestFailedMigrationChangesNothing(t *testing.T) {
	st, ctx := history(t), t.Context()
	before, err := st.schema(ctx)
	require.NoError(t, err)
	require.Error(t, st.migrateBy(ctx, withNext(t, "ALTER TABLE rooms ADD COLUMN floor TEXT; ALTER TABLE nothing ADD COLUMN x TEXT;")))
	after, err := st.schema(ctx)
	require.NoError(t, err)
	require.Equal(t, before, after)
	version, err := st.schemaVersion(ctx)
	require.NoError(t, err)
	require.EqualValues(t, 1, version)
	require.NoError(t, st.checkGuards(ctx))
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
