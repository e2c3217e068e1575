package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// readBody reads the JSON of an answer.
func readBody[T any](t *testing.T, a answer) T {
	t.Helper()
	var out T
	require.NoError(t, json.Unmarshal([]byte(a.body), &out), a.body)
	return out
}

func TestAPIRecordsOnce(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	cover, room := string(at.Cover.ID), string(at.Room.ID)
	reading := `{"on":"2026-11-24","by":"Ines","readings":[{"id":"` + apiKey + `","point":"6 o’clock","value":0.28,"unit":"in","check_block":true},
		{"id":"` + lookKey + `","point":"12 o’clock","value":7.0,"unit":"mm"}]}`
	air := `{"at":"2026-11-25T10:30:00.5Z","temp_c":24.4,"relative_humidity":0.55,"by":"Ines"}`
	c := w.as(models.Crew)
	for _, x := range []struct {
		noun, path, body, other string // other content under the same ID
		list, want              string
	}{
		{"opening", "openings", apiOpeningBody(at.Cover.ID, nil), apiOpeningBody(at.Cover.ID, map[string]any{"moisture": "dry"}), "covers/" + cover + "/file", `"moisture":"wet"`},
		{"look", "looks", apiLookBody(at.Cover.ID), strings.Replace(apiLookBody(at.Cover.ID), "lifting", "open", 1), "covers/" + cover + "/looks", `"found":"lifting"`},
		{"wall", "covers/" + cover + "/readings", reading, strings.Replace(reading, "0.28", "0.27", 1), "covers/" + cover + "/readings", `"value":0.28,"unit":"in"`},
		{"air", "rooms/" + room + "/readings", air, strings.Replace(air, "0.55", "0.6", 1), "rooms/" + room + "/readings", `"relative_humidity":0.55`},
	} {
		t.Run(x.noun, func(t *testing.T) {
			made := c.api("POST", api+x.path, x.body, "Idempotency-Key", apiKey)
			require.Equal(t, 201, made.status, made.body)
			w.later(time.Minute)
			again := c.api("POST", api+x.path, x.body, "Idempotency-Key", apiKey)
			require.Equal(t, made.status, again.status, again.body)
			require.Equal(t, made.body, again.body, "the same answer")
			require.Equal(t, made.header.Get("Location"), again.header.Get("Location"))
			require.Equal(t, 200, c.api("GET", made.header.Get("Location"), "").status)
			other := c.api("POST", api+x.path, x.other, "Idempotency-Key", apiKey)
			require.Equal(t, 422, other.status, other.body)
			list := c.api("GET", api+x.list, "")
			require.Equal(t, 1, strings.Count(list.body, x.want), list.body)
			require.Equal(t, 403, w.as(models.Owner).api("POST", api+x.path, x.body, "Idempotency-Key", apiKey).status)
			if x.noun != "wall" {
				none := c.api("POST", api+x.path, x.body)
				require.Contains(t, none.body, `"field":"Idempotency-Key"`)
				bad := c.api("POST", api+x.path, x.body, "Idempotency-Key", "7")
				require.Equal(t, 422, bad.status, bad.body)
			}
		})
	}
	since := c.api("GET", api+"rooms/"+room+"/readings?since=2026-11-25T10:30:01Z", "")
	require.JSONEq(t, `{"readings":[]}`, since.body)
	require.Equal(t, 422, c.api("GET", api+"rooms/"+room+"/readings?since=noon", "").status)
}

