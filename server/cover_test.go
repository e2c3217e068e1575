package server

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/register"
)

// at puts a cover somewhere, on a size and in a place along the pipe.
func (w *world) at(s models.CoverSheet, nps float64, order int, where string) models.CoverSheet {
	w.t.Helper()
	s.Component.NPS, s.Component.Order, s.Component.Where = &nps, order, where
	s, err := w.register.SaveCover(w.t.Context(), w.users[models.Engineer].Actor(), s)
	require.NoError(w.t, err)
	return s
}

// open records an opening as the form would.
func (w *world) open(s models.CoverSheet, on models.Date, change func(*models.Opening)) models.ID {
	w.t.Helper()
	o := models.Opening{ID: w.register.NewID(), Cover: s.Cover.ID, Outcome: "opened", Reason: "periodic", On: on, OpenedBy: "Ines",
		Moisture: "dry", Blanket: "dry", Metal: models.MetalFinding{Seen: true, Scale: "ri", Grade: "Ri 1"},
		Closing: models.Closing{Cover: "same", Metal: "dry", Blanket: "dry", Water: "running"}}
	for _, p := range s.Cover.Places() {
		o.Places = append(o.Places, models.PlaceFinding{Place: p, Found: "sound", Left: "renewed"})
	}
	if change != nil {
		change(&o)
	}
	rc, err := w.register.RecordOpening(w.t.Context(), w.users[models.Engineer].Actor(), o, nil)
	require.NoError(w.t, err)
	return rc.ID
}

// tags are the tags of a list in the order of the page.
func tags(body string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`<th scope="row"><a href="/covers/[^"]*">([^<]*)</a>`).FindAllStringSubmatch(body, -1) {
		out = append(out, m[1])
	}
	return out
}

func TestListOfCovers(t *testing.T) {
	w := newWorld(t)
	first := w.at(w.taped(w.here, "V-12"), 6, 1, "over the header")
	cellar, err := w.register.SaveRoom(t.Context(), w.users[models.Engineer].Actor(), models.Room{Building: w.here.ID, Name: "Cellar", Order: 9})
	require.NoError(t, err)
	second := w.taped(w.here, "P-7")
	second.Component.Room = cellar.ID
	second = w.at(second, 4, 2, "beside V-12")
	off := w.at(w.cover(w.here, "V-2", models.Off), 2, 3, "")
	w.cover(w.there, "V-12-FAR", models.InPlace)
	w.open(first, "2026-11-20", func(o *models.Opening) { o.Moisture, o.Closing.Metal = "wet", "wet" })
	c := w.as(models.Inspector)
	room := string(cellar.ID)
	tests := []struct {
		query     string
		wanted    []string // tags in their order
		text      []string
		forbidden string
	}{
		{"", []string{"V-12", "V-2", "P-7"}, []string{"3 covers in the register.", "All of them are shown", "over the header"}, "Choose V-12"},
		{"?text=v-12", []string{"V-12", "P-7"}, []string{"2 covers: “v-12”"}, ""},
		{"?text=V-1", []string{"V-12", "P-7"}, nil, ""},
		{"?state=off", []string{"V-2"}, []string{"<b class=\"act\">Put back</b>, <span class=\"when\">off since", "1 cover: off", "bare"}, "by 25 Nov"},
		{"?action=look_now", []string{"V-12"}, []string{"Look now", "20 Nov 2026", ": wet, Ri\u00a01"}, ""},
		{"?condition=wet", []string{"V-12"}, []string{"closed damp or wet"}, ""},
		{"?sort=tag", []string{"P-7", "V-2", "V-12"}, []string{"North Hall"}, "<h2>"},
		{"?kind=elbow", nil, []string{"No cover is like that: elbow", "look at all covers"}, "<table"},
		{"?room=" + room, []string{"P-7"}, []string{`selected>Cellar`}, ""},
		{"?risk=101", nil, []string{"risk from 101"}, ""},
		{"?risk=high", []string{"V-12", "V-2", "P-7"}, []string{"is not a whole number"}, ""},
		{"?text=%25", nil, []string{"No cover is like that"}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.query, func(t *testing.T) {
			a := c.get("/covers" + tt.query)
			require.Equal(t, http.StatusOK, a.status)
			require.Equal(t, tt.wanted, tags(a.body))
			for _, want := range tt.text {
				require.Contains(t, a.body, want)
			}
			if tt.forbidden != "" {
				require.NotContains(t, a.body, tt.forbidden)
			}
			require.NotContains(t, a.body, "FAR", "another building")
		})
	}
	for query, status := range map[string]int{"?sort=color": 422, "?after=x": 422, "?building=" + string(w.there.ID): 404, "?room=none": 404, "?loop=none": 404} {
		require.Equal(t, status, c.get("/covers"+query).status, query)
	}
	require.Contains(t, w.as(models.Engineer).get("/covers").body, "Choose "+off.Component.Tag)
}

