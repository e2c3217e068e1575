package register

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// bring imports a text as an administrator.
func (w *world) bring(kind, text string, change func(*ImportRequest)) ImportReport {
	w.t.Helper()
	req := ImportRequest{Kind: kind, Name: kind + ".csv", Body: bytes.NewReader([]byte(text)), Size: int64(len(text)), TimeZone: "America/Chicago", Currency: "$"}
	if change != nil {
		change(&req)
	}
	report, err := w.Import(w.ctx, w.admin, req)
	require.NoError(w.t, err)
	return report
}

func dry(r *ImportRequest)      { r.DryRun = true }
func takeGood(r *ImportRequest) { r.TakeGood = true }

func (w *world) covers() []models.CoverRow {
	w.t.Helper()
	page, err := w.Covers(w.ctx, w.admin, models.CoverFilter{})
	require.NoError(w.t, err)
	return page.Rows
}

func (w *world) coverOf(tag string) models.CoverSheet {
	w.t.Helper()
	for _, c := range w.covers() {
		if c.Tag == tag {
			s, err := w.Cover(w.ctx, w.admin, c.ID)
			require.NoError(w.t, err)
			return s
		}
	}
	require.Fail(w.t, "no cover "+tag)
	return models.CoverSheet{}
}

const siteRegister = `Building,Plant room,Valve tag,Type,Size,Service temp (°F),Insulation thickness (in),Closed with,Penetrations,Loop,Status,Location,Manager
Science Hall,B-01,V-12,Gate,"6""",44,1 1/2,Taped,2,CHW-1,on,"behind the pump, left",Kim
Science Hall,B-01,S-3,Y-strainer,DN100,,40 mm,straps,,CHW-1,,,Kim
Library,Basement,FP-1,flange pair,1 1/2,7 °C,,,,,removed,,
`

func TestImportOfARegister(t *testing.T) {
	w := newEmpty(t)
	report := w.bring("covers", siteRegister, nil)
	require.Empty(t, report.Faults)
	require.True(t, report.Stored)
	require.Equal(t, []int{3, 3, 0, 0, 0}, []int{report.Rows, report.New, report.Changed, report.Same, report.Bad})
	require.Equal(t, []string{"building Science Hall", "room B-01 in Science Hall", "loop CHW-1 in Science Hall", // in the order of the file
		"building Library", "room Basement in Library"}, report.Made)
	require.Contains(t, report.Matching, ColumnMatch{"Service temp (°F)", "service", "°F"})
	require.Contains(t, report.Matching, ColumnMatch{"Manager", "", ""})

	v := w.coverOf("V-12")
	require.Equal(t, "America/Chicago", v.Building.TimeZone)
	require.Equal(t, "gate_valve", v.Component.Kind)
	require.Equal(t, 6.0, *v.Component.NPS)
	require.InDelta(t, 6.6667, *v.Component.ServiceC, 1e-3, "44 °F")
	require.InDelta(t, 38.1, *v.Cover.ThicknessMM, 1e-9, "1 1/2 in")
	require.Equal(t, "tape", v.Cover.Closure)
	require.Equal(t, 2, *v.Cover.Penetrations)
	require.Equal(t, "CHW-1", v.Loop.Name)
	require.Equal(t, "behind the pump, left", v.Component.Where)
	require.Equal(t, models.InPlace, v.Cover.State)
	require.Equal(t, models.Date("2026-11-25"), v.Cover.Since)
	require.Empty(t, v.Component.Material, "what no column says is not known")
	s := w.coverOf("S-3")
	require.Equal(t, 4.0, *s.Component.NPS, "DN100")
	require.Nil(t, s.Component.ServiceC, "an empty cell is not known, not 0")
	require.Equal(t, 40.0, *s.Cover.ThicknessMM, "the cell's own unit wins over the heading's")
	require.Nil(t, s.Cover.Penetrations)
	f := w.coverOf("FP-1")
	require.Equal(t, 1.5, *f.Component.NPS)
	require.Equal(t, 7.0, *f.Component.ServiceC)
	require.Equal(t, models.Off, f.Cover.State)
	require.Equal(t, models.Date("2026-11-25"), f.Cover.OffSince)

	m, err := w.Morning(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, 2, m.NeverSeen, "a fresh register is never seen")
	require.Zero(t, m.OverdueCount, "and not overdue")
	require.Zero(t, m.Pending)
	require.Equal(t, models.PutBack, w.row("FP-1").Action)
	require.NotEqual(t, w.row("V-12").DueOn, w.row("S-3").DueOn, "the first-look program spreads them by rank")
}