// The file of a cover holds everything that was recorded about it, with the
// score and its reasons.
func TestAPICoverFile(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	c := w.as(models.Engineer)
	cover := api + "covers/" + string(at.Cover.ID)
	require.Equal(t, 201, c.api("POST", api+"openings", apiOpeningBody(at.Cover.ID, map[string]any{
		"readings": []map[string]any{{"point": "top", "value": 7.1, "unit": "mm"}}}), "Idempotency-Key", apiKey).status)
	require.Equal(t, 201, c.api("POST", api+"looks", apiLookBody(at.Cover.ID), "Idempotency-Key", lookKey).status)
	require.Equal(t, 201, c.api("POST", api+"rooms/"+string(at.Room.ID)+"/readings",
		`{"at":"2026-11-25T10:30:00Z","temp_c":24,"dew_point_c":14}`, "Idempotency-Key", lookKey).status)

	f := readBody[coverFileJSON](t, c.api("GET", cover+"/file", ""))
	require.Equal(t, "flange pair", f.Part)
	require.Len(t, f.Openings, 1)
	require.True(t, *f.Openings[0].Wet)
	require.Len(t, f.Looks, 1)
	require.Equal(t, models.ID(apiKey), f.Readings[0].Opening)
	require.Equal(t, "Ines", f.Readings[0].By)
	require.NotEmpty(t, f.FollowUps, "a lifting seam and wet metal ask for something")
	require.Equal(t, 14.0, *f.LastAir.DewPoint)
	require.Nil(t, f.LastAir.RH)
	require.NotNil(t, f.Score)
	require.NotEmpty(t, f.Score.Why)
	require.Len(t, f.Score.Sentences, 3)
	require.NotEmpty(t, f.Score.Others)
	require.NotEmpty(t, f.Score.Due.Why)
	require.NotEmpty(t, f.Changes)
	require.InDelta(t, f.Score.PWet.Mid, f.Changes[0].PWet, 1e-9)

	require.Equal(t, 200, c.api("PUT", api+"openings/"+apiKey, apiOpeningBody("", map[string]any{"amends": "misread"}), "If-Match", `"1"`).status)
	versions := readBody[map[string][]openingJSON](t, c.api("GET", api+"openings/"+apiKey+"/versions", ""))["versions"]
	require.Len(t, versions, 2)
	require.Equal(t, "misread", versions[1].Amends)
	other := c.api("PUT", api+"openings/"+apiKey, apiOpeningBody("", map[string]any{"amends": "x", "opening_id": lookKey}), "If-Match", `"2"`)
	require.Contains(t, other.body, `"field":"opening_id"`)
}

func TestAPIFollowUps(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	c := w.as(models.Inspector)
	made := c.api("POST", api+"follow-ups", `{"cover_id":"`+string(at.Cover.ID)+`","kind":"coat","why":"bare spot","by":"2026-12-20"}`)
	require.Equal(t, 201, made.status, made.body)
	one := made.header.Get("Location")
	require.Equal(t, 201, c.api("POST", api+"looks", apiLookBody(at.Cover.ID), "Idempotency-Key", lookKey).status)
	require.Equal(t, 201, c.api("POST", api+"openings", apiOpeningBody(at.Cover.ID, map[string]any{"on": "2026-11-25", "moisture": "dry", "blanket": "dry"}), "Idempotency-Key", apiKey).status)

	for _, x := range []struct {
		path      string
		status    int
		want, not string
	}{
		{"?kind=coat", 200, `"tag":"CHW-7"`, `"kind":"tape"`},
		{"?kind=magic", 422, `"field":"kind"`, ""},
		{"?closed=perhaps", 422, `"field":"closed"`, ""},
		{"?limit=0", 422, `"field":"limit"`, ""},
		{"?cover=" + string(at.Cover.ID), 200, "bare spot", ""},
		{"?building=" + string(w.here.ID) + "&kind=engineer", 200, `{"follow_ups":[]}`, ""},
	} {
		a := c.api("GET", api+"follow-ups"+x.path, "")
		require.Equal(t, x.status, a.status, "%s: %s", x.path, a.body)
		require.Contains(t, a.body, x.want, x.path)
		if x.not != "" {
			require.NotContains(t, a.body, x.not, x.path)
		}
	}
	require.Contains(t, c.api("GET", one, "").body, `{"id":"`+apiKey+`","kind":"opening","on":"2026-11-25"}`)
	for _, x := range []struct {
		name, body string
		status     int
		want       string
	}{
		{"no record", `{"record_id":"none","why":"done"}`, 422, `"field":"record_id"`},
		{"no reason", `{"record_id":"` + apiKey + `"}`, 422, `"field":"why"`},
		{"by an opening", `{"record_id":"` + apiKey + `","why":"coated on site"}`, 200, `"closed_why":"coated on site"`},
		{"closed already", `{"record_id":"` + apiKey + `","why":"again"}`, 409, "closed"},
	} {
		a := c.api("POST", one+"/close", x.body)
		require.Equal(t, x.status, a.status, "%s: %s", x.name, a.body)
		require.Contains(t, a.body, x.want, x.name)
	}
	require.NotContains(t, c.api("GET", api+"follow-ups?kind=coat", "").body, "bare spot")
	require.Contains(t, c.api("GET", api+"follow-ups?kind=coat&closed=true", "").body, "bare spot")
	require.Equal(t, 403, w.as(models.Crew).api("POST", one+"/close", `{"record_id":"x","why":"y"}`).status)
}

