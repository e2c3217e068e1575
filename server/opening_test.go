package server

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"drylag/models"
)

// taped is a cover with tape and one penetration, so seven places to look at.
func (w *world) taped(b models.Building, tag string) models.CoverSheet {
	w.t.Helper()
	s := w.cover(b, tag, models.InPlace)
	s.Cover.Closure, s.Cover.Penetrations, s.Cover.SightPort = "tape", new(1), true
	s, err := w.register.SaveCover(w.t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(w.t, err)
	return s
}

// inputs are the fields of the page's form as a browser would send them,
// untouched.
func inputs(t *testing.T, body, action string) url.Values {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(body))
	require.NoError(t, err)
	out := url.Values{}
	for n := range doc.Descendants() {
		if n.Data != "form" || attr(n, "action") != action {
			continue
		}
		for c := range n.Descendants() {
			box := attr(c, "type") == "radio" || attr(c, "type") == "checkbox"
			switch {
			case c.Data == "input" && (!box || has(c, "checked")):
				out.Add(attr(c, "name"), attr(c, "value"))
			case c.Data == "textarea" && c.FirstChild != nil:
				out.Add(attr(c, "name"), c.FirstChild.Data)
			case c.Data == "option" && has(c, "selected"):
				out.Add(attr(c.Parent, "name"), attr(c, "value"))
			}
		}
	}
	require.NotEmpty(t, out, "no form to %s", action)
	return out
}

// with is a form with other answers; an empty one takes the answer away.
func with(form url.Values, change map[string]string) url.Values {
	out := maps.Clone(form)
	for name, v := range change {
		out.Del(name)
		if v != "" {
			out.Set(name, v)
		}
	}
	return out
}

// dryAndSound are the answers of the short form.
var dryAndSound = map[string]string{"outcome": "opened", "reason": "periodic", "path": "short", "found_all": "sound", "moisture": "dry", "blanket": "dry",
	"rust": "ri:Ri 1", "fresh_rust": "no", "closing_cover": "same", "closing_metal": "dry", "closing_blanket": "dry",
	"closing_water": "running", "left_all": "renewed"}

func (w *world) history(cover models.ID) []models.HistoryItem {
	w.t.Helper()
	file, err := w.register.CoverFile(w.t.Context(), w.users[models.Engineer].Actor(), cover)
	require.NoError(w.t, err)
	return file.History
}

func newForm(c *client, s models.CoverSheet) url.Values {
	c.w.t.Helper()
	page := c.get("/covers/" + string(s.Cover.ID) + "/openings/new")
	require.Equal(c.w.t, http.StatusOK, page.status, page.body)
	return inputs(c.w.t, page.body, "/openings")
}

// Who and when stand there to be seen; nothing else is answered.
func TestNewOpeningAnswersNothing(t *testing.T) {
	w := newWorld(t)
	form := newForm(w.as(models.Inspector), w.taped(w.here, "V-1"))
	for _, name := range slices.Sorted(maps.Keys(form)) {
		v := strings.Join(form[name], "")
		switch name {
		case "id", "cover":
			require.NotEmpty(t, v)
		case "on":
			require.Equal(t, "2026-11-25", v, "today in the building's zone")
		case "opened_by":
			require.Equal(t, "Pat inspector", v)
		default:
			require.Empty(t, v, "%s is answered beforehand", name)
		}
	}
}

func TestQuestionsComeInTheOrderOfTheWork(t *testing.T) {
	w := newWorld(t)
	page := w.as(models.Inspector).get("/covers/" + string(w.taped(w.here, "V-1").Cover.ID) + "/openings/new").body
	at := 0
	for _, name := range []string{"outcome", "reason", "path", "found_all", "drips", "label", "moisture", "water_clock", "blanket", "mold",
		"stop", "rust", "rust_form", "fresh_rust", "pit", "coating", "reading_1_value", "dried", "prepared", "coated", "film", "cured",
		"closing_cover", "closing_metal", "closing_blanket", "closing_water", "left_all", "minutes", "tape", "opened_by", "on", "note"} {
		next := strings.Index(page[at:], `name="`+name+`"`)
		require.Positive(t, next, "%s comes too early, or not at all", name)
		at += next
	}
}

func TestOpeningOfTheShortForm(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	got := c.post("/openings", with(newForm(c, s), dryAndSound))
	require.Equal(t, http.StatusSeeOther, got.status, got.body)
	require.Equal(t, "/covers/"+string(s.Cover.ID), got.header.Get("Location"))

	o := w.history(s.Cover.ID)[0].Opening
	require.Equal(t, []models.SealState{models.SealSound, models.SealSound}, []models.SealState{o.SealFound(), o.SealLeft()})
	require.Len(t, o.Places, 6)
	require.Equal(t, models.MetalFinding{Seen: true, Scale: "ri", Grade: "Ri 1", FreshRust: new(false)}, o.Metal)
	require.False(t, o.Wet())
	require.True(t, o.Closing.Dry())

	page := c.get(got.header.Get("Location"))
	require.Contains(t, page.body, "Opening recorded.")
	require.Contains(t, page.body, "Risk ")
}

