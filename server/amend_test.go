package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
)

// recorded is a short-form opening of a cover, recorded by the inspector.
func (w *world) recorded(s models.CoverSheet) models.Opening {
	w.t.Helper()
	c := w.as(models.Inspector)
	got := c.post("/openings", with(newForm(c, s), dryAndSound))
	require.Equal(w.t, http.StatusSeeOther, got.status, got.body)
	return *w.history(s.Cover.ID)[0].Opening
}

func TestAmendmentKeepsTheOriginal(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	first := w.recorded(s)
	c, at := w.as(models.Inspector), "/openings/"+string(first.Root)
	page := c.get(at + "/amend")
	require.Contains(t, page.body, "This adds version 2")
	require.NotContains(t, page.body, `name="room_temp"`, "the room's air is no part of the opening")
	form := inputs(t, page.body, at+"/amend")
	w.later(60e9)

	got := c.post(at+"/amend", with(form, map[string]string{"moisture": "wet"}))
	require.Equal(t, http.StatusUnprocessableEntity, got.status, "a reason is needed")
	require.Contains(t, got.body, `<a href="#f-amends">`)

	change := with(form, map[string]string{"moisture": "wet", "water_clock": "6", "amends": "Misread the sheet."})
	got = c.post(at+"/amend", change)
	require.Equal(t, http.StatusSeeOther, got.status, got.body)
	require.Equal(t, at, got.header.Get("Location"))
	require.Equal(t, http.StatusSeeOther, c.post(at+"/amend", change).status, "sent twice")

	file, err := w.register.OpeningFile(t.Context(), w.users[models.Engineer].Actor(), first.Root)
	require.NoError(t, err)
	require.Len(t, file.Versions, 2)
	require.Equal(t, "dry", file.Versions[0].Moisture)
	want := first
	now := file.Now().Opening
	require.Equal(t, "wet", now.Moisture)
	require.InDelta(t, 6, *now.WaterClock, 0)
	want.ID, want.Version, want.Amends, want.EnteredAt = now.ID, 2, "Misread the sheet.", now.EnteredAt
	want.Moisture, want.WaterClock = now.Moisture, now.WaterClock
	require.Equal(t, want, now, "nothing else has changed")

	shown := c.get(at)
	for _, text := range []string{"Misread the sheet.", "Version 1</a>, the original", "Amended; the original is kept.", `<span class="water">wet</span>`} {
		require.Contains(t, shown.body, text)
	}
	require.Contains(t, c.get(at+"?version=1").body, "Version 2</a> holds")

	got = c.post(at+"/amend", with(form, map[string]string{"id": string(w.register.NewID()), "amends": "Late.", "note": "kept as typed"}))
	require.Equal(t, http.StatusPreconditionFailed, got.status, "amended meanwhile")
	require.Contains(t, got.body, "kept as typed")
}

func TestAmendmentByWhom(t *testing.T) {
	w := newWorld(t)
	o := w.recorded(w.taped(w.here, "V-1"))
	far := w.taped(w.there, "V-2")
	at := "/openings/" + string(o.Root) + "/amend"
	form := inputs(t, w.as(models.Engineer).get(at).body, at)
	form.Set("amends", "Seen again.")
	require.Equal(t, http.StatusForbidden, w.as(models.Crew).post(at, form).status)
	require.Equal(t, http.StatusNotFound, w.as(models.Inspector).get("/covers/"+string(far.Cover.ID)+"/openings/new").status)
	require.Equal(t, http.StatusSeeOther, w.as(models.Engineer).post(at, form).status)
}

