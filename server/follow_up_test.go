package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestFollowUpsByBuildingLateFirst(t *testing.T) {
	w := newWorld(t)
	engineer := w.as(models.Engineer)
	here, there := w.taped(w.here, "V-1"), w.taped(w.there, "FAR-9")
	require.Contains(t, engineer.get("/follow-ups").body, "No finding waits for anything.")
	for _, f := range []url.Values{
		{"cover": {string(here.Cover.ID)}, "kind": {"coat"}, "why": {"bare steel"}, "by": {"2027-02-01"}},
		{"cover": {string(here.Cover.ID)}, "kind": {"look"}, "why": {"reported dripping"}, "by": {"2026-11-20"}},
		{"cover": {string(there.Cover.ID)}, "kind": {"engineer"}, "why": {"bulge"}, "by": {"2026-11-24"}},
	} {
		got := engineer.post("/follow-ups", f)
		require.Equal(t, http.StatusSeeOther, got.status, got.body)
		require.Equal(t, "/covers/"+f.Get("cover"), got.header.Get("Location"))
	}
	all := engineer.get("/follow-ups").body
	require.Contains(t, all, "3 findings still need something; 2 are past their day.")
	require.Less(t, strings.Index(all, "reported dripping"), strings.Index(all, "bare steel"), "the late one comes first")
	require.Equal(t, 2, strings.Count(all, `<li class="late">`))
	require.Contains(t, all, "/covers/"+string(here.Cover.ID)+"/looks/new?for=")
	require.Contains(t, all, "/covers/"+string(there.Cover.ID)+"/openings/new?for=")

	own := w.as(models.Inspector).get("/follow-ups").body
	require.NotContains(t, own, "FAR-9")
	require.NotContains(t, own, w.there.Name)
	require.Contains(t, own, "2 findings still need something")
	require.NotContains(t, w.as(models.Owner).get("/follow-ups").body, "openings/new", "an owner records nothing")
}

func TestFollowUpOpenedByHand(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	at := "/covers/" + string(s.Cover.ID) + "/follow-ups/new"
	require.Equal(t, string(s.Cover.ID), inputs(t, c.get(at).body, "/follow-ups").Get("cover"))
	tests := []struct{ field, typed, want string }{
		{"kind", "", "Say what is needed."},
		{"why", "", "Say why."},
		{"why", strings.Repeat("w", 401), "400 characters"},
		{"by", "", "by which it is wanted"},
		{"by", "31.12.2026", "is not a date"},
	}
	for _, tt := range tests {
		t.Run(tt.field+" "+tt.want, func(t *testing.T) {
			form := url.Values{"cover": {string(s.Cover.ID)}, "kind": {"coat"}, "why": {"bare steel"}, "by": {"2027-02-01"}}
			form.Set(tt.field, tt.typed)
			got := c.post("/follow-ups", form)
			require.Equal(t, http.StatusUnprocessableEntity, got.status)
			require.Contains(t, got.body, `<a href="#f-`+tt.field+`">`)
			require.Contains(t, got.body, tt.want)
			require.Contains(t, got.body, tt.typed)
		})
	}
	require.Contains(t, c.get("/follow-ups").body, "No finding waits")
}

func TestFollowUpClosesByARecordOnly(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	got := c.post("/openings", with(newForm(c, s), map[string]string{"stop": "yes"}))
	require.Equal(t, http.StatusSeeOther, got.status)
	file, err := w.register.CoverFile(t.Context(), w.users[models.Engineer].Actor(), s.Cover.ID)
	require.NoError(t, err)
	at := "/follow-ups/" + string(file.FollowUps[0].ID) + "/close"

	e := w.as(models.Engineer)
	require.Contains(t, e.get(at).body, "there is none yet")
	got = e.post(at, url.Values{"record": {string(file.FollowUps[0].From)}, "why": {"looked"}})
	require.Equal(t, http.StatusUnprocessableEntity, got.status, "the record that asked for it does not close it")

	w.later(3600e9)
	o := w.recorded(s)
	form := e.get(at)
	require.Contains(t, form.body, `value="`+string(o.Root)+`"`)
	require.NotContains(t, form.body, string(file.FollowUps[0].From), "what asked for it is not offered")
	tests := []struct{ name, record, why, field string }{
		{"no record", "", "looked", "record"},
		{"no word", string(o.Root), " ", "why"},
		{"another record", string(w.recorded(w.taped(w.here, "V-2")).Root), "looked", "record"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := e.post(at, url.Values{"record": {tt.record}, "why": {tt.why}})
			require.Equal(t, http.StatusUnprocessableEntity, got.status)
			require.Contains(t, got.body, `<a href="#f-`+tt.field+`">`)
		})
	}
	got = e.post(at, url.Values{"record": {string(o.Root)}, "why": {"Scale is loose paint."}})
	require.Equal(t, http.StatusSeeOther, got.status, got.body)
	require.Contains(t, e.get("/follow-ups").body, "Closed: the engineer looks on V-1.")
	require.Contains(t, e.get(at).body, "Scale is loose paint.")
}