func TestOpeningRefused(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	form := with(newForm(c, s), dryAndSound)
	tests := []struct {
		field, typed string // the field in which it is typed
		also         map[string]string
		at, want     string // where and what the fault is, "" the same field
		forged       bool   // an answer that the form does not offer cannot come back
	}{
		{field: "on", typed: "yesterday", want: "not a date"},
		{field: "on", typed: "2026-11-26", want: "in the future"},
		{field: "opened_by", typed: "", want: "who did the work"},
		{field: "outcome", typed: "", want: "whether it was opened"},
		{field: "outcome", typed: "opened by force", want: "not one of the answers", forged: true},
		{field: "reason", typed: "", want: "why it was opened"},
		{field: "moisture", typed: "", want: "what moisture was found"},
		{field: "blanket", typed: "", want: "whether the blanket was dry"},
		{field: "rust", typed: "", at: "rust_scale", want: "how rusted"},
		{field: "rust", typed: "ri:Ri 9", at: "rust_grade", want: "Ri 0 (clean) to Ri 5", forged: true},
		{field: "rust", typed: "iso8501:B", also: map[string]string{"coating": "intact"}, at: "rust_scale", want: "uncoated steel"},
		{field: "rust", typed: "area", at: "area", want: "rusted area in percent"},
		{field: "area", typed: "most of it", also: map[string]string{"rust": ""}, want: "not a number"},
		{field: "area", typed: "140", also: map[string]string{"rust": "area"}, want: "between 0 and 100"},
		{field: "closing_cover", typed: "", want: "same cover put back"},
		{field: "closing_metal", typed: "", want: "metal dry when the cover was closed"},
		{field: "closing_blanket", typed: "", want: "blanket dry when the cover was closed"},
		{field: "closing_water", typed: "", want: "chilled water running"},
		{field: "left_all", typed: "", want: "how the seal was left"},
		{field: "left_all", typed: "each", also: map[string]string{"left_long_seam": "renewed", "left_near_end": "renewed", "left_far_end": "renewed",
			"left_edges_corners": "undisturbed", "left_facing": "undisturbed"}, at: "left_penetration_1", want: "how the penetration 1 was left"},
		{field: "off_why", typed: " ", also: map[string]string{"closing_cover": "left_off"}, want: "why it is left off"},
		{field: "pit", typed: "1,5 mm", want: "comma"},
		{field: "pit", typed: "70 mm", want: "between 0 and 60"},
		{field: "film", typed: "8 ft 2", want: "film thickness"},
		{field: "water_share", typed: "120", also: map[string]string{"moisture": "wet"}, want: "between 0 and 1"},
		{field: "water_clock", typed: "13", also: map[string]string{"moisture": "wet"}, want: "between 0 and 12"},
		{field: "tape", typed: "1e400", want: "too large"},
		{field: "tape", typed: "-2 m", want: "between 0 and 1000"},
		{field: "sealant", typed: "a tube", want: "not a number"},
		{field: "blanket_used", typed: "NaN", want: "not a number"},
		{field: "minutes", typed: "ages", want: "not a number"},
		{field: "minutes", typed: "0", want: "between 1 and 6000"},
		{field: "room_temp", typed: "warm", also: map[string]string{"room_rh": "60"}, want: "not a number"},
		{field: "room_rh", typed: "160", also: map[string]string{"room_temp": "80"}, want: "1 to 100 %"},
		{field: "room_rh", typed: "60", at: "room_temp", want: "air temperature"},
		{field: "room_dew_point", typed: "90", also: map[string]string{"room_temp": "80"}, want: "above the air temperature"},
		{field: "reading_1_value", typed: "7,1 mm", also: map[string]string{"reading_1_point": "top"}, want: "comma"},
		{field: "reading_1_value", typed: "7.1 kg", also: map[string]string{"reading_1_point": "top"}, want: "thickness"},
		{field: "reading_1_value", typed: "7.1", also: map[string]string{"reading_1_point": "top"}, want: "between 0.1 and 100 mm"},
		{field: "reading_1_value", typed: "", also: map[string]string{"reading_1_point": "top"}, want: "wall that was read"},
		{field: "reading_3_value", typed: "7.1 mm", at: "reading_1_point", want: "Name the point"},
		{field: "stain", typed: strings.Repeat("x", 201), also: map[string]string{"moisture": "wet"}, want: "200 is the most"},
		{field: "note", typed: strings.Repeat("n", 4001), want: "4000 is the most"},
	}
	for _, tt := range tests {
		name := tt.field + " " + tt.typed[:min(len(tt.typed), 20)]
		t.Run(name, func(t *testing.T) {
			sent := with(with(form, tt.also), map[string]string{tt.field: tt.typed})
			got := c.post("/openings", sent)
			require.Equal(t, http.StatusUnprocessableEntity, got.status, got.body)
			at := tt.at
			if at == "" {
				at = tt.field
			}
			require.Contains(t, got.body, `<a href="#f-`+at+`">`, "the summary leads to the field")
			require.Contains(t, html.UnescapeString(got.body), tt.want)
			require.Contains(t, got.body, `class="fault"`, "the fault stands at its field too")
			back := inputs(t, got.body, "/openings")
			for field := range sent {
				moved := strings.HasPrefix(field, "reading_") // rows close up
				if !moved && !(tt.forged && field == tt.field) {
					require.Equal(t, strings.TrimSpace(sent.Get(field)), strings.TrimSpace(back.Get(field)), "%s is lost", field)
				}
			}
			if !tt.forged {
				require.Contains(t, got.body, html.EscapeString(tt.typed), "what was typed comes back")
			}
		})
	}
	require.Empty(t, w.history(s.Cover.ID), "nothing was stored")
}

