package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// edited is one sort of record that is added and changed through the API, with
// a body in which every field is given.
type edited struct {
	noun, body, changed string
	as, not             models.Role // who may, who may not
}

func editedNouns(w *world, room, loop models.ID) []edited {
	here := string(w.here.ID)
	return []edited{
		{"buildings", `{"name":"East Hall","time_zone":"America/New_York","currency":"$","year_built":1972,"asbestos_register":"room 3",
			"altitude_m":120.5,"labor_rate_per_h":95,"tape_price_per_m":1.25,"cop":4.2,"tariff_per_kwh":0.14,"cost_per_ton_hour":0.2,
			"limit_years":8,"first_look_years":2.5,"note":"two\nlines"}`, `{"name":"East Hall 2","time_zone":"UTC"}`, models.Engineer, models.Inspector},
		{"rooms", `{"building_id":"` + here + `","name":"Vault","kind":"closed","temp_c":21.5,"order":3,"note":"keys at the desk"}`,
			`{"name":"Vault 2"}`, models.Engineer, models.Crew},
		{"loops", `{"building_id":"` + here + `","name":"DTW","kind":"dual","supply_c":6.7,"return_c":12.2,"hot_c":60,
			"hot_season":{"from":"10-15","to":"04-14"},"stopped_season":{"from":"05-01","to":"05-10"}}`,
			`{"name":"CHW","kind":"chilled"}`, models.Engineer, models.Inspector},
		{"covers", `{"room_id":"` + string(room) + `","loop_id":"` + string(loop) + `","label":"DL-0007","state":"in_place","tag":"V-7","kind":"gate_valve",
			"nps":6,"material":"carbon_steel","connection":"flanged","side":"supply","service_c":5.6,"pressure_bar":10.3,"nominal_wall_mm":7.11,
			"schedule":"40","class":2,"where":"behind the pump","height_m":2.4,"access":"ladder","people":2,"permit":"hot work","flow":"always",
			"order":4,"below":"electrical","spare":"partial","without":"floor","pools":true,"note":"stem leaks","insulation":"nitrile",
			"thickness_mm":25,"conductivity_w_per_m_k":0.038,"facing":"foil","permeance_perm":0.02,"closure":"tape","penetrations":1,
			"seam_clock":6,"sight_port":true,"inhibitor":"none left","pattern":"P-12","fitted":"2024-03-01","coated_on":"2024-02-28",
			"coat_quality":"high","cover_note":"new strap"}`,
			`{"room_id":"` + string(room) + `","state":"in_place","tag":"V-7b","kind":"gate_valve"}`, models.Engineer, models.Crew},
		{"people", `{"login":"nia","name":"Nia Crew","role":"crew","all_buildings":false,"building_ids":["` + here + `"],"until":"2027-01-31",
			"units":"SI","disabled":false}`, `{"login":"nia","name":"Nia Crew","role":"owner","all_buildings":true}`, models.Admin, models.Engineer},
	}
}