func TestAPIDueAndDeferrals(t *testing.T) {
	w := newWorld(t)
	at, far := apiCoverIn(t, w, w.here), apiCoverIn(t, w, w.there)
	c := w.as(models.Engineer)
	due := readBody[map[string][]dueRoomJSON](t, c.api("GET", api+"due?months=120", ""))["rooms"]
	require.Len(t, due, 2)
	require.Equal(t, at.Cover.ID, readBody[map[string][]dueRoomJSON](t, c.api("GET", api+"due?months=120&room="+string(at.Room.ID), ""))["rooms"][0].Covers[0].ID)
	on := max(due[0].Covers[0].Score.DueOn, "2026-11-25")
	for _, x := range []struct {
		query, body string
		status      int
		want        string
	}{
		{"months=0", "", 422, `"field":"months"`},
		{"months=soon", "", 422, `"field":"months"`},
		{"rule=whim", "", 422, `"field":"rule"`},
		{"months=120&rule=off", "", 200, `{"rooms":[]}`},
		{"months=120&action=" + due[0].Covers[0].Score.Action, "", 200, "CHW-7"},
		{"", `{"cover_ids":["` + string(at.Cover.ID) + `"],"until":"` + string(on.AddDays(200)) + `","reason":"shutdown"}`, 422, "the latest day"},
		{"", `{"cover_ids":["` + string(at.Cover.ID) + `","` + string(far.Cover.ID) + `"],"until":"` + string(on.AddDays(60)) + `","reason":"shutdown"}`, 201, string(far.Cover.ID)},
		{"", `{"cover_ids":["` + string(at.Cover.ID) + `"],"until":"` + string(on.AddDays(70)) + `","reason":"again"}`, 422, "put off once"},
	} {
		a := c.api("GET", api+"due?"+x.query, "")
		if x.body != "" {
			a = c.api("POST", api+"deferrals", x.body)
		}
		require.Equal(t, x.status, a.status, "%s %s: %s", x.query, x.body, a.body)
		require.Contains(t, a.body, x.want)
	}
	file := readBody[coverFileJSON](t, c.api("GET", api+"covers/"+string(at.Cover.ID)+"/file", ""))
	require.Equal(t, "shutdown", file.Deferrals[0].Reason)
	require.Equal(t, "Pat engineer", file.Deferrals[0].By)
	require.Equal(t, on.AddDays(60), file.Score.PutOffTo)
}

// Lists come a page at a time, and no row is lost or twice.
func TestAPIListsByPage(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	c := w.as(models.Admin)
	for i := range 5 {
		body := fmt.Sprintf(`{"room_id":"%s","tag":"V-%d","kind":"gate_valve","state":"in_place"}`, at.Room.ID, i)
		require.Equal(t, 201, c.api("POST", api+"covers", body).status)
	}
	for _, sort := range []string{"walk", "due", "risk", "tag"} {
		seen, after := map[string]int{}, ""
		for range 10 {
			page := readBody[struct {
				Covers []coverRowJSON
				Total  int
				Next   string
			}](t, c.api("GET", api+"covers?limit=2&sort="+sort+"&after="+after, ""))
			require.Equal(t, 6, page.Total)
			for _, r := range page.Covers {
				seen[r.Tag]++
			}
			if after = page.Next; after == "" {
				break
			}
		}
		require.Equal(t, map[string]int{"CHW-7": 1, "V-0": 1, "V-1": 1, "V-2": 1, "V-3": 1, "V-4": 1}, seen, sort)
	}
	for query, want := range map[string]string{"kind=tap": "kind", "state=gone": "state", "action=run": "action", "condition=odd": "condition",
		"rule=whim": "rule", "sort=color": "sort", "due_by=soon": "due_by", "risk=high": "risk", "limit=501": "limit"} {
		a := c.api("GET", api+"covers?"+query, "")
		require.Equal(t, 422, a.status, query)
		require.Contains(t, a.body, `"field":"`+want+`"`)
	}
	require.Equal(t, 422, c.api("GET", api+"covers?after=nonsense", "").status)
	require.Contains(t, c.api("GET", api+"covers?text=v-3", "").body, `"total":1`)
	require.Contains(t, c.api("GET", api+"covers?risk=100", "").body, `"total":0`)

	all := readBody[struct{ Events []eventJSON }](t, c.api("GET", api+"events?limit=1000", "")).Events
	seqs, before := []int64{}, int64(0)
	for range len(all) {
		page := readBody[struct {
			Events []eventJSON
			Next   int64 `json:"next_before"`
		}](t, c.api("GET", fmt.Sprintf("%sevents?limit=4&before=%d", api, before), ""))
		for i, e := range page.Events {
			seqs = append(seqs, e.Seq)
			require.Equal(t, all[len(seqs)-1].Hash, e.Hash, "%d", i)
		}
		if before = page.Next; before == 0 {
			break
		}
	}
	require.Len(t, seqs, len(all))
	of := c.api("GET", api+"events?of="+string(at.Cover.ID), "")
	require.Contains(t, of.body, "cover added")
	for _, bad := range []string{"before=-1", "before=x", "limit=0"} {
		require.Equal(t, 422, c.api("GET", api+"events?"+bad, "").status, bad)
	}
}

