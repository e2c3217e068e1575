package store

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The whole way of a database of the first release: backed up as it is,
// migrated, checked, read. The next start does nothing; the backup comes back
// and goes the same way.
func TestFirstReleaseIsBackedUpAndMigrated(t *testing.T) {
	for _, fixture := range []string{"schema-1-cgo.db", "schema-1-pure.db"} {
		t.Run(fixture, func(t *testing.T) {
			dir, ctx := ofSchema(t, fixture), t.Context()
			want := materialOf(t, history(t))
			for range 2 {
				st, err := Open(ctx, testConfig(dir))
				require.NoError(t, err)
				require.Equal(t, newest(t), version(t, st))
				require.Equal(t, want, materialOf(t, st))
				report, err := st.Verify(ctx)
				require.NoError(t, err)
				require.NoError(t, report.Err())
				backups, err := st.Backups(ctx)
				require.NoError(t, err)
				require.Len(t, backups, 1, "one, of the first start")
				require.NoError(t, st.Close())
			}
			before := filepath.Join(dir, backupFolder, fmt.Sprintf("20261125T120000Z-before-schema-%d.db", newest(t)))
			info, err := VerifyBackup(ctx, before)
			require.NoError(t, err)
			require.EqualValues(t, 1, info.Schema)
			require.EqualValues(t, 1, info.Head.Seq)

			back := filepath.Join(t.TempDir(), "back")
			_, err = Restore(ctx, before, back)
			require.NoError(t, err)
			st, err := Open(ctx, testConfig(back))
			require.NoError(t, err)
			defer st.Close()
			require.Equal(t, newest(t), version(t, st))
			require.Equal(t, want, materialOf(t, st))
		})
	}
}

// materialOf is what the fixture's cover is scored from, as text, without the
// count of its changes.
func materialOf(t *testing.T, st *Store) string {
	t.Helper()
	m, err := st.Material(t.Context(), "c1")
	require.NoError(t, err)
	m.Mark = 0
	text, err := json.Marshal(m)
	require.NoError(t, err)
	return string(text)
}

// TestKilledWhileMigrating: whatever the moment of kill -9 on the first start
// of a new program, the next start finds the same record.
func TestKilledWhileMigrating(t *testing.T) {
	want := materialOf(t, history(t))
	const rounds = 10
	left := map[int64]int{} // schemas at which the kills left the record
	for round := range rounds {
		dir, ctx := ofSchema(t, "schema-1-cgo.db"), t.Context()
		cmd := child(t, childOpen, dir)
		for round%2 == 1 && len(backupsIn(t, dir)) == 0 { // every other one between backup and migration
			time.Sleep(100 * time.Microsecond)
		}
		time.Sleep(time.Duration(round) * time.Millisecond)
		kill(t, cmd)
		for _, file := range backupsIn(t, dir) {
			info, err := VerifyBackup(ctx, file)
			require.NoError(t, err)
			require.EqualValues(t, 1, info.Schema)
		}
		left[schemaIn(t, dir)]++

		st, err := Open(ctx, testConfig(dir))
		require.NoError(t, err)
		require.Equal(t, newest(t), version(t, st))
		require.Equal(t, want, materialOf(t, st))
		report, err := st.Verify(ctx)
		require.NoError(t, err)
		require.NoError(t, report.Err())
		require.NoError(t, st.Close())
	}
	require.Positive(t, left[1], "no kill came before the end of migrating: %v", left)
}

func backupsIn(t *testing.T, dir string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, backupFolder, "*.db"))
	require.NoError(t, err)
	return files
}

// schemaIn is the schema of a record that nobody has open.
func schemaIn(t *testing.T, dir string) int64 {
	t.Helper()
	db, err := pool(filepath.Join(dir, databaseFile), forWrites, 1, Config{}.complete().Log)
	require.NoError(t, err)
	v, err := Reader{db}.schemaVersion(t.Context())
	require.NoError(t, err)
	require.NoError(t, closePool(db))
	return v
}