func (w *world) row(tag string) models.CoverRow {
	for _, c := range w.covers() {
		if c.Tag == tag {
			return c
		}
	}
	return models.CoverRow{}
}

func TestSameFileAgainChangesNothing(t *testing.T) {
	w := newEmpty(t)
	w.bring("covers", siteRegister, nil)
	before, events := w.covers(), w.lastEvent()
	w.clock.turn(48 * time.Hour)
	report := w.bring("covers", siteRegister, nil)
	require.Equal(t, []int{3, 0, 0, 3, 0}, []int{report.Rows, report.New, report.Changed, report.Same, report.Bad})
	require.Empty(t, report.Made)
	require.Equal(t, before, w.covers())
	require.Equal(t, events, w.lastEvent())

	more := strings.Replace(siteRegister, "Science Hall,B-01,S-3,Y-strainer,DN100,,", "Science Hall,B-01,S-3,Y-strainer,,45,", 1)
	report = w.bring("covers", more, nil)
	require.Equal(t, []int{0, 1, 2}, []int{report.New, report.Changed, report.Same})
	s := w.coverOf("S-3")
	require.InDelta(t, 7.2222, *s.Component.ServiceC, 1e-3)
	require.Equal(t, 4.0, *s.Component.NPS, "an empty cell leaves what is known")
}

func (w *world) lastEvent() int64 {
	events, err := w.Events(w.ctx, w.admin, EventFilter{Limit: 1})
	require.NoError(w.t, err)
	if len(events) == 0 {
		return 0
	}
	return events[0].Seq
}

func TestDryRunStoresNothing(t *testing.T) {
	w := newEmpty(t)
	report := w.bring("covers", siteRegister, dry)
	require.Equal(t, 3, report.New)
	require.Len(t, report.Made, 5)
	require.False(t, report.Stored)
	require.Empty(t, w.covers())
	list, err := w.Buildings(w.ctx, w.admin)
	require.NoError(t, err)
	require.Empty(t, list)
	require.Zero(t, w.lastEvent())
	require.Equal(t, 3, w.bring("covers", siteRegister, nil).New)
}

const badRegister = `Building,Room,Tag,Kind,NPS,Service temp,Penetrations,Fitted,Label
North,B-01,V-1,gate valve,6,44 F,1,2024-05-01,DL-1
North,B-01,V-2,gizmo,6,44 F,1,2024-05-01,
North,B-01,,gate valve,6,44 F,1,2024-05-01,
North,B-01,V-4,gate valve,six,44,one,03/04/2024,
North,B-01,V-5,gate valve,6,200 F,1,2024-02-30,
North,B-01,V-6,gate valve,6,44 F,1,2024-05-01,DL-1
North,B-01,V-7,gate valve,6,44 F,1,2024-05-01
North,B-01,V-1,gate valve,6,44 F,1,2024-05-01,DL-1
`