func TestAPIService(t *testing.T) {
	w := newWorld(t)
	at := apiCoverIn(t, w, w.here)
	admin := w.as(models.Admin)
	require.Equal(t, 201, admin.api("POST", api+"openings", apiOpeningBody(at.Cover.ID, map[string]any{"closing_cover": "left_off", "off_why": "parts"}), "Idempotency-Key", apiKey).status)
	for _, x := range []struct {
		who       models.Role
		path      string
		want, not []string
	}{
		{models.Crew, "me", []string{`"role":"crew"`, string(w.here.ID), `"may":["read","record","self"]`}, []string{string(w.there.ID), "hash"}},
		{models.Engineer, "me", []string{`"all_buildings":true`, `"units":"IP"`}, []string{"people"}},
		{models.Inspector, "morning", []string{`"off_count":1`, `"tag":"CHW-7"`, `"opened_in_30_days":1`}, nil},
		{models.Crew, "buildings/" + string(w.here.ID) + "/rooms", []string{"Plant room", `"off":1`}, nil},
		{models.Owner, "buildings/" + string(w.here.ID) + "/trend", []string{`"quarter":4,"opened":1,"wet":1`, `"ri":[0,0,0,1,0,0]`, `"place":"long seam"`}, nil},
		{models.Owner, "buildings/" + string(w.here.ID) + "/climates", []string{`{"climates":[]}`}, nil},
		{models.Owner, "buildings", []string{"North Hall", `"off":1`}, []string{"Far Laboratory", "money"}},
		{models.Admin, "people", []string{`"login":"crew"`, `"until":"2027-11-25"`}, []string{"argon2", "password"}},
	} {
		a := w.as(x.who).api("GET", api+x.path, "")
		require.Equal(t, 200, a.status, a.body)
		for _, want := range x.want {
			require.Contains(t, a.body, want, x.path)
		}
		for _, not := range x.not {
			require.NotContains(t, a.body, not, x.path)
		}
	}
	require.Equal(t, 401, w.nobody().api("GET", api+"me", "").status)

	made := admin.api("POST", api+"backups", "")
	require.Equal(t, 201, made.status, made.body)
	name := readBody[backupJSON](t, made).Name
	require.Contains(t, admin.api("GET", api+"backups", "").body, name)
	require.Equal(t, 200, admin.api("POST", api+"backups/"+name+"/verify", "").status)
	require.Equal(t, 404, admin.api("POST", api+"backups/..%2Fdrylag.db/verify", "").status)
	require.Contains(t, admin.api("POST", api+"verify", "").body, `"ok":true`)

	added := admin.api("POST", api+"people", `{"login":"nia","name":"Nia","role":"owner","all_buildings":true}`)
	require.Equal(t, 201, added.status, added.body)
	link := readBody[linkedJSON](t, added)
	page := w.nobody().get(strings.TrimPrefix(link.Link, "https://drylag.example"))
	require.Equal(t, 200, page.status, "the link leads to where she chooses a password")
	more := admin.api("POST", api+"people/"+string(link.ID)+"/link", "")
	require.Equal(t, 201, more.status)
	require.NotContains(t, more.body, link.Link)
	_, secret, _ := strings.Cut(link.Link, "key=")
	require.NotContains(t, w.logged(), secret)
	require.NotContains(t, admin.api("GET", api+"events", "").body, secret)
	me := w.users[models.Admin]
	last := admin.api("PUT", api+"people/"+string(me.ID), `{"login":"admin","name":"Ada","role":"owner","all_buildings":true}`, "If-Match", etag(me.Version))
	require.Equal(t, 422, last.status, "the last administrator stays one: %s", last.body)
}

