package register

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

const fleetRows = 2000

// fleetRegister makes a site's register of 2,000 covers as spreadsheets have
// them, the same each time: mixed units and words, empty cells, and about one
// row in forty with a fault. faults says at which line which column is wrong.
func fleetRegister() (text string, faults map[int]string) {
	c := rand.New(rand.NewPCG(7, 2000))
	pick := func(of ...string) string { return of[c.IntN(len(of))] }
	var b strings.Builder
	b.WriteString("Building,Plant room,Tag,Component kind,NPS,Service temp,Design pressure,Material,Access,Fitted,Penetrations\r\n")
	faults = map[int]string{}
	for i := range fleetRows {
		line := i + 2
		row := []string{fmt.Sprintf("Hall %d", i%6+1), fmt.Sprintf("Level %d", i/6%4+1), fmt.Sprintf("CW-%04d", i+1),
			pick("gate valve", "Gate Valve", "butterfly valve", "strainer", "Y-strainer", "flange pair", "pump", "elbow"),
			pick("2", "3", "4", "6", "8", "1 1/2", ""), pick("7 °C", "44 F", "42F", "7 °C", ""), pick("150 psi", "10 bar", "", "1 MPa"),
			pick("carbon steel", "Cast Iron", "CI", "not known", ""), pick("floor", "ladder", "lift", ""),
			pick("2021-04-05", "2019-11-30", "", ""), pick("0", "1", "2", "4", "")}
		if c.IntN(40) == 0 {
			at := c.IntN(6)
			row[[]int{3, 4, 5, 6, 2, 9}[at]] = []string{"teapot", "six-ish", "7,5 °C", "10 volts", "", "2021-02-30"}[at]
			faults[line] = []string{"Component kind", "NPS", "Service temp", "Design pressure", "Tag", "Fitted"}[at]
		}
		b.WriteString(strings.ReplaceAll(strings.Join(quoteCommas(row), ","), "\n", " ") + "\r\n")
	}
	return b.String(), faults
}

func quoteCommas(row []string) []string {
	for i, cell := range row {
		if strings.Contains(cell, ",") {
			row[i] = `"` + cell + `"`
		}
	}
	return row
}

func TestFleetOfTwoThousandCovers(t *testing.T) {
	w := newEmpty(t)
	text, faults := fleetRegister()
	require.Greater(t, len(faults), 30)

	report := w.bring("covers", text, nil)
	require.False(t, report.Stored, "all or nothing")
	require.Equal(t, []int{fleetRows, len(faults)}, []int{report.Rows, report.Bad})
	found := map[int]string{}
	for _, f := range report.Faults {
		require.NotEmpty(t, f.Msg)
		found[f.Line] = f.Field
	}
	require.Equal(t, faults, found, "each bad row with its line and column, and no other")
	require.Empty(t, w.covers())

	report = w.bring("covers", text, takeGood)
	good := fleetRows - len(faults)
	require.Equal(t, []int{good, 0, 0}, []int{report.New, report.Changed, report.Same})
	require.Equal(t, len(faults), strings.Count(string(report.BadFile), "\r\n")-1, "the others as a file, under a header")
	again := w.bring("covers", text, takeGood)
	require.Equal(t, []int{0, 0, good}, []int{again.New, again.Changed, again.Same}, "the same file changes nothing")
	requireAllScored(t, w, good)
}

// requireAllScored pages through the register: every cover is there once, has
// its score, and a fresh register is never seen, not overdue.
func requireAllScored(t *testing.T, w *world, want int) {
	t.Helper()
	seen := map[models.ID]bool{}
	f := models.CoverFilter{Limit: 300}
	for {
		page, err := w.Covers(w.ctx, w.admin, f)
		require.NoError(t, err)
		require.Equal(t, want, page.Total)
		for _, r := range page.Rows {
			require.True(t, r.Scored, r.Tag)
			require.False(t, r.Overdue, r.Tag)
			require.False(t, seen[r.ID], r.Tag)
			seen[r.ID] = true
		}
		if f.After = page.Next; f.After == "" {
			break
		}
	}
	require.Len(t, seen, want)
}

// TestFleetInRichmond brings a real typical year in and counts it once more,
// line by line, on the dew-point column: NREL TMY3 724010 (Wilcox and Marion
// 2008), 5,076 hours above 7.0 °C.
func TestFleetInRichmond(t *testing.T) {
	folder := os.Getenv("DRYLAG_WEATHER")
	if folder == "" {
		t.Skip("DRYLAG_WEATHER names no folder with richmond.epw; other tests score covers on a synthetic year")
	}
	file, err := os.ReadFile(filepath.Join(folder, "richmond.epw"))
	require.NoError(t, err)
	counted := 0
	for _, line := range strings.Split(strings.ReplaceAll(string(file), "\r", ""), "\n") {
		cells := strings.Split(line, ",")
		if len(cells) < 30 {
			continue
		}
		if _, err := strconv.Atoi(cells[0]); err != nil {
			continue // a line of the header
		}
		dew, err := strconv.ParseFloat(cells[7], 64)
		require.NoError(t, err)
		if dew > 7.0 {
			counted++
		}
	}
	require.Equal(t, 5076, counted)

	w := newEmpty(t)
	text, faults := fleetRegister()
	w.bring("covers", text, takeGood)
	names, err := w.BuildingNames(w.ctx, w.admin)
	require.NoError(t, err)
	for _, b := range names {
		report := w.bring("climate", string(file), func(r *ImportRequest) { r.Building = b.ID })
		require.True(t, report.Stored)
	}
	requireAllScored(t, w, fleetRows-len(faults))
	checked := 0
	page, err := w.Covers(w.ctx, w.admin, models.CoverFilter{Limit: 100})
	require.NoError(t, err)
	for _, r := range page.Rows {
		cover, err := w.CoverFile(w.ctx, w.admin, r.ID)
		require.NoError(t, err)
		if c, _ := cover.Sheet.ServiceC(); c == 7 {
			require.Equal(t, float64(counted), cover.Score.HoursBelow, r.Tag)
			checked++
		}
	}
	require.Greater(t, checked, 20)
}
