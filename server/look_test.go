package server

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestLook(t *testing.T) {
	w := newWorld(t)
	tests := []struct {
		name   string
		change map[string]string
		status int
		want   string // on the page that follows
		check  func(*testing.T, models.Look)
	}{
		{"sound and in place", map[string]string{"in_place": "yes", "found_all": "sound"}, http.StatusSeeOther, "Look recorded.", func(t *testing.T, l models.Look) {
			require.Len(t, l.Places, 6)
			require.False(t, l.SealBroken())
			require.Equal(t, "Pat inspector", l.By)
		}},
		{"drips", map[string]string{"in_place": "yes", "drips": "yes", "note": "at the low point"}, http.StatusSeeOther, "Follow-up: look at it, by 25 Nov 2026.", nil},
		{"place by place", map[string]string{"in_place": "yes", "found_all": "each", "found_near_end": "lifting", "port": "wet"}, http.StatusSeeOther, "Follow-up: look at it", func(t *testing.T, l models.Look) {
			require.Equal(t, []models.PlaceFinding{{Place: models.NearEnd, Found: "lifting"}}, l.Places)
			require.Equal(t, "wet", l.Port)
		}},
		{"off", map[string]string{"in_place": "no", "found_all": "sound", "port": "wet"}, http.StatusSeeOther, "The cover is off: putting it back comes first.", func(t *testing.T, l models.Look) {
			require.Empty(t, l.Places, "there is no seal to look at")
			require.Empty(t, l.Port)
		}},
		{"in place or off?", nil, http.StatusUnprocessableEntity, `<a href="#f-in_place">Is the cover in place or off?`, nil},
		{"no day", map[string]string{"in_place": "yes", "on": "soon"}, http.StatusUnprocessableEntity, `value="soon"`, nil},
		{"day to come", map[string]string{"in_place": "yes", "on": "2026-11-26"}, http.StatusUnprocessableEntity, "in the future", nil},
		{"nobody", map[string]string{"in_place": "yes", "by": ""}, http.StatusUnprocessableEntity, "who looked", nil},
	}
	c := w.as(models.Inspector)
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := w.taped(w.here, "V-"+string(rune('1'+i)))
			form := with(inputs(t, c.get("/covers/"+string(s.Cover.ID)+"/looks/new").body, "/looks"), tt.change)
			got := c.post("/looks", form)
			require.Equal(t, tt.status, got.status, got.body)
			if tt.status != http.StatusSeeOther {
				require.Contains(t, got.body, tt.want)
				require.Empty(t, w.history(s.Cover.ID))
				return
			}
			require.Contains(t, c.get(got.header.Get("Location")).body, tt.want)
			require.Equal(t, http.StatusSeeOther, c.post("/looks", form).status, "sent twice")
			history := w.history(s.Cover.ID)
			require.Len(t, history, 1)
			if tt.check != nil {
				tt.check(t, *history[0].Look)
			}
		})
	}
}

// A cover without sight port is not asked about one.
func TestLookAsksForTheSightPortThatIsThere(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Crew)
	with, without := w.taped(w.here, "V-1"), w.cover(w.here, "V-2", models.InPlace)
	require.Contains(t, c.get("/covers/"+string(with.Cover.ID)+"/looks/new").body, `name="port"`)
	require.NotContains(t, c.get("/covers/"+string(without.Cover.ID)+"/looks/new").body, `name="port"`)
}
