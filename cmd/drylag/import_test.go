package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// drylag runs a command as a person at a terminal does.
func drylag(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), args, &o, &e)
	return code, o.String(), e.String()
}

func written(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	return file
}

func newFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "data")
	code, _, errOut := drylag(t, "init", "--dir", dir)
	require.Zero(t, code, errOut)
	return dir
}

func TestImportCommandAsksForTheOrderOfDayAndMonth(t *testing.T) {
	dir := newFolder(t)
	file := written(t, "register.csv", "Building,Room,Tag,Kind,Fitted\nNorth,Cellar,P-1,pump,03/04/2025\n")
	args := []string{"import", "covers", file, "--dir", dir, "--time-zone", "America/New_York"}
	code, out, errOut := drylag(t, args...)
	require.NotZero(t, code)
	require.Contains(t, out, "03/04/2025 on line 2 may be 4 Mar 2025 (month first) or 3 Apr 2025 (day first)")
	require.Contains(t, out, "--date-order=mdy")
	require.Contains(t, errOut, "nothing was stored")
	code, _, errOut = drylag(t, append(args, "--date-order=ydm")...)
	require.Equal(t, exitUsage, code, errOut)
	code, out, errOut = drylag(t, append(args, "--date-order=dmy")...)
	require.Zero(t, code, errOut)
	require.Contains(t, out, "Stored: 1 new")
}

func TestImportCommandRefusesColumnsSaidTwice(t *testing.T) {
	dir := newFolder(t)
	file := written(t, "register.csv", "Building,Room,No.,Old,Kind\nNorth,Cellar,P-1,7,pump\n")
	for said, want := range map[string]string{
		"No.,tag\nOld,tag\n":   `"No." and "Old" are all said to be "tag"`,
		"No.,tag\nNo.,label\n": `line 2: the column "No." is "tag" already`,
	} {
		code, _, errOut := drylag(t, "import", "covers", file, "--dir", dir, "--map", written(t, "map.csv", said))
		require.Equal(t, exitFailed, code)
		require.Contains(t, errOut, want)
	}
}