func TestEmptyListSaysWhatToDo(t *testing.T) {
	w := newWorld(t)
	require.Contains(t, w.as(models.Engineer).get("/covers").body, `href="/import">Import a register`)
	owner := w.as(models.Owner).get("/covers").body
	require.Contains(t, owner, "As soon as your engineer")
	require.NotContains(t, owner, "/import")
}

// Pages of the list follow each other without a gap and keep what narrows them.
func TestPagesOfTheList(t *testing.T) {
	w := newWorld(t)
	model := w.cover(w.here, "V-000", models.InPlace)
	for i := 1; i < 60; i++ {
		s := model
		s.Cover.ID, s.Component.ID, s.Cover.Version = "", "", 0
		s.Component.Tag = fmt.Sprintf("V-%03d", i)
		_, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
		require.NoError(t, err)
	}
	c := w.as(models.Inspector)
	first := c.get("/covers?text=V-0&sort=tag")
	require.Contains(t, first.body, "50 covers of 60 shown")
	next := between(first.body, `<a class="button" href="`, `" rel="next"`)
	require.Contains(t, next, "sort=tag")
	second := c.get(strings.ReplaceAll(next, "&amp;", "&"))
	require.Contains(t, second.body, "10 covers of 60 shown")
	require.Contains(t, second.body, `href="/covers?sort=tag&amp;text=V-0">First page`)
	require.NotContains(t, second.body, `rel="next"`)
	all := append(tags(first.body), tags(second.body)...)
	require.Len(t, all, 60)
	require.Equal(t, "V-000", all[0])
	require.Equal(t, "V-059", all[59])
}

func TestCoverSaysTheAnswerFirst(t *testing.T) {
	w := newWorld(t)
	s := w.at(w.taped(w.here, "V-12"), 6, 1, "over the header")
	w.later(-2 * 365 * 24 * 3600e9)
	w.open(s, "2024-11-20", nil)
	w.later(2 * 365 * 24 * 3600e9)
	root := w.open(s, "2026-11-20", func(o *models.Opening) {
		o.Moisture, o.WaterClock, o.Closing.Metal, o.Metal.Grade = "pooled", new(5.0), "wet", "Ri 3"
		o.Places[1].Found, o.Places[1].Left = "open", "lifting"
		o.Note = payload
	})
	body := w.as(models.Engineer).get("/covers/" + string(s.Cover.ID)).body
	for _, want := range []string{
		`<b class="act">Look now</b>`, "closed damp or wet", "Wet now: it was closed damp or wet", "What is underneath", "gate valve", "NPS\u00a06",
		"Suspect asbestos in old lagging", "As opened on 20 Nov 2026", "rust Ri 3, pooled at 5 o’clock, near end left lifting", "found Nov 2026",
		"drawn at one place of the ring", "Penetrations are spaced evenly", "Likelihood", "Why?", "hours below dew point", "ASHRAE Fundamentals 2017",
		"Other dates", "after <a href=\"/openings/" + string(root) + "\">the opening of 20 Nov 2026</a>", "before: Not before",
		"Dry the metal and close again", "<b>Found.</b> Metal pooled at 5 o’clock", "<b>Left.</b> Same cover, metal wet", "The seal, place by place",
		"Nobody has measured the wall", "licensed engineer", "Record an opening", "Look from outside", "Put off", "Edit",
	} {
		require.Contains(t, strings.ToLower(body), strings.ToLower(want))
	}
	require.NotContains(t, body, "<script>alert")
	require.Less(t, strings.Index(body, "Look now"), strings.Index(body, "What is underneath"))
	owner := w.as(models.Owner).get("/covers/" + string(s.Cover.ID)).body
	for _, not := range []string{"Record an opening", "Put off", "Edit</a>"} {
		require.NotContains(t, owner, not)
	}
}