// What is added comes back as it was sent, is changed by its version only, and
// can be sent back as it was got.
func TestAPIEditsByVersion(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	loop, err := w.register.SaveLoop(t.Context(), w.users[models.Admin].Actor(), models.Loop{Building: w.here.ID, Name: "CHW-1", Kind: "chilled"})
	require.NoError(t, err)
	for _, n := range editedNouns(w, at.Room.ID, loop.ID) {
		t.Run(n.noun, func(t *testing.T) {
			c, all := w.as(n.as), "/api/v1/"+n.noun
			require.Equal(t, http.StatusForbidden, w.as(n.not).api("POST", all, n.body).status)
			made := c.api("POST", all, n.body)
			require.Equal(t, http.StatusCreated, made.status, made.body)
			require.Equal(t, `"1"`, made.header.Get("ETag"))
			one := made.header.Get("Location")
			first := c.api("GET", one, "")
			require.Equal(t, `"1"`, first.header.Get("ETag"))
			require.JSONEq(t, n.body, without(t, first.body, "id", "version"), "every field comes back")
			require.Equal(t, 304, c.api("GET", one, "", "If-None-Match", `"0", W/"1"`).status)
			require.Equal(t, 200, c.api("GET", one, "", "If-None-Match", `"2"`).status)

			for _, x := range []struct {
				name, path, body, match string
				status                  int
				want                    string
			}{
				{"without a version", one, n.changed, "", 428, "If-Match"},
				{"no version at all", one, n.changed, `"0"`, 412, ""},
				{"no tag", one, n.changed, "1", 412, ""},
				{"a later version", one, n.changed, `"2"`, 412, ""},
				{"not there", all + "/0192f0c0-0000-7000-8000-00000000dead", n.changed, `"1"`, 404, "There is no such"},
				{"another one's ID", one, strings.Replace(n.changed, "{", `{"id":"x",`, 1), `"1"`, 422, `"field":"id"`},
				{"another version", one, strings.Replace(n.changed, "{", `{"version":7,`, 1), `"1"`, 422, `"field":"version"`},
				{"an unknown field", one, strings.Replace(n.changed, "{", `{"owner":"me",`, 1), `"1"`, 422, `"field":"owner"`},
				{"this version", one, n.changed, `"1"`, 200, ""},
				{"the version before", one, n.changed, `"1"`, 412, "meanwhile"},
			} {
				a := c.api("PUT", x.path, x.body, header("If-Match", x.match)...)
				require.Equal(t, x.status, a.status, "%s: %s", x.name, a.body)
				require.Contains(t, a.body, x.want, x.name)
			}
			now := c.api("GET", one, "")
			require.Equal(t, `"2"`, now.header.Get("ETag"))
			back := c.api("PUT", one, now.body, "If-Match", `"2"`)
			require.Equal(t, 200, back.status, back.body)
			require.JSONEq(t, without(t, now.body, "version"), without(t, back.body, "version"), "what was got can be sent back")
			posted := c.api("POST", all, now.body)
			require.Equal(t, 422, posted.status, "the service gives IDs: %s", posted.body)
		})
	}
}

// header is a header by name, none where it is empty.
func header(name, value string) []string {
	if value == "" {
		return nil
	}
	return []string{name, value}
}

// without is a JSON object without some of its fields.
func without(t *testing.T, body string, names ...string) string {
	t.Helper()
	var m map[string]any
	require.NoError(t, json.Unmarshal([]byte(body), &m), body)
	for _, name := range names {
		delete(m, name)
	}
	out, err := json.Marshal(m)
	require.NoError(t, err)
	return string(out)
}