func TestBadRowsAreListedAndNothingIsStored(t *testing.T) {
	w := newEmpty(t)
	report := w.bring("covers", badRegister, nil)
	require.False(t, report.Stored)
	require.Equal(t, []int{8, 1, 7}, []int{report.Rows, report.New, report.Bad})
	require.Empty(t, w.covers())
	got := map[string]string{}
	for _, f := range report.Faults {
		got[fmt.Sprintf("%d %s", f.Line, f.Field)] = f.Value + " " + f.Msg
	}
	for at, want := range map[string]string{
		"3 Kind":         "gizmo is not one of the answers; write one of: gate valve, butterfly valve",
		"4 Tag":          " is empty; give the site's own tag",
		"5 NPS":          "six is not a nominal pipe size",
		"5 Service temp": "44 has no unit; write it in the cell, as 44 °C, or in the heading, as Service temp (°C)",
		"5 Penetrations": "one is not a whole number",
		"5 Fitted":       "03/04/2024 may be two days",
		"6 Fitted":       "2024-02-30 is not a day",
		"7 Label":        "DL-1 stands on line 2 already",
		"9 Tag":          "V-1 stands on line 2 already",
	} {
		require.Contains(t, got[at], want, at)
	}
	require.Contains(t, got["8 "], "the row has 8 cells")

	report = w.bring("covers", badRegister, takeGood)
	require.True(t, report.Stored)
	require.Equal(t, []int{1, 7}, []int{report.New, report.Bad})
	require.Len(t, w.covers(), 1)
	require.Equal(t, []string{"building North", "room B-01 in North"}, report.Made)
	lines := strings.Split(strings.TrimSpace(string(report.BadFile)), "\r\n")
	require.Len(t, lines, 8)
	require.Contains(t, lines[0], "Building,Room,Tag,Kind")
	require.Contains(t, lines[1], "gizmo")
	require.Contains(t, lines[1], "is not one of the answers")

	mended := strings.Replace(string(report.BadFile), "gizmo", "check valve", 1)
	report = w.bring("covers", mended, takeGood)
	require.Equal(t, 2, report.New, "a mended row of the file of bad rows comes in, and the short one, filled up there")
	require.Equal(t, "check_valve", w.coverOf("V-2").Component.Kind)
}

func TestFilesThatCannotBeRead(t *testing.T) {
	w := newEmpty(t)
	for _, c := range []struct{ name, text, want string }{
		{"no tag", "Building,Room,Kind\nA,B,pump\n", `needs a column "Tag"`},
		{"empty", "", "the file is empty"},
		{"not a table", "%PDF-1.4", "this is a PDF"},
		{"quote never closed", "Building,Room,Tag,Kind\nA,B,\"V-1,pump\n", "double quote"},
		{"two columns fit", "Building,Room,Tag,Kind,Notes,Remarks\nA,B,V-1,pump,x,y\n", "may be any of these columns: Notes, Remarks"},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := w.bring("covers", c.text, takeGood)
			require.False(t, report.Stored)
			require.Positive(t, report.Bad)
			require.Contains(t, report.Faults[0].Msg, c.want)
			require.Empty(t, w.covers())
		})
	}
	report := w.bring("covers", "Building,Room,Tag,Kind,Notes,Remarks\nA,B,V-1,pump,x,y\n", func(r *ImportRequest) {
		r.Map = map[string]string{"Remarks": "note"}
	})
	require.Equal(t, 1, report.New)
	require.Equal(t, "y", w.coverOf("V-1").Component.Note+w.coverOf("V-1").Cover.Note)
	require.Equal(t, models.Invalid, kindOfImport(w, "nonsense"))
	report = w.bring("covers", "Building,Room,Tag,Kind\nEast,B,V-1,gizmo\nA,Attic,V-1,gizmo\n", takeGood)
	require.Empty(t, report.Made, "what only bad rows name is not made")
	list, err := w.Buildings(w.ctx, w.admin)
	require.NoError(t, err)
	require.Len(t, list, 1)
}