func TestCoverShowsAmendmentsLooksAndDeferrals(t *testing.T) {
	w := newWorld(t)
	s := w.taped(w.here, "V-12")
	root := w.open(s, "2026-11-20", nil)
	engineer := w.users[models.Engineer].Actor()
	o, _, err := w.register.Opening(t.Context(), engineer, root)
	require.NoError(t, err)
	o.ID, o.Amends, o.Metal.Grade = w.register.NewID(), "read the wrong picture.", "Ri 2"
	_, err = w.register.AmendOpening(t.Context(), engineer, o)
	require.NoError(t, err)
	_, err = w.register.RecordLook(t.Context(), engineer, models.Look{ID: w.register.NewID(), Cover: s.Cover.ID, On: "2026-11-24", By: "Ines",
		InPlace: new(true), Places: []models.PlaceFinding{{Place: models.LongSeam, Found: "lifting"}}, Note: payload})
	require.NoError(t, err)
	c := w.as(models.Engineer)
	moved := c.post("/deferrals", url.Values{"covers": {string(s.Cover.ID)}, "until": {"2026-12-20"}, "reason": {"no ladder " + payload}})
	require.Equal(t, http.StatusSeeOther, moved.status, moved.body)
	require.Equal(t, "/covers/"+string(s.Cover.ID), moved.header.Get("Location"))
	body := c.get("/covers/" + string(s.Cover.ID)).body
	for _, want := range []string{"1 date is put off to 20 Dec 2026", "Amended: Read the wrong picture. Read", "?version=1\">version 1</a>",
		"Look from outside", "Seen from outside on 24 Nov 2026: long seam lifting", "Put off to 20 Dec 2026", "It was due 24 Nov 2026", "no ladder"} {
		require.Contains(t, body, want)
	}
	require.NotContains(t, body, "<script>alert")
	require.NotContains(t, body, "picture.. ")
}

func TestCoverPlotsTheWall(t *testing.T) {
	w := newWorld(t)
	s := w.at(w.taped(w.here, "V-12"), 6, 1, "")
	var list []models.ThicknessReading
	for i, mm := range []float64{7.1, 6.4, 5.7} {
		list = append(list, models.ThicknessReading{ID: w.register.NewID(), On: models.Date(fmt.Sprintf("20%d-06-01", 18+4*i)),
			Point: "6 o'clock" + payload, Value: mm, Unit: "mm", Gauge: "UT-4", By: "Ines"})
	}
	_, err := w.register.RecordThickness(t.Context(), w.users[models.Engineer].Actor(), s.Cover.ID, list)
	require.NoError(t, err)
	body := w.as(models.Inspector).get("/covers/" + string(s.Cover.ID)).body
	for _, want := range []string{"losing about 6.9\u00a0mpy", "required thickness", "0.224 in", "7.1\u00a0mm, UT-4, Ines", "screening figures", `id="wall-1-desk-title"`} {
		require.Contains(t, body, want)
	}
	require.NotContains(t, body, "<script>alert")
}

// The words of a chance in a list are those of the score's own sentence.
func TestWetSaidAsTheScoreSaysIt(t *testing.T) {
	w := newWorld(t)
	for i, years := range []int{0, 1, 2, 4, 8} {
		s := w.taped(w.here, fmt.Sprintf("V-%d", i))
		s.Cover.Fitted = models.Date("2026-11-01").AddYears(-float64(years))
		_, err := w.register.SaveCover(t.Context(), w.users[models.Engineer].Actor(), s)
		require.NoError(t, err)
	}
	c := w.as(models.Inspector)
	rows := regexp.MustCompile(`href="/covers/([^"]*)">V-(?s:.*?)data-say="Wet now">([^<]*)<`).FindAllStringSubmatch(c.get("/covers").body, -1)
	require.Len(t, rows, 5)
	for _, row := range rows {
		require.Contains(t, c.get("/covers/"+row[1]).body, "Wet now: "+row[2])
	}
}

