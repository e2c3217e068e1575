package seal

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// checks is the folder of sourced values; its README says how each was made
// and how close to it the package has to come.
const checks = "../../testdata/check/learning"

// checkTable reads a check table.
func checkTable(t testing.TB, name string) *Table {
	t.Helper()
	file, err := os.Open(filepath.Join(checks, name))
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	return &Table{Columns: rows[0], Rows: rows[1:]}
}

// typed makes a table of lines; the first names the columns.
func typed(lines ...[]string) *Table { return &Table{Columns: lines[0], Rows: lines[1:]} }

// episodesOf reads a check table of episodes.
func episodesOf(t testing.TB, name string, lay Layout) []Episode {
	t.Helper()
	rows, err := ParseEpisodes(checkTable(t, name), lay)
	require.NoError(t, err)
	return rows.Episodes
}

// counted is turbine.csv.
var counted = Counts{"u", "inspected", "cracked"}

// coversByID reads covers.csv.
func coversByID(t testing.TB) map[string]Covariates {
	t.Helper()
	ids, covers, err := ParseCovers(checkTable(t, "covers.csv"), Layout{})
	require.NoError(t, err)
	byID := map[string]Covariates{}
	for i, id := range ids {
		byID[id] = covers[i]
	}
	return byID
}

// readJSON reads a check file into what the test wants of it.
func readJSON(t testing.TB, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(checks, name))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, into))
}

// near requires got within tol of want, relative where want is above 1.
func near(t testing.TB, want, got, tol float64, what string, args ...any) {
	t.Helper()
	require.InDelta(t, want, got, tol*math.Max(1, math.Abs(want)), append([]any{what}, args...)...)
}

// relative requires got within tol of want, relative.
func relative(t testing.TB, want, got, tol float64, what string, args ...any) {
	t.Helper()
	require.InDelta(t, want, got, tol*math.Abs(want), append([]any{what}, args...)...)
}

// prediction is one line of predictions in expected.json.
type prediction struct {
	Cover json.Number
	U     float64
	Eta   float64
	SD    float64
	PMean float64 `json:"p_mean"`
	PPlug float64 `json:"p_plug"`
	Lo    float64
	Hi    float64
}

// agrees checks a probability to the README's 1e-5, or to tol if that is less.
func (w prediction) agrees(t testing.TB, got Probability, tol float64) {
	t.Helper()
	near(t, w.Eta, got.Eta, tol, "eta, cover %s at %v", w.Cover, w.U)
	near(t, w.SD, got.SD, tol, "sd, cover %s at %v", w.Cover, w.U)
	near(t, w.PMean, got.P, tol, "p, cover %s at %v", w.Cover, w.U)
	near(t, w.PPlug, wetAt(got.Eta), tol, "plug-in p, cover %s at %v", w.Cover, w.U)
	near(t, w.Lo, got.Lo, tol, "lo, cover %s at %v", w.Cover, w.U)
	near(t, w.Hi, got.Hi, tol, "hi, cover %s at %v", w.Cover, w.U)
}

func ptr(x float64) *float64 { return &x }