// Each fault has the name that the field has in the body.
func TestAPIFaultsAreNamed(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	room, c := string(at.Room.ID), w.as(models.Admin)
	for _, x := range []struct {
		method, path, body string
		want               []string
	}{
		{"POST", "buildings", `{"name":"","time_zone":"Mars","altitude_m":1e5,"labor_rate_per_h":-1,"cost_per_ton_hour":-1,"tape_price_per_m":-1,"tariff_per_kwh":-1}`,
			[]string{"name", "time_zone", "altitude_m", "labor_rate_per_h", "cost_per_ton_hour", "tape_price_per_m", "tariff_per_kwh"}},
		{"POST", "buildings", `{"name":"North Hall","time_zone":"UTC"}`, []string{"name"}},
		{"POST", "buildings", `{"name":7,"cop":"good","year_built":1980.5,"floors":[]}`, []string{"name", "cop", "year_built", "floors"}},
		{"POST", "rooms", `{"building_id":"` + string(w.here.ID) + `","name":"","temp_c":100}`, []string{"name", "temp_c"}},
		{"POST", "loops", `{"building_id":"` + string(w.here.ID) + `","name":"X","kind":"dual","supply_c":-90}`, []string{"supply_c", "hot_season", "hot_c"}},
		{"POST", "loops", `{"name":"X","hot_season":{"from":"10-15","till":"04-14"},"stopped_season":"May"}`, []string{"hot_season.till", "stopped_season"}},
		{"POST", "covers", `{"room_id":"` + room + `","tag":"","kind":"tap","state":"gone","nominal_wall_mm":900,"thickness_mm":0,"conductivity_w_per_m_k":-1,"permeance_perm":-1}`,
			[]string{"tag", "kind", "state", "nominal_wall_mm", "thickness_mm", "conductivity_w_per_m_k", "permeance_perm"}},
		{"POST", "covers", `{"room_id":"` + room + `","tag":"X","kind":"pump","state":"in_place","loop_id":"none"}`, []string{"loop_id"}},
		{"POST", "covers", `{"tag":"X","kind":"pump","state":"in_place"}`, []string{"room_id"}},
		{"POST", "covers", `{"room_id":"` + room + `","tag":"X","kind":"pump","state":"in_place","fitted":"2026-02-30","coated_on":""}`, []string{"fitted", "coated_on"}},
		{"POST", "people", `{"login":"a b","name":"","role":"king","building_ids":["none"]}`, []string{"login", "name", "role", "building_ids"}},
		{"POST", "people", `{"login":"admin","name":"A","role":"owner","all_buildings":true}`, []string{"login"}},
		{"POST", "people", `{"login":"c","name":"C","role":"crew","all_buildings":true}`, []string{"until"}},
		{"PUT", "policy", `{"limit_years":0,"gauge_error_mm":9,"drive_ref_pa_h":1,"wet_year_cost_openings":0}`,
			[]string{"limit_years", "first_look_years", "horizon_years", "gauge_error_mm", "wet_year_cost_openings", "look_years", "drive_ref_pa_h", "round_days"}},
		{"POST", "openings", apiOpeningBody(at.Cover.ID, map[string]any{"area_pct": 200, "film_um": 0, "tape_m": -1, "readings": []map[string]any{{"point": "", "value": 7, "unit": "ft"}}}),
			[]string{"area_pct", "film_um", "tape_m", "readings[0].value", "readings[0].point"}},
		{"POST", "openings", apiOpeningBody(at.Cover.ID, map[string]any{"places": []map[string]any{{"place": "lid", "color": "red"}, {"place": 7}}}),
			[]string{"places[0].color", "places[1].place"}},
		{"POST", "openings", apiOpeningBody(at.Cover.ID, map[string]any{"places": []map[string]any{}}), []string{"places.long_seam.left", "places.near_end.left", "places.far_end.left", "places.edges_corners.left", "places.facing.left"}},
		{"POST", "openings", apiOpeningBody(at.Cover.ID, map[string]any{"wet": true}), []string{"id"}},
		{"POST", "openings", `{"moisture":"dry","moisture":"wet"}`, []string{"moisture"}},
		{"POST", "openings", `[]`, []string{"body"}},
		{"POST", "openings", `null`, []string{"body"}},
		{"POST", "looks", `{"cover_id":"` + string(at.Cover.ID) + `","on":"2027-01-01","by":"","port":"foggy","places":[{"place":"lid","found":"gone"}]}`,
			[]string{"on", "by", "in_place", "port", "places", "places.lid.found"}},
		{"POST", "rooms/" + room + "/readings", `{"relative_humidity":0.5}`, []string{"at", "temp_c"}},
		{"POST", "rooms/" + room + "/readings", `{"at":"2026-11-25T10:00:00Z","temp_c":24,"relative_humidity":50,"dew_point_c":30}`, []string{"relative_humidity", "dew_point_c"}},
		{"POST", "rooms/" + room + "/readings", `{"at":"yesterday","temp_c":24}`, []string{"at"}},
		{"POST", "covers/" + string(at.Cover.ID) + "/readings", `{"on":"2030-01-01","by":"","readings":[{"id":"7","point":"","value":0,"unit":"mm"}]}`,
			[]string{"on", "by", "id", "readings[0].value", "readings[0].point"}},
		{"POST", "follow-ups", `{"cover_id":"` + string(at.Cover.ID) + `","kind":"magic","why":""}`, []string{"kind", "why", "by"}},
		{"POST", "deferrals", `{"cover_ids":[],"reason":""}`, []string{"cover_ids", "reason", "until"}},
	} {
		a := c.api(x.method, api+x.path, x.body, "Idempotency-Key", apiKey, "If-Match", `"0"`)
		require.Equal(t, 422, a.status, "%s: %s", x.body, a.body)
		var p problem
		require.NoError(t, json.Unmarshal([]byte(a.body), &p))
		got := map[string]bool{}
		for _, f := range p.Faults {
			got[f.Field] = true
		}
		for _, field := range x.want {
			require.True(t, got[field], "%s %s: %s is not among %v", x.path, x.body, field, p.Faults)
		}
		require.Len(t, got, len(x.want), "%s: %v", x.body, p.Faults)
	}
}