func TestAPIImports(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	const good = "building,room,tag,kind,nps\nNorth Hall,Cellar,V-1,gate valve,6\n"
	const bad = good + "North Hall,Cellar,V-2,gate valve,six\n"
	header := http.Header{"Sec-Fetch-Site": {"same-origin"}}
	try := func(query, kind, body string) answer {
		c.header = header
		return c.send("POST", api+"imports"+query, kind, body)
	}
	for _, x := range []struct {
		name, query, kind, body string
		status                  int
		want                    []string
	}{
		{"no kind", "?name=a.csv", "text/csv", good, 422, []string{`"field":"kind"`}},
		{"empty", "?kind=covers", "text/csv", "", 422, []string{`"field":"file"`}},
		{"columns that say nothing", "?kind=covers&columns=a%3Dtag%0Ab%3Dtag", "text/csv", good, 422, []string{`"field":"columns"`}},
		{"good", "?kind=covers&name=a.csv", "text/csv", good, 200, []string{`"rows":1,"new":1`, `"bad":0`, `"faults":[]`, `"stored":false`}},
		{"bad", "?kind=covers", "text/csv", bad, 200, []string{`"rows":2,"new":1`, `"bad":1`, `{"line":3,"column":"nps","value":"six","message":"is not a nominal pipe size; write it as`, `/bad-rows"`}},
		{"no workbook", "?kind=covers", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "tag\n", 200, []string{`"bad":`}},
	} {
		a := try(x.query, x.kind, x.body)
		require.Equal(t, x.status, a.status, "%s: %s", x.name, a.body)
		for _, want := range x.want {
			require.Contains(t, a.body, want, x.name)
		}
	}
	require.Contains(t, c.api("GET", api+"covers", "").body, `"total":0`, "a dry run stores nothing")

	tried := readBody[importJSON](t, try("?kind=covers", "text/csv", bad))
	rows := c.api("GET", tried.BadRows, "")
	require.Equal(t, 200, rows.status)
	require.Contains(t, rows.body, "six")
	require.NotContains(t, rows.body, "V-1")
	store := api + "imports/" + tried.Key + "/store"
	require.Equal(t, 404, w.as(models.Admin).api("POST", store, "{}").status, "a file is its sender's")
	require.Equal(t, 404, c.api("POST", api+"imports/none/store", "{}").status)
	require.Contains(t, c.api("POST", store, "{}").body, `"stored":false`, "all or nothing")
	require.Contains(t, c.api("GET", api+"covers", "").body, `"total":0`)
	taken := c.api("POST", store, `{"take_good":true}`)
	require.Contains(t, taken.body, `"stored":true`)
	require.Contains(t, c.api("GET", readBody[importJSON](t, taken).BadRows, "").body, "six")
	require.Contains(t, c.api("GET", api+"covers", "").body, `"total":1`)
	w.later(heldFor)
	require.Equal(t, 404, c.api("POST", store, "{}").status, "held for an hour")
	require.Equal(t, 404, c.api("GET", tried.BadRows, "").status)

	var form bytes.Buffer
	m := multipart.NewWriter(&form)
	require.NoError(t, m.WriteField("kind", "covers"))
	part, err := m.CreateFormFile("file", "register.csv")
	require.NoError(t, err)
	_, err = part.Write([]byte(good))
	require.NoError(t, err)
	require.NoError(t, m.Close())
	again := try("", m.FormDataContentType(), form.String())
	require.Equal(t, 200, again.status, again.body)
	require.Contains(t, again.body, `"name":"register.csv"`)
	require.Contains(t, again.body, `"new":0,"changed":0,"same":1`, "the same file again changes nothing")
	require.Equal(t, 400, try("", "multipart/form-data; boundary=x", "--x\r\nbroken").status)
}