func TestTwoColumnsForOneFieldAreRefused(t *testing.T) {
	w := newWorld(t)
	for _, c := range []struct {
		name, kind string
		said       map[string]string
		want       string
	}{
		{"a table", "covers", map[string]string{"Valve no.": "tag", "Old no.": "tag", "Sort": "kind"}, `The columns "Old no." and "Valve no." are all said to be "tag"`},
		{"a logger", "logger", map[string]string{"Ch 1": "temp", "Ch 2": "temp"}, `"Ch 1" and "Ch 2" are all said to be "temp"`},
	} {
		text := "Building,Room,Valve no.,Old no.,Sort\nNorth Wing,Plant room,V-9,17,pump\n"
		_, err := w.Import(w.ctx, w.admin, ImportRequest{Kind: c.kind, Name: "x.csv", Map: c.said, Room: w.room[0].ID, Body: strings.NewReader(text), Size: int64(len(text))})
		var e *models.Error
		require.ErrorAs(t, err, &e, c.name)
		require.Len(t, e.Faults, 1)
		require.Equal(t, "columns", e.Faults[0].Field)
		require.Contains(t, e.Faults[0].Msg, c.want)
	}
	report := w.bring("logger", "Time,Temp in (C),Temp out (C),RH (%)\n2026-10-01 09:00,24,5,55\n2026-10-01 10:00,24,5,55\n", func(r *ImportRequest) { r.Room = w.room[0].ID })
	require.False(t, report.Stored)
	require.Contains(t, report.Faults[0].Msg, `"Temp in (C)" and "Temp out (C)" may both be it`)
	report = w.bring("logger", "Time,Temp in (C),Temp out (C),RH (%)\n2026-10-01 09:00,24,5,55\n2026-10-01 10:00,24,5,55\n", func(r *ImportRequest) {
		r.Room, r.Map = w.room[0].ID, map[string]string{"Temp out (C)": "temp"}
	})
	require.True(t, report.Stored)
	list, err := w.store.Climates(w.ctx, w.building[0].ID, w.room[0].ID)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Contains(t, report.Matching, ColumnMatch{"Temp out (C)", "temp", "degC"})
}

func kindOfImport(w *world, k string) models.Kind {
	_, err := w.Import(w.ctx, w.admin, ImportRequest{Kind: k, Body: bytes.NewReader(nil)})
	return kind(err)
}

func TestImportKeepsToTheActorsBuildings(t *testing.T) {
	w := newWorld(t)
	text := "Building,Room,Tag,Kind\nNorth Wing,Plant room,V-9,pump\nSouth Wing,Plant room,V-9,pump\nNew Wing,Plant room,V-9,pump\n"
	report, err := w.Import(w.ctx, w.engineer, ImportRequest{Kind: "covers", Name: "x.csv", TakeGood: true, TimeZone: "America/New_York",
		Body: strings.NewReader(text), Size: int64(len(text))})
	require.NoError(t, err)
	require.Equal(t, []int{1, 2}, []int{report.New, report.Bad})
	require.Equal(t, report.Faults[0].Msg, report.Faults[1].Msg, "another's building and none cannot be told apart")
	text = "Tag,Date,Answer\nV-1,2025-05-01,dry\n"
	report, err = w.Import(w.ctx, w.engineer, ImportRequest{Kind: "openings", Name: "x.csv", Body: strings.NewReader(text), Size: int64(len(text))})
	require.NoError(t, err)
	require.Equal(t, 1, report.New, "V-1 of the other building is not in the way")
	_, err = w.Import(w.ctx, w.inspector, ImportRequest{Kind: "covers", Body: strings.NewReader(""), Building: w.building[0].ID})
	require.Equal(t, models.Denied, kind(err))
}