func TestOpeningSentTwiceIsStoredOnce(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	form := with(newForm(c, s), dryAndSound)
	form.Set("room_temp", "85")
	form.Set("room_rh", "70")
	for range 2 {
		require.Equal(t, http.StatusSeeOther, c.post("/openings", form).status)
	}
	require.Len(t, w.history(s.Cover.ID), 1)
	require.Contains(t, c.get("/covers/"+string(s.Cover.ID)).body, "had arrived before and is kept once")

	got := c.post("/openings", with(form, map[string]string{"moisture": "wet"}))
	require.Equal(t, http.StatusUnprocessableEntity, got.status)
	require.Contains(t, got.body, `<a href="/openings/`+form.Get("id")+`">`, "what is recorded is led to")
	require.Equal(t, "dry", w.history(s.Cover.ID)[0].Opening.Moisture)
}

// What an outcome makes pointless is not taken, whatever the form holds.
func TestOpeningTakesWhatApplies(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Crew)
	junk := map[string]string{"pit": "1/16 in", "dried": "wiped", "tape": "9 ft", "stain": "orange", "water_clock": "6", "drips": "yes", "not_opened": "no_access", "off_why": "no part"}
	tests := []struct {
		name   string
		change map[string]string
		check  func(*testing.T, models.Opening)
		state  models.CoverState
	}{
		{"could not open", map[string]string{"outcome": "could_not_open"}, func(t *testing.T, o models.Opening) {
			require.Equal(t, "no_access", o.NotOpened)
			require.Equal(t, models.SealSound, o.SealFound())
			require.Equal(t, models.SealUnknown, o.SealLeft())
			require.True(t, *o.Drips)
			require.Equal(t, models.MetalFinding{}, o.Metal)
			require.Equal(t, models.Closing{}, o.Closing)
			require.Equal(t, models.Materiel{}, o.Materials)
			require.Empty(t, o.Moisture+o.Blanket+o.Dried)
		}, models.InPlace},
		{"already off, still off", map[string]string{"outcome": "already_off", "closing_cover": "left_off"}, func(t *testing.T, o models.Opening) {
			require.Equal(t, "Ri 1", o.Metal.Grade)
			require.InDelta(t, 1.5875, *o.Metal.PitMM, 1e-9)
			require.Nil(t, o.Metal.FreshRust, "there was no closing")
			require.Nil(t, o.Drips)
			require.Empty(t, o.Places)
			require.Equal(t, models.Closing{Cover: "left_off", OffWhy: "no part"}, o.Closing)
		}, models.Off},
		{"already off, put back", map[string]string{"outcome": "already_off"}, func(t *testing.T, o models.Opening) {
			require.Equal(t, models.SealSound, o.SealLeft())
			require.Equal(t, models.SealUnknown, o.SealFound())
			require.True(t, o.Closing.Dry())
			require.Empty(t, o.Closing.OffWhy)
			require.Equal(t, "wiped", o.Dried)
		}, models.InPlace},
		{"stopped for safety", map[string]string{"stop": "yes", "outcome": ""}, func(t *testing.T, o models.Opening) {
			require.Equal(t, "stopped", o.Outcome)
			require.Equal(t, "dry", o.Moisture)
			require.Equal(t, "Ri 1", o.Metal.Grade)
			require.Equal(t, models.Closing{}, o.Closing)
			require.Nil(t, o.Materials.TapeM)
		}, models.InPlace},
		{"dry metal has no water", nil, func(t *testing.T, o models.Opening) {
			require.Nil(t, o.WaterClock)
			require.Empty(t, o.Stain)
			require.InDelta(t, 2.7432, *o.Materials.TapeM, 1e-9)
		}, models.InPlace},
		{"left off", map[string]string{"closing_cover": "left_off"}, func(t *testing.T, o models.Opening) {
			require.Equal(t, models.Closing{Cover: "left_off", OffWhy: "no part"}, o.Closing)
			require.Equal(t, models.SealUnknown, o.SealLeft())
			require.Equal(t, models.SealSound, o.SealFound())
		}, models.Off},
	}
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := w.taped(w.here, "V-"+string(rune('1'+i)))
			got := c.post("/openings", with(with(with(newForm(c, s), dryAndSound), junk), tt.change))
			require.Equal(t, http.StatusSeeOther, got.status, got.body)
			o := w.history(s.Cover.ID)[0].Opening
			tt.check(t, *o)
			file, err := w.register.Cover(t.Context(), w.users[models.Engineer].Actor(), s.Cover.ID)
			require.NoError(t, err)
			require.Equal(t, tt.state, file.Cover.State)
		})
	}
}