func TestOffIsSaidOnce(t *testing.T) {
	w := newWorld(t)
	off := w.at(w.cover(w.here, "V-2", models.Off), 2, 3, "")
	body := w.as(models.Inspector).get("/covers/" + string(off.Cover.ID)).body
	lead := regexp.MustCompile(`<p class="lead">.*</p>`).FindString(body)
	require.Contains(t, lead, "Put back</b>: off since ")
	require.Contains(t, lead, "; the metal sweats and rusts")
	require.Equal(t, 1, strings.Count(lead, "off since"))
}

func TestDueWords(t *testing.T) {
	const today = models.Date("2026-11-25")
	tests := []struct {
		action models.Action
		rule   models.DueRule
		on     models.Date
		want   string
	}{
		{models.PutBack, models.RuleOff, "2026-10-29", "off since 29 Oct 2026"},
		{models.LookNow, models.RuleReported, "2026-11-13", "was due 13 Nov 2026"},
		{models.OpenNow, models.RuleLimit, "2026-12-01", "by 1 Dec 2026"},
		{models.OpenNow, models.RuleWorth, "2026-09-21", "since 21 Sep 2026"},
		{models.OpenNow, models.RuleFirstLook, "2026-09-21", "planned for 21 Sep 2026"},
		{models.OpenNow, models.RuleLimit, today, "today"},
		{models.NotBefore, models.RuleWorth, "2028-04-05", ""},
		{models.NotBefore, "", "", ""},
	}
	for _, tt := range tests {
		require.Equal(t, tt.want, dueWords(tt.action, tt.rule, tt.on, today), "%s %s %s", tt.action, tt.rule, tt.on)
	}
	require.Equal(t, "Not before April 2028", actionWords(models.NotBefore, "2028-04-05"))
	require.Equal(t, "Open now", actionWords(models.OpenNow, "2028-04-05"))
}

func TestLastOpenedAndSealInListAndOnCover(t *testing.T) {
	w := newWorld(t)
	first, second := w.at(w.taped(w.here, "V-1"), 6, 1, ""), w.at(w.taped(w.here, "V-2"), 6, 2, "")
	w.at(w.taped(w.here, "V-3"), 6, 3, "")
	w.open(second, "2026-11-20", func(o *models.Opening) { o.Places[0].Left = "lifting" })
	text := "Tag,Date,Answer\nV-1,2024-05-03,wet\nV-2,2023-05-03,dry\n"
	report, err := w.register.Import(t.Context(), w.users[models.Admin].Actor(), register.ImportRequest{Kind: "openings", Name: "x.csv",
		Body: strings.NewReader(text), Size: int64(len(text)), Building: w.here.ID})
	require.NoError(t, err)
	require.Equal(t, 2, report.New)
	c := w.as(models.Inspector)
	list := c.get("/covers").body
	for _, want := range []string{"metal seen, cover in place, seal not recorded", "metal seen, cover in place, seal broken",
		"metal never seen, cover in place, seal not recorded", `<span class="when">3 May 2024</span>: wet`, `<span class="when">20 Nov 2026</span>`} {
		require.Contains(t, list, want)
	}
	require.NotContains(t, list, "3 May 2023")
	page := c.get("/covers/" + string(first.Cover.ID)).body
	require.Contains(t, page, "<dt>Last opened</dt><dd>3 May 2024, found wet, an earlier record</dd>")
	require.Contains(t, page, "metal last seen on 3 May 2024, before drylag")
	require.NotContains(t, page, "metal never seen")
	require.Contains(t, c.get("/covers/"+string(second.Cover.ID)).body, "<dt>Last opened</dt><dd>20 Nov 2026, found dry</dd>")
}