func TestImportOfEarlierRecords(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	text := "Building,Tag,Opened on,Found,Dried,Remarks\n" +
		"North Wing,V-1,2025-03-02,Dry,,first\n" +
		"North Wing,v-1,\"Nov 5, 2025\",damp,yes,\n" +
		"North Wing,V-1,2026-01-07,?,,\n"
	report := w.bring("openings", text, nil)
	require.Empty(t, report.Faults)
	require.Equal(t, 3, report.New)
	file, err := w.CoverFile(w.ctx, w.admin, s.Cover.ID)
	require.NoError(t, err)
	require.Len(t, file.History, 3)
	require.Equal(t, "unknown", file.History[0].Earlier.Answer)
	require.Equal(t, "wet", file.History[1].Earlier.Answer)
	require.True(t, file.History[1].Earlier.Dried)
	require.False(t, file.Score.ExpertFit, "those with day and answer teach the model")

	report = w.bring("openings", text, nil)
	require.Equal(t, []int{0, 3, 0}, []int{report.New, report.Same, report.Bad})
	report = w.bring("openings", "Tag,Date,Answer\nV-1,2025-03-02,wet\nV-77,2025-03-02,wet\nV-1,2030-01-01,dry\n", nil)
	require.Equal(t, 3, report.Bad)
	require.Contains(t, report.Faults[0].Msg, "is on 2 covers; give the building")
	require.Contains(t, report.Faults[1].Msg, "is on no cover")
	report = w.bring("openings", "Tag,Date,Answer\nV-1,2025-03-02,wet\nV-1,2030-01-01,dry\n", func(r *ImportRequest) { r.Building = w.building[0].ID })
	require.Contains(t, report.Faults[0].Msg, "has another record of this cover already (dry); what is recorded stays")
	require.Contains(t, report.Faults[1].Msg, "lies in the future")
}

func TestImportOfThicknessReadings(t *testing.T) {
	w := newWorld(t)
	text := "Building,Tag,Date,Point,Wall (in),Gauge\n" +
		"North Wing,V-1,2025-03-02,6 o'clock,0.280,UT-7\n" +
		"North Wing,V-1,2026-03-02,6 o'clock,0.275,UT-7\n" +
		"North Wing,V-1,2026-03-02,12 o'clock,7.10 mm,UT-7\n"
	report := w.bring("readings", text, nil)
	require.Empty(t, report.Faults)
	require.Equal(t, 3, report.New)
	list, err := w.store.Readings(w.ctx, w.cover[0].Cover.ID)
	require.NoError(t, err)
	require.Len(t, list, 3)
	require.Equal(t, 0.280, list[0].Value, "as it was read")
	require.Equal(t, "in", list[0].Unit)
	require.Equal(t, "mm", list[2].Unit)
	require.Equal(t, 3, w.bring("readings", text, nil).Same)

	report = w.bring("readings", "Building,Tag,Date,Point,Wall,Unit\nNorth Wing,V-1,2026-03-02,top,7.1,\nNorth Wing,V-1,2026-03-02,top,7.1,mm\nNorth Wing,V-1,2026-03-02,top,710,mm\n", nil)
	require.Equal(t, []int{1, 2}, []int{report.New, report.Bad})
	require.Contains(t, report.Faults[0].Msg, "has no unit")
	require.Contains(t, report.Faults[1].Msg, "a wall between 0.1 and 100 mm")
}

func TestImportOfRoomAir(t *testing.T) {
	w := newWorld(t)
	text := "Building,Room,Time,Temp (F),RH,Dew point (F)\n" +
		"North Wing,Plant room,2026-11-20 09:00,75,55,\n" +
		"North Wing,Plant room,2026-11-20T15:00:00Z,75,0.6,\n" +
		"North Wing,Plant room,2026-11-21 09:00,75,,50\n"
	report := w.bring("air", text, nil)
	require.Empty(t, report.Faults)
	require.Equal(t, 3, report.New)
	list, err := w.store.RoomReadings(w.ctx, w.room[0].ID, time.Time{})
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, 11, 20, 14, 0, 0, 0, time.UTC), list[0].At, "09:00 in New York")
	require.InDelta(t, 23.889, list[0].TempC, 1e-3)
	require.Equal(t, 0.55, *list[0].RH)
	require.Equal(t, 0.6, *list[1].RH)
	require.InDelta(t, 10, *list[2].DewPointC, 1e-9)
	require.Equal(t, 3, w.bring("air", text, nil).Same)
	report = w.bring("air", "Building,Room,Time,Temp (F),RH (%)\nNorth Wing,Attic,2026-11-20 09:00,75,55\nNorth Wing,Plant room,2026-11-20 09:00,75,70\nNorth Wing,Plant room,11/20/26,75,0.5\n", nil)
	require.Equal(t, 3, report.Bad)
	require.Contains(t, report.Faults[0].Msg, "is no room of North Wing")
	require.Contains(t, report.Faults[1].Msg, "has another reading of this room already")
	require.Contains(t, report.Faults[2].Msg, "is not a day with a time")
}

