package store

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// writeFixture writes a database of the present schema by the engine of this
// build: see testdata/db/README.md.
var writeFixture = flag.String("fixture", "", "write a database to this file of testdata/db and stop")

const fixtures = "../../testdata/db"

// TestWriteFixture makes the copy that a fixture is, and keeps it where -fixture
// names a file.
func TestWriteFixture(t *testing.T) {
	st := history(t)
	file := filepath.Join(t.TempDir(), "fixture.db")
	_, err := st.Backup(t.Context(), file) // a tidy copy in one file
	require.NoError(t, err)
	_, err = VerifyBackup(t.Context(), file)
	require.NoError(t, err)
	if *writeFixture == "" {
		return
	}
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(fixtures, *writeFixture), b, 0o644))
	t.Logf("written by %s", engine)
}

// TestDatabasesOfEveryReleaseOpen: whichever engine and release wrote a file,
// this build opens it, migrates it, finds the same record and goes on writing.
func TestDatabasesOfEveryReleaseOpen(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(fixtures, "*.db"))
	require.NoError(t, err)
	for _, engine := range []string{"cgo", "pure"} {
		require.Contains(t, files, filepath.Join(fixtures, fmt.Sprintf("schema-%d-%s.db", newest(t), engine)), "see testdata/db/README.md")
	}
	whole := history(t)
	material, plans := materialOf(t, whole), keptSay(t, whole)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			dir, ctx := ofSchema(t, filepath.Base(file)), t.Context()
			schema := schemaIn(t, dir)
			require.Contains(t, file, fmt.Sprintf("schema-%d-", schema))
			st, err := Open(ctx, testConfig(dir))
			require.NoError(t, err)
			defer st.Close()
			require.Equal(t, material, materialOf(t, st))
			if schema >= 4 {
				require.Equal(t, plans, keptSay(t, st))
			}
			add(t, st, openingOf("o2", "c1", "2026-11-22"), Derived{})
			write(t, st, func(tx *Tx) error { return tx.AppendEvent(ctx, models.Event{At: noon, Act: "opening recorded"}) })
			report, err := st.Verify(ctx)
			require.NoError(t, err)
			require.NoError(t, report.Err())
			require.EqualValues(t, 2, report.Events)
		})
	}
}
