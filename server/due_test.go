package server

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestDueByRoom(t *testing.T) {
	w := newWorld(t)
	off := w.cover(w.here, "V-1", models.Off)
	wet := w.taped(w.here, "V-2")
	w.open(wet, "2026-11-20", func(o *models.Opening) { o.Moisture, o.Closing.Metal = "wet", "wet" })
	w.taped(w.here, "V-3") // fitted on no known day: never seen
	w.cover(w.there, "V-FAR", models.Off)
	c := w.as(models.Inspector)
	room := "/due?building=" + string(w.here.ID) + "&room=" + string(off.Room.ID)
	tests := []struct {
		path      string
		wanted    []string // tags in their order
		text      []string
		forbidden string
	}{
		{"/due", []string{"V-1", "V-2"}, []string{"2 covers are due now or in the next 90 days", "1 is past a date that must be kept", "1 cover is off",
			"One line a room", "The same rooms as a table", "Bare metal stays dry", "2 covers, the most urgent first."}, "Choose V-1"},
		{room, []string{"V-1", "V-2"}, []string{"Due in " + off.Room.Name, "One line a cover", "The same covers as a list"}, "The same rooms"},
		{"/due?action=put_back", []string{"V-1"}, []string{"1 cover is due now", `value="put_back" selected`, "Show all that is due"}, "V-2"},
		{"/due?rule=limit", nil, []string{"Nothing like that is due within twelve months"}, "<svg class=\"chart chart-wide"},
		{"/due?rooms=9&from=-1", []string{"V-1", "V-2"}, nil, ""},
	}
	for _, tt := range tests {
		t.Run(tt.path, func(t *testing.T) {
			a := c.get(tt.path)
			require.Equal(t, http.StatusOK, a.status)
			require.Equal(t, tt.wanted, tags(a.body))
			for _, want := range append(tt.text, "Only dates that must be kept can be past") {
				require.Contains(t, a.body, want)
			}
			if tt.forbidden != "" {
				require.NotContains(t, a.body, tt.forbidden)
			}
			require.NotContains(t, a.body, "FAR")
		})
	}
	require.Equal(t, http.StatusNotFound, c.get("/due?building="+string(w.there.ID)).status)
	require.Contains(t, w.as(models.Engineer).get("/due").body, "Choose V-1")
}

func TestDueComesFiftyAtATime(t *testing.T) {
	w := newWorld(t)
	model := w.cover(w.here, "V-000", models.Off)
	for i := 1; i < 60; i++ {
		s := model
		s.Cover.ID, s.Component.ID, s.Cover.Version = "", "", 0
		s.Component.Tag = fmt.Sprintf("V-%03d", i)
		_, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
		require.NoError(t, err)
	}
	c := w.as(models.Inspector)
	room := "/due?building=" + string(w.here.ID) + "&room=" + string(model.Room.ID)
	first := c.get(room).body
	require.Contains(t, first, "Covers 1 to 50 of 60")
	require.Len(t, tags(first), 50)
	second := c.get(room + "&from=50").body
	require.Contains(t, second, "Covers 51 to 60 of 60")
	require.Len(t, tags(second), 10)
	require.Contains(t, second, "Covers before")
	require.NotContains(t, second, "More covers</a>")
}

// With many buildings one is chosen first, so that the page stays fast.
func TestDueOverManyBuildings(t *testing.T) {
	w := newWorld(t)
	w.cover(w.here, "V-1", models.Off)
	for i := range manyBuildings {
		_, err := w.register.SaveBuilding(t.Context(), w.users[models.Admin].Actor(),
			models.Building{Name: fmt.Sprintf("House %d", i), TimeZone: "America/New_York"})
		require.NoError(t, err)
	}
	c := w.as(models.Engineer)
	body := c.get("/due").body
	require.Contains(t, body, "Choose a building")
	require.Contains(t, body, "1 cover is off")
	require.NotContains(t, body, "chart-wide")
	require.Contains(t, c.get("/due?building="+string(w.here.ID)).body, "chart-wide")
}

func TestPutOffManyWithOneReason(t *testing.T) {
	w := newWorld(t)
	ids := []string{}
	for i, moisture := range []string{"wet", "pooled"} {
		s := w.taped(w.here, fmt.Sprintf("V-%d", i))
		w.open(s, "2026-11-24", func(o *models.Opening) { o.Moisture, o.Closing.Metal = moisture, "wet" })
		ids = append(ids, string(s.Cover.ID))
	}
	off := string(w.cover(w.here, "V-OFF", models.Off).Cover.ID)
	c := w.as(models.Engineer)
	ask := c.get("/deferrals/new?" + url.Values{"cover": append(ids, off)}.Encode())
	require.Contains(t, ask.body, "The dates of 3 covers")
	form := inputs(t, ask.body, "/deferrals")
	require.Len(t, form["covers"], 3, "all are ticked")
	form.Set("reason", "no crew before Christmas")
	form.Set("until", "2026-12-20")

	refused := c.post("/deferrals", form)
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	require.Contains(t, refused.body, "V-OFF: the cover is off; it cannot be put off")
	require.Contains(t, refused.body, "no crew before Christmas")
	for _, id := range ids {
		require.NotContains(t, c.get("/covers/"+id).body, "Put off to", "all or none")
	}
	form["covers"] = ids
	done := c.post("/deferrals", form)
	require.Equal(t, http.StatusSeeOther, done.status, done.body)
	require.Contains(t, c.get("/due").body, "2 dates are put off to 20 Dec 2026")
	require.Contains(t, c.get("/covers/"+ids[0]).body, "no crew before Christmas")

	again := c.post("/deferrals", form)
	require.Contains(t, again.body, "has been put off once already")
	form["covers"] = nil
	none := c.post("/deferrals", form)
	require.Equal(t, http.StatusUnprocessableEntity, none.status)
	require.Contains(t, none.body, "Choose at least one cover.")
}

func TestPutOffWithinNinetyDays(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	w.open(s, "2026-11-24", func(o *models.Opening) { o.Moisture, o.Closing.Metal = "wet", "wet" })
	c := w.as(models.Engineer)
	for until, want := range map[string]string{"2026-11-25": "choose a day after", "2027-02-25": "the latest day is", "": "Give the new day", "soon": "is not a date"} {
		a := c.post("/deferrals", url.Values{"covers": {string(s.Cover.ID)}, "until": {until}, "reason": {"ladder broken"}})
		require.Equal(t, http.StatusUnprocessableEntity, a.status, until)
		require.Contains(t, a.body, want, until)
	}
	a := c.post("/deferrals", url.Values{"covers": {string(s.Cover.ID)}, "until": {"2026-12-24"}})
	require.Contains(t, a.body, "Say why it is put off.")
	far := w.cover(w.there, "V-9", models.InPlace)
	engineer := w.users[models.Engineer]
	engineer.AllBuildings, engineer.Buildings = false, []models.ID{w.here.ID}
	_, err := w.register.SaveUser(t.Context(), w.users[models.Admin].Actor(), engineer)
	require.NoError(t, err)
	require.Equal(t, http.StatusNotFound, c.get("/deferrals/new?cover="+string(far.Cover.ID)).status)
}