// An hourly weather file made of the synthetic year of testdata/check/climates.
func epw(t *testing.T) string {
	t.Helper()
	table, err := os.ReadFile("../../testdata/check/climates/outdoor_open.csv")
	require.NoError(t, err)
	var b strings.Builder
	b.WriteString("LOCATION,Invented City,XX,USA,synthetic,000000,40.0,-75.0,-5.0,30.0\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")
	at := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, line := range strings.Split(strings.TrimSpace(string(table)), "\n")[1:] {
		var hour int
		var temp, rh float64
		_, err := fmt.Sscanf(strings.ReplaceAll(line, ",", " "), "%d %g %g", &hour, &temp, &rh)
		require.NoError(t, err)
		dew := temp - (100-rh)/5 // rule of thumb: only the file's form matters here
		fmt.Fprintf(&b, "2023,%d,%d,%d,0,*,%.1f,%.1f,%.0f,101000\n", at.Month(), at.Day(), at.Hour()+1, temp, dew, rh)
		at = at.Add(time.Hour)
	}
	return b.String()
}

func TestImportOfWeatherScoresTheBuilding(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	_, err := w.Score(w.ctx, s.Cover.ID, "new day")
	require.NoError(t, err)
	text := epw(t)
	here := func(r *ImportRequest) { r.Building, r.Name = w.building[0].ID, "invented.epw" }
	report := w.bring("climate", text, here)
	require.Empty(t, report.Faults)
	require.True(t, report.Stored)
	require.Equal(t, []int{8760, 1}, []int{report.Rows, report.New})
	file, err := w.CoverFile(w.ctx, w.admin, s.Cover.ID)
	require.NoError(t, err)
	require.NotEqual(t, 8760.0, file.Score.HoursBelow)
	require.Positive(t, file.Score.HoursBelow)
	require.Equal(t, "climate", file.Changes[0].Cause)
	list, err := w.Climates(w.ctx, w.engineer, w.building[0].ID)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Equal(t, -5.0, list[0].UTCOffsetH)
	require.Equal(t, 1, w.bring("climate", text, here).Same)
	air, err := w.Air(w.ctx, w.inspector, w.room[0].ID)
	require.NoError(t, err)
	require.False(t, air.Assumed)
	require.Contains(t, air.Source, "invented.epw")
	require.Equal(t, 6.0, air.MetalC)
	other, err := w.Air(w.ctx, w.admin, w.room[1].ID)
	require.NoError(t, err)
	require.True(t, other.Assumed)

	report = w.bring("climate", text[:len(text)/2], here)
	require.False(t, report.Stored)
	require.Contains(t, report.Faults[0].Msg, "a whole year has 8760 or 8784")
}

func TestImportOfALogger(t *testing.T) {
	w := newWorld(t)
	var b strings.Builder
	b.WriteString("Time,Temp (C),RH (%)\n")
	at := time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)
	for i := range 200 {
		if i < 100 || i > 110 {
			fmt.Fprintf(&b, "%s,24.0,55\n", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02 15:04"))
		}
	}
	here := func(r *ImportRequest) { r.Room = w.room[0].ID }
	report := w.bring("logger", b.String(), here)
	require.Empty(t, report.Faults)
	require.Contains(t, report.Notes[0], "11 h without reading")
	list, err := w.Climates(w.ctx, w.admin, w.building[0].ID)
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, 10, 1, 4, 0, 0, 0, time.UTC), list[0].Start, "midnight in New York")
	require.Len(t, list[0].Gaps, 1)

	bad := b.String() + "2026-10-09 09:00,hot,55\n"
	report = w.bring("logger", bad, here)
	require.False(t, report.Stored)
	require.Equal(t, 1, report.Bad)
	require.Equal(t, "hot", report.Faults[0].Value)
	require.True(t, w.bring("logger", bad, func(r *ImportRequest) { here(r); takeGood(r) }).Stored)
}

