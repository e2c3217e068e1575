package server

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// cover adds a cover of that state in a room of the building.
func (w *world) cover(b models.Building, tag string, state models.CoverState) models.CoverSheet {
	w.t.Helper()
	ctx, a := w.t.Context(), w.users[models.Engineer].Actor()
	rooms, err := w.register.Rooms(ctx, a, b.ID)
	require.NoError(w.t, err)
	if len(rooms) == 0 {
		_, err = w.register.SaveRoom(ctx, a, models.Room{Building: b.ID, Name: "Plant room of " + b.Name, Kind: "closed"})
		require.NoError(w.t, err)
		rooms, err = w.register.Rooms(ctx, a, b.ID)
		require.NoError(w.t, err)
	}
	sheet, err := w.register.SaveCover(ctx, a, models.CoverSheet{
		Component: models.Component{Room: rooms[0].ID, Tag: tag, Kind: "gate_valve", NPS: new(6.0), Material: "carbon_steel"},
		Cover:     models.Cover{State: state, Since: "2024-05-01"},
	})
	require.NoError(w.t, err)
	return sheet
}

func TestMorningSheet(t *testing.T) {
	w := newWorld(t)
	tests := []struct {
		name       string
		role       models.Role
		want, lack string
	}{
		{"an inspector waits for the engineer", models.Inspector, "your engineer has entered the covers", `href="/import"`},
		{"the engineer can begin", models.Engineer, `href="/import"`, "your engineer has entered"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := w.as(tt.role).get("/")
			require.Equal(t, http.StatusOK, got.status)
			require.Contains(t, got.body, "Wednesday, 25 Nov 2026")
			require.Contains(t, got.body, "no cover in the record yet")
			require.Contains(t, got.body, tt.want)
			require.NotContains(t, got.body, tt.lack)
		})
	}
}

func TestMorningSheetSaysWhatComesFirst(t *testing.T) {
	w := newWorld(t)
	off := w.cover(w.here, "CHW-V-1", models.Off)
	w.cover(w.here, "CHW-V-2", models.InPlace)
	w.cover(w.there, "CHW-FAR-9", models.Off)

	got := w.as(models.Inspector).get("/").body
	for _, want := range []string{"1 cover is off", "<b>Put back</b>", `<a href="/covers/` + string(off.Cover.ID) + `">CHW-V-1</a> gate valve NPS` + "\u00a06",
		"1 of 2 covers", "hides metal that nobody has seen", "No cover was opened in the last 30 days."} {
		require.Contains(t, got, want)
	}
	require.NotContains(t, got, "FAR", "another building’s covers do not exist for this person")
	require.NotContains(t, got, "Far Laboratory")

	all := w.as(models.Engineer).get("/").body
	require.Contains(t, all, "2 covers are off")
	require.Contains(t, all, "CHW-FAR-9")
}

func TestMorningSheetNamesFollowUps(t *testing.T) {
	w := newWorld(t)
	at := w.cover(w.here, "CHW-V-1", models.InPlace)
	_, err := w.register.OpenFollowUp(t.Context(), w.users[models.Engineer].Actor(),
		models.FollowUp{Cover: at.Cover.ID, Kind: "dry", By: "2026-11-27", Why: "found damp"})
	require.NoError(t, err)
	got := w.as(models.Inspector).get("/").body
	require.Contains(t, got, "1 finding still needs something.")
	require.Contains(t, got, "Dry the metal and close again by 27 Nov 2026: found damp")
}

func TestMorningSheetSaysTheDateWithItsReason(t *testing.T) {
	w := newWorld(t)
	late := w.taped(w.here, "CHW-V-1")
	late.Cover.Fitted = "2010-01-01"
	late = w.at(late, 6, 1, "")
	w.open(late, "2013-06-01", func(o *models.Opening) { o.Moisture = "wet"; o.Places[0].Left = "lifting" })
	off := w.cover(w.here, "CHW-V-2", models.Off)
	w.later(48 * time.Hour)
	require.NoError(t, w.register.Rescore(t.Context(), "new day", nil))
	c := w.as(models.Inspector)
	got := c.get("/").body
	require.Contains(t, got, "1 cover is past the date by which it had to be opened.")
	require.Contains(t, got, "Due 1 Jun 2023: 10 years after 1 Jun 2013, the owner&#39;s limit")
	require.Equal(t, 1, strings.Count(got, "/covers/"+string(off.Cover.ID)+`"`), "what is off is to be put back, not opened")
	for _, path := range []string{"/covers", "/due"} {
		list := c.get(path).body
		require.Contains(t, list, `<b class="act">Open now</b>, <span class="when">was due 1 Jun 2023</span><span class="because">10 years after 1 Jun 2013`, path)
	}
	require.Contains(t, c.get("/covers/"+string(late.Cover.ID)).body, `<b class="act">Open now</b>, was due 1 Jun 2023: 10 years after 1 Jun 2013`)
}
