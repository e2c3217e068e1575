package server

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

const payload = `"><script>alert(1)</script>`

// evilCover is a cover whose every text tries to become markup.
func evilCover(t *testing.T, w *world) models.CoverSheet {
	t.Helper()
	s := apiCoverIn(t, w, w.here)
	s.Component.Tag, s.Component.Where, s.Component.Permit, s.Component.Note = "T"+payload, payload, payload, payload
	s.Cover.Facing, s.Cover.Pattern, s.Cover.Note, s.Cover.Label = payload, payload, payload, payload
	saved, err := w.register.SaveCover(t.Context(), w.users[models.Admin].Actor(), s)
	require.NoError(t, err)
	return saved
}

func TestPagesOfCovers(t *testing.T) {
	w := newWorld(t)
	here := evilCover(t, w)
	there := apiCoverIn(t, w, w.there)
	c := w.as(models.Inspector)
	id := string(here.Cover.ID)
	for _, page := range []struct {
		path   string
		status int
		wanted []string
	}{
		{"/covers", 200, []string{"1 cover in the register", "T&#34;&gt;&lt;script&gt;", "flange pair"}},
		{"/covers?text=nothing+like+it", 200, []string{"No cover is like that", "Show all"}},
		{"/covers?kind=pump", 200, []string{"No cover is like that"}},
		{"/covers?after=nonsense", 422, nil},
		{"/covers/" + id, 200, []string{"What is underneath", "assumed: nobody entered one", "Suspect asbestos", "Record an opening", "Why?", "Table 16.2", "Nobody has recorded an opening"}},
		{"/covers/" + string(there.Cover.ID), 404, nil},
		{"/covers/none", 404, nil},
		{"/due", 200, []string{"due now or in the next 90 days", "Only dates that must be kept can be past"}},
		{"/due?room=" + string(there.Room.ID), 404, nil},
		{"/buildings", 200, []string{w.here.Name}},
		{"/buildings/" + string(w.here.ID), 200, []string{"Found wet when opened", "No opening has said wet or dry here yet", "assumed"}},
		{"/buildings/" + string(w.there.ID), 404, nil},
	} {
		a := c.get(page.path)
		require.Equal(t, page.status, a.status, page.path)
		for _, want := range page.wanted {
			require.Contains(t, a.body, want, page.path)
		}
		require.NotContains(t, a.body, "<script>alert", page.path)
		require.NotContains(t, a.body, w.there.Name, "%s shows another building", page.path)
	}
}

func TestPutOffOnceAndAtMostNinetyDays(t *testing.T) {
	w := newWorld(t)
	s := apiCoverIn(t, w, w.here)
	c := w.as(models.Engineer)
	id := string(s.Cover.ID)
	require.Equal(t, 200, c.get("/deferrals/new?cover="+id).status)
	form := url.Values{"covers": {id}, "until": {"2027-11-25"}, "reason": {"shutdown in spring"}}
	a := c.post("/deferrals", form)
	require.Equal(t, 422, a.status)
	require.Contains(t, a.body, "shutdown in spring", "what was typed stays")
	form.Set("until", "soon")
	require.Equal(t, 422, c.post("/deferrals", form).status)
	require.Equal(t, 404, c.get("/deferrals/new").status)
	require.Equal(t, 403, w.as(models.Inspector).get("/deferrals/new?cover="+id).status)
}

func TestConstantsKeepTheirRanges(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	require.Contains(t, c.get("/constants").body, "shipped as 10")
	form := url.Values{"version": {"0"}, "limit_years": {"8"}, "first_look_years": {"3"}, "horizon_years": {"5"}, "gauge_error": {"0.13"},
		"wet_year_cost": {"2"}, "look_years": {"1"}, "drive_ref": {"4300000"}, "round_days": {"90"},
		"found_wet_cost": {"0.5"}, "spoil_chance": {"0.1"}}
	form.Set("limit_years", "ten")
	a := c.post("/constants", form)
	require.Equal(t, 422, a.status)
	require.Contains(t, a.body, `value="ten"`)
	form.Set("limit_years", "8")
	require.Equal(t, http.StatusSeeOther, c.post("/constants", form).status)
	require.Contains(t, c.get("/constants").body, `value="8"`)
	require.Equal(t, http.StatusPreconditionFailed, c.post("/constants", form).status, "somebody else changed them meanwhile")
}

// sendFile posts a file as a browser does.
func (c *client) sendFile(path, name, content string, form url.Values) answer {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for k, vs := range form {
		for _, v := range vs {
			if err := m.WriteField(k, v); err != nil {
				panic(err)
			}
		}
	}
	part, err := m.CreateFormFile("file", name)
	if err == nil {
		_, err = part.Write([]byte(content))
	}
	if err != nil {
		panic(err)
	}
	m.Close()
	return c.send(http.MethodPost, path, m.FormDataContentType(), b.String())
}

