package server

import (
	"bytes"
	"html/template"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

const everyPart = `{{define "main"}}<h1>{{.Title}}</h1><form>{{template "faults" .}}
{{template "keep" (.Field "version" "")}}
{{template "text" ((.Field "tag" "Tag").Hint "As the site writes it.")}}
{{template "text" (((.Field "password" "Password").Type "password").Auto "new-password")}}
{{template "number" (((.Field "temp" "Temperature").Unit "°F").Optional)}}
{{template "select" (((.Field "kind" "Kind").From (words "RoomKinds")).Blank "not known")}}
{{template "choice" ((.Field "moisture" "Moisture").From (words "Moistures"))}}
{{template "choice" (((.Field "coating" "Coating").From (words "CoatingStates")).Blank "not looked at")}}
{{template "yesno" (.Field "drips" "Drips?")}}
{{template "tick" ((.Field "all" "All of them").Hint "Later ones too.")}}
{{template "ticks" ((.Field "places" "Places").From (words "FoundWords"))}}
{{template "area" (.Field "note" "Note")}}
{{template "save" "Save"}}</form>{{end}}`

type partsPage struct{ shell }

func renderParts(t *testing.T, p *partsPage) string {
	st, err := loadStatic()
	require.NoError(t, err)
	pages, err := loadPages(st)
	require.NoError(t, err)
	own, err := template.Must(pages["error"].Clone()).Parse(everyPart)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, own.ExecuteTemplate(&b, "layout", p))
	return b.String()
}

// A form comes back with everything as typed, each fault at its field and in
// the summary that leads there.
func TestFormParts(t *testing.T) {
	const nasty = `"><script>alert(1)</script>`
	f := &form{values: url.Values{"version": {"7"}, "tag": {nasty}, "password": {"secret-canary"}, "temp": {"4x"},
		"kind": {"closed"}, "moisture": {"beads"}, "drips": {"no"}, "all": {"yes"}, "places": {"open", "missing"}, "note": {nasty}}}
	for _, name := range []string{"tag", "password", "temp", "kind", "moisture", "drips", "all", "places", "note"} {
		f.Faults.Add(name, "fault of %s", name)
	}
	p := &partsPage{shell: shell{Title: "Parts", Form: f, Wrong: "9 answers need a look."}}
	got := renderParts(t, p)
	require.Empty(t, pageFaults(got))
	require.NotContains(t, got, "<script>alert")
	require.NotContains(t, got, "secret-canary")
	require.Contains(t, got, "<title>Needs a look: Parts")
	for _, want := range []string{`name="version" value="7"`, `value="4x"`, `<option value="closed" selected>`,
		`value="beads" checked`, `value="no" checked`, `value="open"`, `value="missing" checked`, `value="&#34;&gt;&lt;script&gt;`} {
		require.Contains(t, got, want)
	}
	for _, fault := range f.Faults {
		require.Contains(t, got, `<a href="#f-`+fault.Field+`">fault of `+fault.Field+`</a>`)
		require.Contains(t, got, `id="f-`+fault.Field+`-fault">fault of `+fault.Field)
		require.Contains(t, got, `aria-describedby="f-`+fault.Field+`-fault`)
	}
}

func TestFormPartsWithoutFaults(t *testing.T) {
	got := renderParts(t, &partsPage{shell: shell{Title: "Parts", Form: blank()}})
	require.Empty(t, pageFaults(got))
	require.NotContains(t, got, "faults")
	require.NotContains(t, got, "aria-invalid")
	require.Contains(t, got, `<option value="">not known</option>`)
	require.Contains(t, got, `<input type="radio" name="drips" value="" checked>`, "not recorded is where yes or no begins")
	require.Contains(t, got, `name="coating" value="" checked><span>not looked at</span>`)
	require.Equal(t, 2, strings.Count(got, " checked"), "nothing else is preset")
}

func TestFormReads(t *testing.T) {
	tests := []struct {
		name, typed string
		read        func(f *form) any
		want        any
		fault       string
	}{
		{"text", "  V-12 ", func(f *form) any { return f.text("x") }, "V-12", ""},
		{"password keeps its blanks", " a b ", func(f *form) any { return f.raw("x") }, " a b ", ""},
		{"number", "12.5", func(f *form) any { return *f.number("x") }, 12.5, ""},
		{"no number is nil, not 0", "", func(f *form) any { return f.number("x") }, (*float64)(nil), ""},
		{"decimal comma", "12,5", func(f *form) any { return f.number("x") }, (*float64)(nil), `"12,5" is not a number`},
		{"NaN", "NaN", func(f *form) any { return f.number("x") }, (*float64)(nil), "not a number"},
		{"infinite", "Inf", func(f *form) any { return f.number("x") }, (*float64)(nil), "not a number"},
		{"too large", "1e400", func(f *form) any { return f.number("x") }, (*float64)(nil), "not a number"},
		{"whole", "3", func(f *form) any { return *f.whole("x") }, 3, ""},
		{"not whole", "3.5", func(f *form) any { return f.whole("x") }, (*int)(nil), "not a whole number"},
		{"day", "2026-11-25", func(f *form) any { return f.date("x") }, models.Date("2026-11-25"), ""},
		{"no such day", "2026-02-30", func(f *form) any { return f.date("x") }, models.Date(""), "not a date"},
		{"yes", "yes", func(f *form) any { return *f.yesNo("x") }, true, ""},
		{"no", "no", func(f *form) any { return *f.yesNo("x") }, false, ""},
		{"not recorded", "", func(f *form) any { return f.yesNo("x") }, (*bool)(nil), ""},
		{"version", "4", func(f *form) any { return f.version() }, 0, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := &form{values: url.Values{"x": {tt.typed}}}
			require.Equal(t, tt.want, tt.read(f))
			if tt.fault == "" {
				require.Empty(t, f.Faults)
				return
			}
			require.Contains(t, f.fault("x"), tt.fault)
		})
	}
}

// Unreadable text and broken rules come together; what only follows from the
// former is left out.
func TestFormCheck(t *testing.T) {
	var broken models.Faults
	broken.Add("temp", "needed")
	broken.Add("name", "needed")
	f := &form{values: url.Values{"temp": {"x"}}}
	f.number("temp")
	err := f.check(broken.Err())
	var known *models.Error
	require.ErrorAs(t, err, &known)
	require.Equal(t, models.Invalid, known.Kind)
	require.Len(t, known.Faults, 2)
	require.Contains(t, known.Faults[0].Msg, "not a number")
	require.Equal(t, "name", known.Faults[1].Field)

	require.NoError(t, (&form{}).check(nil))
	other := models.Errorf(models.Busy, "busy")
	require.Equal(t, error(other), (&form{}).check(other))
}

func TestWordsOfTemplates(t *testing.T) {
	tests := []struct{ got, want string }{
		{plural(1, "cover is", "covers are"), "1 cover is"},
		{plural(2040, "cover is", "covers are"), "2,040 covers are"},
		{num(1234567.891, 1), "1,234,567.9"},
		{num(-5.25, 2), "−5.25"},
		{num(-0.001, 1), "0.0"},
		{num(999, 0), "999"},
		{bytesText(1 << 20), "1 MB"},
		{bytesText(18<<20 + 123456), "18.1 MB"},
		{bytesText(512), "512 bytes"},
		{capital("émail"), "Émail"},
		{part("gate_valve", new(6.0)), "gate valve NPS\u00a06"},
	}
	for _, tt := range tests {
		require.Equal(t, tt.want, tt.got)
	}
	_, err := words("NoSuchList")
	require.Error(t, err)
}