func TestAPIPolicy(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	got := c.api("GET", "/api/v1/policy", "")
	require.Equal(t, `"0"`, got.header.Get("ETag"), "the policy that ships")
	require.Equal(t, 200, w.as(models.Crew).api("GET", "/api/v1/policy", "").status, "what is shown where it is used is no secret")
	body := strings.Replace(got.body, `"limit_years":10`, `"limit_years":7.5,"threshold":0.4`, 1)
	for _, x := range []struct {
		name, match string
		status      int
	}{{"no version", "", 428}, {"a version to come", `"3"`, 412}, {"as it ships", `"0"`, 200}, {"again", `"0"`, 412}} {
		require.Equal(t, x.status, c.api("PUT", "/api/v1/policy", body, header("If-Match", x.match)...).status, x.name)
	}
	now := c.api("GET", "/api/v1/policy", "")
	require.Contains(t, now.body, `"limit_years":7.5`)
	require.Contains(t, now.body, `"threshold":0.4`)
	require.Equal(t, `"1"`, now.header.Get("ETag"))
	require.Equal(t, 304, c.api("GET", "/api/v1/policy", "", "If-None-Match", `"1"`).status)
}

// Every route that takes JSON refuses what it does not know, other content and
// bodies without end, whoever sends them.
func TestAPIBodiesAreRead(t *testing.T) {
	w := newWorld(t)
	c, n := w.as(models.Admin), 0
	for _, r := range apiRoutes() {
		if !takesJSON(operation(t, r)) || strings.Contains(r.Path, "/imports") {
			continue
		}
		n++
		send := func(kind, body string) answer {
			c.header = http.Header{"Sec-Fetch-Site": {"same-origin"}, "If-Match": {`"1"`}, "Idempotency-Key": {apiKey}}
			return c.send(r.Method, sample(r.Path), kind, body)
		}
		name := r.Method + " " + r.Path
		a := send("application/json", `{"id_of_nothing":1,"recorder":"me"}`)
		require.Equal(t, 422, a.status, "%s: %s", name, a.body)
		require.Contains(t, a.body, `{"field":"id_of_nothing","message":"is no field of this"},{"field":"recorder"`, name)
		require.Equal(t, 415, send("text/plain", "{}").status, name)
		require.Equal(t, 415, send("", "{}").status, name)
		require.Equal(t, 413, send("application/json", strings.Repeat(" ", formBytes)+"{}").status, name)
		deep := send("application/json", `{"a":`+strings.Repeat("[", 200_000))
		require.Equal(t, 422, deep.status, name)
		many := send("application/json", "{"+strings.Repeat(`"k":1,`, 100_000)+`"k":1}`)
		require.Equal(t, 422, many.status, name)
		require.Less(t, len(many.body), 20_000, name)
	}
	require.Greater(t, n, 15, fmt.Sprint("of ", len(apiRoutes())))
}