func TestImportIsTriedThenStored(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	require.Equal(t, 200, c.get("/import").status)
	require.Equal(t, 422, c.sendFile("/import", "empty.csv", "", url.Values{"kind": {"covers"}}).status, "an empty file")

	good := "Building,Room,Tag,Kind,NPS\nNorth Hall,Cellar,P-1,pump,4\nNorth Hall,Cellar,V-2,gate valve,6\n"
	bad := strings.Replace(good, "gate valve", "teapot", 1)
	tried := c.sendFile("/import", "register.csv", bad, url.Values{"kind": {"covers"}})
	require.Equal(t, 200, tried.status)
	require.Contains(t, tried.body, "teapot")
	require.Contains(t, tried.body, "Store the good rows only")
	none := c.sendFile("/import", "register.csv", strings.Replace(bad, "pump", "kettle", 1), url.Values{"kind": {"covers"}})
	require.Contains(t, none.body, "No row can be stored as the file is.")
	require.NotContains(t, none.body, "Store the good rows only")
	require.Contains(t, c.get("/covers").body, "no cover in the register", "a try stores nothing")

	tried = c.sendFile("/import", "register.csv", good, url.Values{"kind": {"covers"}})
	require.Contains(t, tried.body, "2 new")
	held := between(tried.body, `name="held" value="`, `"`)
	require.NotEmpty(t, held)
	stored := c.post("/import/store", url.Values{"held": {held}})
	require.Contains(t, stored.body, "Stored", stored.body)
	require.Contains(t, c.get("/covers").body, "2 covers in the register")
	require.Equal(t, 422, w.as(models.Admin).post("/import/store", url.Values{"held": {held}}).status, "held for its owner only")
	again := c.sendFile("/import", "register.csv", good, url.Values{"kind": {"covers"}})
	require.Contains(t, again.body, "0 new, 0 changed, 2 the same")
}

func TestImportAsksForTheOrderOfDayAndMonth(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	open := "Building,Room,Tag,Kind,Fitted\nNorth Hall,Cellar,P-1,pump,03/04/2025\n"
	asked := c.sendFile("/import", "register.csv", open, url.Values{"kind": {"covers"}})
	require.Equal(t, 422, asked.status)
	for _, want := range []string{"03/04/2025 on line 2", "4 Mar 2025, month first", "3 Apr 2025, day first", `href="#f-date_order"`, "register.csv is still here"} {
		require.Contains(t, asked.body, want)
	}
	held := between(asked.body, `name="held" value="`, `"`)
	tried := c.sendFile("/import", "", "", url.Values{"kind": {"covers"}, "held": {held}, "date_order": {"dmy"}})
	require.Equal(t, 200, tried.status, "the file need not be chosen again")
	require.Contains(t, tried.body, "1 new")
	require.Contains(t, c.post("/import/store", url.Values{"held": {between(tried.body, `name="held" value="`, `"`)}}).body, "Stored")
	page, err := w.register.Covers(t.Context(), w.users[models.Admin].Actor(), models.CoverFilter{})
	require.NoError(t, err)
	stored, err := w.register.Cover(t.Context(), w.users[models.Admin].Actor(), page.Rows[0].ID)
	require.NoError(t, err)
	require.Equal(t, models.Date("2025-04-03"), stored.Cover.Fitted, "as it was answered")

	settled := open + "North Hall,Cellar,P-2,pump,25/04/2025\n"
	tried = c.sendFile("/import", "register.csv", settled, url.Values{"kind": {"covers"}})
	require.Equal(t, 200, tried.status)
	require.Contains(t, tried.body, "03/04/2025 is 3 Apr 2025: 25/04/2025 on line 3 cannot be read otherwise")
	require.Equal(t, 422, c.sendFile("/import", "x.csv", settled, url.Values{"kind": {"covers"}, "date_order": {"ymd"}}).status)
	require.Equal(t, 422, w.as(models.Admin).sendFile("/import", "", "", url.Values{"kind": {"covers"}, "held": {held}}).status, "held for its owner only")
}

func TestImportRefusesColumnsSaidTwice(t *testing.T) {
	c := newWorld(t).as(models.Engineer)
	for _, row := range []struct{ said, want string }{
		{"No. = tag\r\nOld = tag", `The columns &#34;No.&#34; and &#34;Old&#34; are all said to be &#34;tag&#34;`},
		{"No. = tag\nNo. = label", `The column &#34;No.&#34; is said to be &#34;tag&#34; and &#34;label&#34;`},
		{"No. is the tag", "is no line such as"},
	} {
		sent := c.sendFile("/import", "register.csv", "Building,Room,No.,Old,Kind\nNorth Hall,Cellar,P-1,7,pump\n", url.Values{"kind": {"covers"}, "columns": {row.said}})
		require.Equal(t, 422, sent.status, row.said)
		require.Contains(t, sent.body, row.want)
		require.Contains(t, sent.body, `<details open><summary>More`, "the field is in sight")
	}
	require.Contains(t, c.sendFile("/import", "register.csv", "Building,Room,No.,Old,Kind\nNorth Hall,Cellar,P-1,7,pump\n",
		url.Values{"kind": {"covers"}, "columns": {"\r\nNo. = tag\r\n"}}).body, "1 new")
}

func between(s, from, to string) string {
	_, rest, ok := strings.Cut(s, from)
	if !ok {
		return ""
	}
	out, _, _ := strings.Cut(rest, to)
	return out
}
