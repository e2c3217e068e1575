package server

import (
	"encoding/xml"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"drylag/models"
	"drylag/models/register"
	"drylag/web"
)

// hostile is text that would become markup wherever it is not escaped.
const hostile = `"><script>alert(1)</script><img src=x onerror=alert(2)>'{{.}}`

// Text that people type is text on every page that shows it. pageFaults, which
// every answer passes, finds any script or handler.
func TestTypedTextIsNeverMarkup(t *testing.T) {
	w := newWorld(t)
	s, c := w.taped(w.here, "V-1"), w.as(models.Inspector)
	texts := []string{"opened_by", "stain", "note", "off_why", "reading_1_point", "reading_1_gauge"}
	answers := map[string]string{"moisture": "wet", "closing_cover": "left_off", "reading_1_value": "7.1 mm"}
	for _, name := range texts {
		answers[name] = hostile
	}
	form := with(with(newForm(c, s), dryAndSound), answers)

	for name := range form {
		refused := c.post("/openings", with(form, map[string]string{name: hostile, "pit": hostile}))
		if name == "cover" { // no such cover
			require.Equal(t, http.StatusNotFound, refused.status)
			continue
		}
		require.Equal(t, http.StatusUnprocessableEntity, refused.status, name)
		requireText(t, refused.body)
	}
	require.Equal(t, http.StatusSeeOther, c.post("/openings", form).status)
	o := w.history(s.Cover.ID)[0].Opening
	require.Equal(t, hostile, o.Note, "kept as typed")
	at := "/openings/" + string(o.Root)
	for _, path := range []string{at, at + "/amend", "/covers/" + string(s.Cover.ID), at + "?version=" + url.QueryEscape(hostile)} {
		page := c.get(path)
		require.Equal(t, http.StatusOK, page.status, path)
		requireText(t, page.body)
	}

	amend := with(inputs(t, c.get(at+"/amend").body, at+"/amend"), map[string]string{"amends": hostile})
	require.Equal(t, http.StatusSeeOther, c.post(at+"/amend", amend).status)
	requireText(t, c.get(at).body)

	look := with(inputs(t, c.get("/covers/"+string(s.Cover.ID)+"/looks/new").body, "/looks"), map[string]string{"by": hostile, "note": hostile})
	refused := c.post("/looks", look)
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	requireText(t, refused.body)
	require.Equal(t, http.StatusSeeOther, c.post("/follow-ups", url.Values{"cover": {string(s.Cover.ID)}, "kind": {"coat"}, "why": {hostile}, "by": {"2027-01-01"}}).status)
	requireText(t, c.get("/follow-ups").body)
}

func requireText(t *testing.T, body string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(body))
	require.NoError(t, err)
	for n := range doc.Descendants() {
		require.False(t, n.Type == html.ElementNode && n.Data == "img", "typed text became an element")
		require.False(t, n.Data == "script" && n.FirstChild != nil, "typed text became a script")
	}
}

func TestCautionsOf(t *testing.T) {
	tests := []struct {
		name  string
		sheet models.CoverSheet
		want  string // among the cautions before cutting
		lack  string
	}{
		{"always", models.CoverSheet{}, "Isolate and prove it", "may be hot"},
		{"dual-temperature loop", models.CoverSheet{Loop: models.Loop{Kind: "dual"}}, "it may be hot", "rubber"},
		{"year not known", models.CoverSheet{}, "Suspect asbestos", "Ladder"},
		{"built in 1980", models.CoverSheet{Building: models.Building{YearBuilt: new(1980), AsbestosRegister: "engineer's office"}}, "the register: engineer's office.", "Lift"},
		{"built in 1981", models.CoverSheet{Building: models.Building{YearBuilt: new(1981)}}, "Gloves and eye protection", "asbestos"},
		{"ladder", models.CoverSheet{Component: models.Component{Access: "ladder"}}, "Ladder:", "Confined"},
		{"lift", models.CoverSheet{Component: models.Component{Access: "lift"}}, "Lift:", "Confined"},
		{"confined", models.CoverSheet{Component: models.Component{Access: "confined"}}, "Confined space:", "Ladder"},
		{"two people", models.CoverSheet{Component: models.Component{People: 2}}, "2 people are needed here.", "Ladder"},
		{"permit", models.CoverSheet{Component: models.Component{Permit: "hot work"}}, "Permit needed here: hot work.", "Ladder"},
		{"connector", models.CoverSheet{Component: models.Component{Kind: "flexible_connector"}}, "Keep the knife away", "Ladder"},
		{"switchgear below", models.CoverSheet{Component: models.Component{Below: "electrical"}}, "Electrical or IT equipment below", "infection"},
		{"patients below", models.CoverSheet{Component: models.Component{Below: "patients"}}, "infection-control permit", "Electrical"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			all := strings.Join(cautionsOf(tt.sheet).Before, "\n")
			require.Contains(t, all, tt.want)
			require.NotContains(t, all, tt.lack)
		})
	}
}

// The pictures of grades cover as much of the plate as their grade says.
func TestRustPicturesCoverTheirArea(t *testing.T) {
	type circle struct {
		X float64 `xml:"cx,attr"`
		Y float64 `xml:"cy,attr"`
		R float64 `xml:"r,attr"`
	}
	var sprite struct {
		Symbols []struct {
			ID      string   `xml:"id,attr"`
			Box     string   `xml:"viewBox,attr"`
			Circles []circle `xml:"circle"`
		} `xml:"symbol"`
	}
	file, err := web.Static().Open("rust.svg")
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, xml.NewDecoder(file).Decode(&sprite))

	// Largest area of each grade, ASTM D610 table 1 (0: more than 50 %); ISO 4628-3 (from memory), Ri 5 in the middle of 40 to 50 %.
	want := map[string]float64{"ri-0": 0, "ri-1": 0.05, "ri-2": 0.5, "ri-3": 1, "ri-4": 8, "ri-5": 45,
		"d610-10": 0.01, "d610-9": 0.03, "d610-8": 0.1, "d610-7": 0.3, "d610-6": 1, "d610-5": 3, "d610-4": 10, "d610-3": 16,
		"d610-2": 33, "d610-1": 50, "d610-0": 70}
	got := map[string]bool{}
	for _, s := range sprite.Symbols {
		require.Equal(t, "0 0 100 60", s.Box)
		const fine = 20 // samples along one unit
		var plate [60 * fine][100 * fine]bool
		rusted := 0
		for _, c := range s.Circles {
			for y := int((c.Y - c.R) * fine); y <= int((c.Y+c.R)*fine); y++ {
				for x := int((c.X - c.R) * fine); x <= int((c.X+c.R)*fine); x++ {
					dx, dy := (float64(x)+0.5)/fine-c.X, (float64(y)+0.5)/fine-c.Y
					if !plate[y][x] && dx*dx+dy*dy <= c.R*c.R {
						plate[y][x] = true
						rusted++
					}
				}
			}
		}
		pct := 100 * float64(rusted) / (60 * fine * 100 * fine)
		require.InDelta(t, want[s.ID], pct, 0.05*want[s.ID], s.ID)
		got[s.ID] = true
	}
	p := &recordPage{}
	for _, scale := range []string{"ri", "d610"} {
		grades := p.Grades(scale)
		require.Len(t, grades, len(register.RustGrades(scale)))
		for _, g := range grades {
			require.True(t, got[g.Picture], g.Picture)
		}
	}
}