func TestStoppedForSafetyAsksNothing(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	got := c.post("/openings", with(newForm(c, s), map[string]string{"stop": "yes", "rust": "d610:2"}))
	require.Equal(t, http.StatusSeeOther, got.status, got.body)
	page := c.get(got.header.Get("Location")).body
	require.Contains(t, page, "Follow-up: the engineer looks, by 25 Nov 2026.")
	require.Contains(t, page, "Why it was opened is not recorded; opened by Pat inspector")
}

func TestRoomAirStandsForTwoHours(t *testing.T) {
	w := newWorld(t)
	s, next := w.taped(w.here, "V-1"), w.taped(w.here, "V-2")
	c, who := w.as(models.Inspector), w.users[models.Engineer].Actor()
	form := with(newForm(c, s), dryAndSound)
	form.Set("room_temp", "85")
	form.Set("room_rh", "70")

	shown := c.post("/openings", with(form, map[string]string{"show": "air"}))
	require.Equal(t, http.StatusOK, shown.status)
	// Dew point of 85 °F (29.44 °C), 70 %: 23.4 °C, 74 °F (PsychroLib 2.5.0 GetTDewPointFromRelHum).
	require.Contains(t, shown.body, "Dew point 74\u00a0°F, metal 45\u00a0°F, assumed: bare metal will sweat at once.")
	require.Equal(t, "85", inputs(t, shown.body, "/openings").Get("room_temp"))
	require.Empty(t, w.history(s.Cover.ID), "working out stores nothing")

	require.Equal(t, http.StatusSeeOther, c.post("/openings", form).status)
	read, err := w.register.LastAir(t.Context(), who, s.Room.ID)
	require.NoError(t, err)

	w.later(90 * 60e9)
	page := c.get("/covers/" + string(next.Cover.ID) + "/openings/new").body
	require.Contains(t, page, "From 05:43 today.", "10:43 UTC in New York")
	require.Contains(t, page, "bare metal will sweat at once.")
	kept := with(inputs(t, page, "/openings"), dryAndSound)
	require.Equal(t, http.StatusSeeOther, c.post("/openings", kept).status)
	last, err := w.register.LastAir(t.Context(), who, s.Room.ID)
	require.NoError(t, err)
	require.Equal(t, read.ID, last.ID, "unchanged, it is no new reading")

	w.later(40 * 60e9)
	page = c.get("/covers/" + string(next.Cover.ID) + "/openings/new").body
	require.Contains(t, page, "Nobody has read this room’s air")
}

func TestFollowUpThatARecordIsFor(t *testing.T) {
	w := newWorld(t)
	s, other := w.taped(w.here, "V-1"), w.taped(w.here, "V-2")
	f, err := w.register.OpenFollowUp(t.Context(), w.users[models.Engineer].Actor(),
		models.FollowUp{Cover: s.Cover.ID, Kind: "tape", Why: "lap lifting at the top", By: "2026-12-01"})
	require.NoError(t, err)
	c := w.as(models.Inspector)
	page := c.get("/covers/" + string(s.Cover.ID) + "/openings/new?for=" + string(f.ID))
	require.Contains(t, page.body, "lap lifting at the top")
	require.Equal(t, "follow_up", inputs(t, page.body, "/openings").Get("reason"))
	for _, path := range []string{string(other.Cover.ID) + "/openings/new?for=" + string(f.ID), string(s.Cover.ID) + "/openings/new?for=nothing"} {
		got := c.get("/covers/" + path)
		require.Equal(t, http.StatusOK, got.status, "a record never fails for what it was meant for")
		require.NotContains(t, got.body, "lap lifting")
	}
}