func TestDaysAsTheyAreWritten(t *testing.T) {
	for _, c := range []struct {
		text, order string
		want        models.Date
	}{
		{"2026-11-25", "", "2026-11-25"}, {"2026-11-25T00:00:00", "", "2026-11-25"}, {"25 Nov 2026", "", "2026-11-25"},
		{"Nov 25, 2026", "", "2026-11-25"}, {"11/25/2026", "", "2026-11-25"}, {"25.11.2026", "", "2026-11-25"},
		{"4/4/2026", "", "2026-04-04"}, {"3/4/2026", "mdy", "2026-03-04"}, {"3/4/2026", "dmy", "2026-04-03"},
		{"3/4/2026", "", ""}, {"25/11/2026", "mdy", ""}, {"2026-02-30", "", ""}, {"2026", "", ""}, {"30/2/2026", "", ""}, {"1/1/1800", "", ""},
	} {
		d, msg := dayOf(c.text, c.order)
		require.Equal(t, c.want, d, c.text)
		require.Equal(t, c.want == "", msg != "", c.text)
	}
}

func TestOrderOfDayAndMonthIsNeverGuessed(t *testing.T) {
	none := map[string]models.Date{}
	for _, c := range []struct {
		name, days, order string
		want              map[string]models.Date // by tag, where it is stored
		note, ask         string
	}{
		{"nothing open", "2025-04-03 04/04/2025 25/12/2025", "", map[string]models.Date{"T0": "2025-04-03", "T1": "2025-04-04", "T2": "2025-12-25"}, "", ""},
		{"a day above 12, further down", "03/04/2025 04/04/2025 25/04/2025", "", map[string]models.Date{"T0": "2025-04-03", "T1": "2025-04-04", "T2": "2025-04-25"},
			"with the day first, so that 03/04/2025 is 3 Apr 2025: 25/04/2025 on line 4 cannot be read otherwise", ""},
		{"the month first", "04/25/2025 03/04/2025", "", map[string]models.Date{"T0": "2025-04-25", "T1": "2025-03-04"}, "with the month first", ""},
		{"open", "04/04/2025 03/04/2025", "", none, "", "03/04/2025 on line 3 may be 4 Mar 2025 (month first) or 3 Apr 2025 (day first)"},
		{"said", "03/04/2025", "dmy", map[string]models.Date{"T0": "2025-04-03"}, "", ""},
		{"said otherwise", "03/04/2025", "mdy", map[string]models.Date{"T0": "2025-03-04"}, "", ""},
		{"said against the file", "25/04/2025", "mdy", none, "", ""},
		{"both orders", "03/04/2025 25/04/2025 04/25/2025", "", none, "25/04/2025 on line 3 has the day first, 04/25/2025 on line 4 the month", ""},
		{"no day either way decides nothing", "03/04/2025 30/02/2025", "", none, "", "03/04/2025 on line 2 may be"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newEmpty(t)
			text := "Building,Room,Tag,Kind,Fitted\n"
			for i, day := range strings.Fields(c.days) {
				text += fmt.Sprintf("North,B-01,T%d,pump,%s\n", i, day)
			}
			report := w.bring("covers", text, func(r *ImportRequest) { r.DateOrder = c.order })
			got := map[string]models.Date{}
			for _, row := range w.covers() {
				got[row.Tag] = w.coverOf(row.Tag).Cover.Fitted
			}
			require.Equal(t, c.want, got)
			require.Contains(t, strings.Join(report.Notes, "\n"), c.note)
			require.Equal(t, c.note == "", len(report.Notes) == 0)
			require.Equal(t, c.ask != "", report.Asks != nil)
			if report.Asks != nil {
				require.Contains(t, report.Asks.Say(), c.ask)
			}
		})
	}
	w := newEmpty(t)
	_, err := w.Import(w.ctx, w.admin, ImportRequest{Kind: "covers", DateOrder: "ymd", Body: strings.NewReader("")})
	require.Equal(t, models.Invalid, kind(err))
}