// drawOpening is any opening that the form can hold.
func drawOpening(t *rapid.T, s models.CoverSheet) models.Opening {
	word := func(name string, words models.Vocabulary) string {
		return rapid.SampledFrom(append(models.Vocabulary{{}}, words...)).Draw(t, name).Code
	}
	number := func(name string, lo, hi float64) *float64 {
		return rapid.Ptr(rapid.Map(rapid.IntRange(int(lo*1000), int(hi*1000)), func(i int) float64 { return float64(i) / 1000 }), true).Draw(t, name)
	}
	answer := func(name string) *bool { return rapid.Ptr(rapid.Bool(), true).Draw(t, name) }
	o := models.Opening{ID: "a", Cover: s.Cover.ID, Outcome: "opened", Reason: word("reason", models.OpeningReasons), On: "2026-11-25",
		OpenedBy: "Ben", Drips: answer("drips"), Label: answer("label"), Moisture: "wet", WaterClock: number("clock", 0, 12),
		WaterShare: number("share", 0, 1), Blanket: word("blanket", models.BlanketStates), Mold: answer("mold"), Stain: "orange",
		Dried: word("dried", models.DryMethods), Prepared: word("prepared", models.Preparations), Coated: word("coated", models.CoatClasses),
		FilmUM: number("film", 1, 500), Cured: answer("cured"), Note: "two\r\nlines"}
	o.Metal = models.MetalFinding{Seen: true, Coating: word("coating", models.CoatingStates), Scale: "area", AreaPct: number("area", 0, 100),
		Form: word("form", models.RustForms), FreshRust: answer("fresh"), PitMM: number("pit", 0, 20)}
	if o.Metal.AreaPct == nil {
		o.Metal.Scale, o.Metal.Grade = "d610", "6"
	}
	o.Closing = models.Closing{Cover: "same", Metal: word("metal", models.ClosingMetals), Blanket: "dry", Water: "running", Label: answer("closing label")}
	o.Materials = models.Materiel{TapeM: number("tape", 0, 30), SealantML: number("sealant", 0, 900), CoatingML: number("coating used", 0, 900),
		BlanketM2: number("blanket used", 0, 3), Minutes: number("minutes", 1, 300)}
	for _, p := range append(s.Cover.Places(), models.Penetration(9)) {
		o.Places = append(o.Places, models.PlaceFinding{Place: p, Found: models.Found(word("found "+string(p), models.FoundWords)), Left: "patched"})
	}
	for range rapid.IntRange(0, 5).Draw(t, "readings") {
		o.Readings = append(o.Readings, models.ThicknessReading{Point: "top", Value: *rapid.Ptr(rapid.Float64Range(0.1, 3.9), false).Draw(t, "wall"),
			Unit: rapid.SampledFrom([]string{"mm", "in"}).Draw(t, "unit"), CheckBlock: answer("block"), By: rapid.SampledFrom([]string{"", "Cy"}).Draw(t, "by")})
	}
	return o
}

// The form filled from an opening says that opening: amending one field changes
// no other, in either system of units.
func TestOpeningFormSaysTheOpening(t *testing.T) {
	s := models.CoverSheet{Cover: models.Cover{ID: "c", Penetrations: new(2)}}
	rapid.Check(t, func(t *rapid.T) {
		o := drawOpening(t, s)
		units := rapid.SampledFrom([]string{"IP", "SI"}).Draw(t, "units")
		f := openingForm(o, units)
		f.set("id", string(o.ID))
		got := readOpening(&form{values: url.Values(f.values)}, s.Cover, units)
		for _, x := range []struct {
			name      string
			want, got **float64
		}{{"pit", &o.Metal.PitMM, &got.Metal.PitMM}, {"film", &o.FilmUM, &got.FilmUM}, {"tape", &o.Materials.TapeM, &got.Materials.TapeM},
			{"blanket", &o.Materials.BlanketM2, &got.Materials.BlanketM2}, {"share", &o.WaterShare, &got.WaterShare}} {
			if *x.want != nil && *x.got != nil {
				if **x.want != 0 { // one binary digit may go in changing units
					require.InEpsilon(t, **x.want, **x.got, 1e-12, x.name)
				}
				*x.got = *x.want
			}
		}
		require.Equal(t, o, got)
	})
}
