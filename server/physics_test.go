package server

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// sized is a cover of which all is recorded that its physics asks for.
func (w *world) sized(tag string) models.CoverSheet {
	w.t.Helper()
	s := w.taped(w.here, tag)
	s.Component.NPS, s.Component.ServiceC, s.Component.Connection = new(6.0), new(7.0), "flanged"
	s.Cover.ThicknessMM, s.Cover.Insulation, s.Cover.Conductivity, s.Cover.PermeancePerm = new(38.0), "fibrous", new(0.038), new(0.02)
	s, err := w.register.SaveCover(w.t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(w.t, err)
	return s
}

func (w *world) priced() {
	w.t.Helper()
	b := w.here
	b.COP, b.Tariff, b.Currency = new(5.0), new(0.2), "$"
	var err error
	w.here, err = w.register.SaveBuilding(w.t.Context(), w.users[models.Engineer].Actor(), b)
	require.NoError(w.t, err)
}

func TestPhysicsOnTheCoversPage(t *testing.T) {
	w := newWorld(t)
	s := w.sized("V-1")
	w.priced()
	body := w.as(models.Engineer).get("/covers/" + string(s.Cover.ID)).body
	for _, want := range []string{
		"Air, heat and water here", "Bare, this gate valve would sweat 8,760 hours a year", "water that gets in stays",
		"75\u00a0°F and 50\u00a0% all year are assumed", `href="/import"`, "half of the month or more in every month",
		"Bare metal sweats", "8,760\u00a0h a year, 100\u00a0% of it", "Thickness that stays dry", "is fitted",
		"85\u00a0°F with a dew point of 80\u00a0°F", "with its long seam open by", "By diffusion only", "Until the cover is 5\u00a0% water",
		"(±30\u00a0%)", "(±20\u00a0%)", "Bare, about $", "For a plant with a COP of 5 and $0.2 a kWh",
		"What the next re-closing takes", "cartridge", "waste of tape", "if the cover is made anew",
		"Churchill and Chu 1975", "common practice", "emissivity of the outside 0.90",
	} {
		require.Contains(t, body, want)
	}
	require.NotContains(t, body, "What the record does not say")
	require.NotContains(t, body, "permeance of the facing", "it is recorded")
	require.Less(t, len(body), 150_000, "first load, styles and scripts come to it")
}

func TestPhysicsSaysWhatIsMissing(t *testing.T) {
	w := newWorld(t)
	s := w.sized("V-1")
	s.Cover.ThicknessMM = nil
	s, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(t, err)
	page := "/covers/" + string(s.Cover.ID)
	for _, c := range []struct {
		role    models.Role
		wanted  []string
		unasked []string
	}{
		{models.Engineer, []string{page + "/edit#f-thickness", "/buildings/" + string(w.here.ID) + "/edit#f-cop", "The thickness of the insulation", "cannot be said yet", "is needed"}, []string{"Cost of that heat", "Water that gets in"}},
		{models.Inspector, []string{"The thickness of the insulation"}, []string{page + "/edit#f-thickness", "/edit#f-cop", `href="/import"`}},
	} {
		body := w.as(c.role).get(page).body
		for _, want := range c.wanted {
			require.Contains(t, body, want, c.role)
		}
		for _, not := range c.unasked {
			require.NotContains(t, body, not, c.role)
		}
	}
	edit := w.as(models.Engineer).get(page + "/edit").body
	for _, field := range []string{"nps", "thickness"} {
		require.Contains(t, edit, `id="`+fieldID(field)+`"`, "the link must find its field")
	}
	building := w.as(models.Engineer).get("/buildings/" + string(w.here.ID) + "/edit").body
	for _, field := range []string{"cop", "tariff"} {
		require.Contains(t, building, `id="`+fieldID(field)+`"`, "the link must find its field")
	}
}

func TestPhysicsInBothUnits(t *testing.T) {
	w := newWorld(t)
	s := w.sized("V-1")
	page := "/covers/" + string(s.Cover.ID)
	c := w.as(models.Engineer)
	require.Contains(t, c.get(page).body, "1.496\u00a0in is fitted")
	u := w.users[models.Engineer]
	u.Units = "SI"
	_, err := w.register.SaveUser(t.Context(), w.users[models.Admin].Actor(), u)
	require.NoError(t, err)
	body := c.get(page).body
	require.Contains(t, body, "38\u00a0mm is fitted")
	require.Contains(t, body, "29.4\u00a0°C with a dew point of 26.7\u00a0°C")
}

func TestPhysicsOfACoverThatIsGone(t *testing.T) {
	w := newWorld(t)
	s := w.sized("V-1")
	s.Cover.State = models.Retired
	s, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(t, err)
	require.NotContains(t, w.as(models.Engineer).get("/covers/"+string(s.Cover.ID)).body, "Air, heat and water here")
}

// The client holds every answer to the description of the API.
func TestPhysicsByAPI(t *testing.T) {
	w := newWorld(t)
	s := w.sized("V-1")
	far := w.cover(w.there, "V-9", models.InPlace)
	path := "/api/v1/covers/" + string(s.Cover.ID) + "/physics"
	c := w.as(models.Inspector)
	got := c.api(get, path, "")
	require.Equal(t, http.StatusOK, got.status, got.body)
	for _, want := range []string{`"bare_hours_below_dew_point":8760`, `"thickness_mm":38`, `"field":"cop"`, `"own_air":true`} {
		require.Contains(t, got.body, want)
	}
	require.NotContains(t, got.body, "money_per_year", "no price is recorded")
	w.priced()
	require.Contains(t, c.api(get, path, "").body, "money_per_year")
	require.Equal(t, http.StatusNotFound, c.api(get, "/api/v1/covers/"+string(far.Cover.ID)+"/physics", "").status, "another building")

	bare := w.cover(w.here, "V-2", models.InPlace) // no size, no thickness
	got = w.as(models.Engineer).api(get, "/api/v1/covers/"+string(bare.Cover.ID)+"/physics", "")
	require.Equal(t, http.StatusOK, got.status, got.body)
	require.Contains(t, got.body, `"missing":[{`)
}

func TestMonthRuns(t *testing.T) {
	for want, months := range map[string]string{
		"":                            "............",
		"May to September":            "....xxxxx...",
		"November to February":        "xx........xx",
		"January":                     "x...........",
		"March and in July to August": "..x...xx....",
		"December":                    "...........x",
		"January to December":         "xxxxxxxxxxxx",
		"October to August":           "xxxxxxxx.xxx",
	} {
		var set [12]bool
		for i := range set {
			set[i] = months[i] == 'x'
		}
		got := strings.Join(monthRuns(set), " and in ")
		require.Equal(t, want, got, months)
	}
}

func TestYearsSay(t *testing.T) {
	for want, v := range map[string]float64{"under a month": 0.05, "6 months": 0.5, "12 months": 1, "2.3 years": 2.345, "35 years": 34.6, "1,000 years": 999, "over 1,000 years": 1500} {
		require.Equal(t, want, yearsSay(v))
	}
}
