package server

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestWallReadingsWithoutOpening(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	cover := "/covers/" + string(s.Cover.ID)
	require.Contains(t, c.get(cover).body, `href="`+cover+`/readings/new"`)
	_, err := w.register.OpenFollowUp(t.Context(), w.users[models.Engineer].Actor(),
		models.FollowUp{Cover: s.Cover.ID, Kind: "reading", By: "2026-12-27", Why: "no reading yet"})
	require.NoError(t, err)
	asked := c.get("/covers/" + string(s.Cover.ID)).body
	require.Contains(t, asked, `<a href="`+cover+`/readings/new?for=`, "a follow-up for a reading leads to this form")
	form := inputs(t, c.get(cover+"/readings/new").body, "/readings")
	readings := func() []models.ThicknessReading {
		file, err := w.register.CoverFile(t.Context(), w.users[models.Engineer].Actor(), s.Cover.ID)
		require.NoError(t, err)
		return file.Readings
	}
	for _, tt := range []struct {
		name   string
		change map[string]string
		want   []string
	}{
		{"nothing", nil, []string{`href="#f-reading_1_value"`, "Give at least one reading."}},
		{"no unit that is a length", map[string]string{"reading_1_point": "6 o'clock", "reading_1_value": "7 kg"}, []string{`href="#f-reading_1_value"`, `value="7 kg"`}},
		{"two faults at once", map[string]string{"reading_1_point": "6 o'clock", "reading_1_value": "7.1 mm", "reading_2_value": "0.28", "on": "2026-11-26", "by": ""},
			[]string{`href="#f-reading_2_point"`, `href="#f-on"`, `href="#f-by"`}},
		{"too thick", map[string]string{"reading_1_point": "6 o'clock", "reading_1_value": "710 mm"}, []string{"a wall between 0.1 and 100 mm"}},
	} {
		got := c.post("/readings", with(form, tt.change))
		require.Equal(t, http.StatusUnprocessableEntity, got.status, tt.name)
		for _, want := range tt.want {
			require.Contains(t, got.body, want, tt.name)
		}
		require.Empty(t, readings(), tt.name)
	}

	good := with(form, map[string]string{"reading_1_point": "6 o'clock, port", "reading_1_value": "7.1 mm", "reading_1_gauge": "UT-7",
		"reading_3_point": "12 o'clock, port", "reading_3_value": "0.280", "reading_3_check": "yes"})
	for range 2 { // sent twice it is recorded once
		got := c.post("/readings", good)
		require.Equal(t, http.StatusSeeOther, got.status, got.body)
		require.Equal(t, cover, got.header.Get("Location"))
		require.Contains(t, c.get(cover).body, "Wall readings recorded.")
	}
	list := readings()
	require.Len(t, list, 2)
	require.Equal(t, []any{7.1, "mm", "UT-7", "Pat inspector"}, []any{list[0].Value, list[0].Unit, list[0].Gauge, list[0].By})
	require.Equal(t, []any{0.28, "in", true}, []any{list[1].Value, list[1].Unit, *list[1].CheckBlock})
	require.Empty(t, list[0].Opening)
	require.NotContains(t, c.get(cover).body, "Still needed", "the follow-up is closed by it")
	require.Equal(t, http.StatusNotFound, c.get("/covers/"+string(w.cover(w.there, "FAR", models.InPlace).Cover.ID)+"/readings/new").status)
}
