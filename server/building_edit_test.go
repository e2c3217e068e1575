package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// What is wrong with a building is said at its field, everything at once;
// nothing that was typed is lost and nothing is stored.
func TestBuildingFormIsRefused(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	form := inputs(t, c.get("/buildings/"+string(w.here.ID)+"/edit").body, "/buildings")
	require.Equal(t, "North Hall", form.Get("name"))
	for _, x := range []struct {
		name   string
		change map[string]string
		status int
		want   []string
	}{
		{"nothing typed", map[string]string{"name": "", "time_zone": ""}, 422, []string{"Give the building a name.", `href="#f-name"`, `href="#f-time_zone"`}},
		{"a zone that is none", map[string]string{"time_zone": "Boston", "name": payload}, 422, []string{"is not a time zone", "Boston"}},
		{"words for numbers", map[string]string{"year_built": "old", "altitude": "high", "cop": "1e999", "tariff": "12,5", "labor_rate": "NaN"}, 422,
			[]string{"old", "high", "12,5", `href="#f-year_built"`, `href="#f-altitude"`, `href="#f-cop"`, `href="#f-tariff"`, `href="#f-labor_rate"`}},
		{"out of range", map[string]string{"year_built": "1500", "limit_years": "99", "first_look_years": "0", "ton_hour_cost": "-1"}, 422,
			[]string{"a year between 1700 and 2200", "between 0.5 and 30 years", `href="#f-ton_hour_cost"`, "1500"}},
		{"another one's name", map[string]string{"name": "Far Laboratory"}, 422, []string{"There is already a building of this name.", "Far Laboratory"}},
		{"an old version", map[string]string{"version": "7"}, 412, []string{"North Hall"}},
		{"no version", map[string]string{"version": ""}, 428, []string{"which version"}},
		{"not there", map[string]string{"id": "0192f0c0-0000-7000-8000-00000000dead"}, 404, nil},
	} {
		a := c.post("/buildings", with(form, x.change))
		require.Equal(t, x.status, a.status, "%s: %s", x.name, a.body)
		for _, want := range x.want {
			require.Contains(t, a.body, want, x.name)
		}
		require.NotContains(t, a.body, "<script>alert", x.name)
		if x.status == 422 {
			require.Contains(t, a.body, "Nothing that you typed is lost", x.name)
		}
	}
	now, err := w.register.Building(t.Context(), w.users[models.Engineer].Actor(), w.here.ID)
	require.NoError(t, err)
	require.Equal(t, w.here, now, "nothing was stored")

	saved := c.post("/buildings", with(form, map[string]string{"year_built": "1968", "limit_years": "8.5", "note": "one\ntwo"}))
	require.Equal(t, http.StatusSeeOther, saved.status, saved.body)
	now, err = w.register.Building(t.Context(), w.users[models.Engineer].Actor(), w.here.ID)
	require.NoError(t, err)
	require.Equal(t, 8.5, *now.LimitYears)
	require.Equal(t, 1968, *now.YearBuilt)
}

func TestBuildingFormIsForWhoMay(t *testing.T) {
	w := newWorld(t)
	form := url.Values{"name": {"East Hall"}, "time_zone": {"UTC"}}
	require.Equal(t, http.StatusForbidden, w.as(models.Owner).post("/buildings", form).status)
	engineer := w.users[models.Engineer]
	engineer.AllBuildings = false
	_, err := w.register.SaveUser(t.Context(), w.users[models.Admin].Actor(), engineer)
	require.NoError(t, err)
	c := w.as(models.Engineer)
	require.Equal(t, http.StatusForbidden, c.post("/buildings", form).status, "only who sees all buildings may add one")
	require.Equal(t, http.StatusNotFound, c.get("/buildings/"+string(w.there.ID)+"/edit").status)
	far := url.Values{"id": {string(w.there.ID)}, "version": {"1"}, "name": {"Mine"}, "time_zone": {"UTC"}}
	require.Equal(t, http.StatusNotFound, c.post("/buildings", far).status)
}