func TestOrderOfDayAndMonthInALogger(t *testing.T) {
	w := newWorld(t)
	here := func(r *ImportRequest) { r.Room = w.room[0].ID }
	open := "Time,Temp (C),RH (%)\n3/4/2026 09:00,24,55\n"
	report := w.bring("logger", open, here)
	require.False(t, report.Stored)
	require.NotNil(t, report.Asks)
	require.Contains(t, report.Asks.Say(), "3/4/2026 09:00 on line 2 may be 4 Mar 2026 (month first) or 3 Apr 2026 (day first)")
	require.Equal(t, []models.Date{"2026-03-04", "2026-04-03"}, []models.Date{report.Asks.MonthFirst, report.Asks.DayFirst})
	report = w.bring("logger", "Time,Temp (C),RH (%)\n12/4/2026 23:30,24,55\n13/4/2026 00:00,24,55\n", func(r *ImportRequest) { here(r); r.DryRun = true })
	require.Nil(t, report.Asks)
	require.Contains(t, strings.Join(report.Notes, "\n"), "with the day first: 13/4/2026 00:00 cannot be read otherwise")
	report = w.bring("logger", open+"3/4/2026 10:00,24,55\n30/3/2026 10:00,x,55\n", func(r *ImportRequest) { here(r); r.DateOrder = "dmy"; r.TakeGood = true })
	require.True(t, report.Stored)
	require.Contains(t, strings.Join(report.Notes, "\n"), "2 hours from 3 Apr 2026 09:00")
	report = w.bring("logger", "Time,Temp (C),RH (%)\n4/3/2026 23:00,24,55\n5/3/2026 00:00,24,55\n", here)
	require.True(t, report.Stored)
	require.Contains(t, strings.Join(report.Notes, "\n"), "with the day first: only so no reading is more than six hours after the one before")
}

func TestWordsAsSitesWriteThem(t *testing.T) {
	for _, c := range []struct {
		words      models.Vocabulary
		text, want string
	}{
		{models.ComponentKinds, "Gate Valve", "gate_valve"}, {models.ComponentKinds, "gate_valve", "gate_valve"},
		{models.ComponentKinds, "GV", "gate_valve"}, {models.ComponentKinds, "Y-Strainer", "strainer"},
		{models.ComponentKinds, "CV", ""}, // check or control valve: not guessed
		{models.Materials, "rubber", "rubber"}, {models.Insulations, "rubber", "nitrile"},
		{models.CoverStates, "Missing", "off"}, {models.CoverStates, "yes", "in_place"},
		{models.Answers, "N/A", "unknown"}, {models.Closures, "Velcro", "hook_loop"},
		{models.Sides, "gate", ""}, {models.RoomKinds, "has steam or an open sump", "steam"},
	} {
		code, ok := wordOf(c.words, c.text)
		require.Equal(t, c.want, code, c.text)
		require.Equal(t, c.want != "", ok, c.text)
	}
}

func TestEverySynonymIsAWordOfSomeVocabulary(t *testing.T) {
	for text, code := range synonyms {
		found := false
		for _, v := range []models.Vocabulary{models.ComponentKinds, models.Materials, models.Connections, models.Sides, models.Accesses,
			models.Flows, models.Belows, models.Spares, models.Withouts, models.CoverStates, models.Insulations, models.Closures,
			models.RoomKinds, models.CoatClasses, models.Answers} {
			found = found || v.Has(code)
		}
		require.True(t, found, text)
		require.Equal(t, plain(text), text, "a key that is never looked up")
	}
}
