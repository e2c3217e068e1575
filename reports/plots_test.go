package reports

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const nasty = `A & B <script>alert("x")</script> 'y'`

func date(t testing.TB, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	require.NoError(t, err)
	return d
}

func of(v float64) *float64 { return &v }

func frameOf(id string, width int) Frame {
	return Frame{ID: id, Title: "Title of " + id, Desc: "3 of 41 covers opened were wet.", Width: width}
}

var sweatsInSummer = [12]bool{2: true, 3: true, 4: true, 5: true, 6: true, 7: true}

// named is a picture under a name for the test's output.
type named struct {
	name string
	plot Plot
}

// everyPlot returns every picture of the package with much, little, odd and
// nothing to show, at one width.
func everyPlot(t testing.TB, width int) []named {
	t.Helper()
	id := 0
	frame := func() Frame { id++; return frameOf(fmt.Sprintf("p%d", id), width) }
	plots := []named{
		{"share", ShareTrend{frame(), someQuarters()}},
		{"share of one quarter", ShareTrend{frame(), someQuarters()[:1]}},
		{"share, all too few", ShareTrend{frame(), []Quarter{{2026, 1, 1, 3, 0.1, 0.7}, {Year: 2026, Number: 2}}}},
		{"share, all wet", ShareTrend{frame(), []Quarter{{2026, 1, 9, 9, 0.77, 1}}}},
		{"share, most quarters", ShareTrend{frame(), manyQuarters(maxQuarters)}},
		{"share of nothing", ShareTrend{frame(), nil}},
		{"grades", GradeMix{frame(), []GradeYear{{2024, [6]int{70, 34, 9, 4, 1, 1}, 3}, {2025, [6]int{}, 0}, {2026, [6]int{0, 0, 1, 0, 0, 0}, 0}}}},
		{"grades of one", GradeMix{frame(), []GradeYear{{2026, [6]int{0, 0, 0, 0, 0, 1}, 0}}}},
		{"grades, thousands", GradeMix{frame(), []GradeYear{{2026, [6]int{88000, 12000, 3, 1, 0, 0}, 99999}}}},
		{"grades of nothing", GradeMix{frame(), nil}},
		{"strips", someStrips(t, frame())},
		{"strips of nothing", DueStrips{Frame: frame(), Start: date(t, "2026-03-01"), Today: date(t, "2026-03-14")}},
		{"room", someRoom(t, frame())},
		{"room of nothing", DueRoom{Frame: frame(), Start: date(t, "2026-03-01"), Today: date(t, "2026-03-14")}},
		{"thickness", someThickness(t, frame())},
		{"thickness of one", ThicknessPlot{Frame: frame(), Unit: "in", Decimals: 3, Required: of(0.11), Alert: of(0.111),
			Readings: []WallReading{{date(t, "2026-02-03"), 0.28, 0.004}}}},
		{"thickness, all equal", ThicknessPlot{Frame: frame(), Unit: "mm", Decimals: 1,
			Readings: []WallReading{{date(t, "2024-02-03"), 5, 0}, {date(t, "2025-02-03"), 5, 0}}}},
		{"thickness of nothing", ThicknessPlot{Frame: frame(), Unit: "mm"}},
		{"air", someAir(frame(), -10, 12)},
		{"air that never changes", someAir(frame(), 7, 0)},
	}
	return append(plots, everySection()...)
}

func someQuarters() []Quarter {
	return []Quarter{
		{2024, 3, 9, 38, 0.15, 0.37}, {2024, 4, 8, 31, 0.15, 0.40}, {2025, 1, 1, 3, 0.08, 0.72},
		{2025, 2, 5, 29, 0.09, 0.31}, {2025, 3, 3, 41, 0.03, 0.17}, {Year: 2025, Number: 4}, {2026, 1, 2, 33, 0.02, 0.17},
	}
}

func manyQuarters(n int) (qs []Quarter) {
	for i := range n {
		qs = append(qs, Quarter{2016 + i/4, i%4 + 1, i % 20, 100, 0, 0.3})
	}
	return qs
}

func someStrips(t testing.TB, f Frame) DueStrips {
	mark := func(day string, r Reason) DueMark { return DueMark{date(t, day), r} }
	crowd := Room{Name: "Laboratory tower, level 14 mechanical room north-west annex and riser", Note: "133 covers, none of them ever seen", Href: "/due?room=2"}
	for i := range 70 {
		crowd.Due = append(crowd.Due, DueMark{date(t, "2026-01-01").AddDate(0, 0, i*7), Reason(1 + i*7%5)})
	}
	return DueStrips{Frame: f, Start: date(t, "2026-03-09"), Today: date(t, "2026-03-14"), Rooms: []Room{
		{Name: nasty, Note: nasty, Href: "/due?room=1&all=1", Sweats: sweatsInSummer, Due: []DueMark{
			mark("2026-04-02", Worth), mark("2026-04-05", Worth), mark("2025-12-01", Must), mark("2026-06-20", FirstLook)}},
		crowd,
		{Name: "機械室 地下二階", Note: "ห้องเครื่อง", Due: []DueMark{mark("2027-02-28", Reported), mark("2028-01-01", PutBack)}},
		{Name: "Empty", Href: "/due?room=4"},
	}}
}

func someRoom(t testing.TB, f Frame) DueRoom {
	return DueRoom{Frame: f, Start: date(t, "2026-01-01"), Today: date(t, "2026-03-14"), Sweats: sweatsInSummer, Covers: []DueCover{
		{nasty, "gate valve NPS 6", "/covers/1", date(t, "2025-11-01"), date(t, "2026-01-20"), Must},
		{"CHW-V-013 with a tag longer than any label could carry", "strainer", "/covers/2", date(t, "2026-04-10"), date(t, "2026-06-30"), Worth},
		{"CHW-P-2", "pump", "", date(t, "2026-09-20"), date(t, "2026-12-31"), FirstLook},
		{"CHW-F-7", "", "/covers/4", date(t, "2026-03-14"), date(t, "2026-03-14"), Reported},
		{"CHW-V-020", "", "/covers/5", date(t, "2024-03-14"), date(t, "2024-06-14"), PutBack},
		{"CHW-V-021", "", "/covers/6", date(t, "2027-12-14"), date(t, "2028-03-02"), Worth},
	}}
}

func someThickness(t testing.TB, f Frame) ThicknessPlot {
	early, late := date(t, "2029-06-01"), date(t, "2041-01-01")
	c := ThicknessPlot{Frame: f, Unit: "mm", Decimals: 1, Required: of(4.8), Alert: of(5.6),
		Readings: []WallReading{{date(t, "2025-10-01"), 5.85, 0.1}, {date(t, "2016-05-01"), 7.1, 0.1}, {date(t, "2021-08-01"), 6.35, 0.3}},
		Crossing: &Crossing{date(t, "2033-10-01"), &early, &late}}
	for i := range 35 {
		mid, half := 7.1-0.066*float64(i), 0.12+0.002*math.Pow(float64(i-10), 2)
		c.Trend = append(c.Trend, TrendPoint{date(t, "2016-05-01").AddDate(0, 6*i, 0), mid - half, mid, mid + half})
	}
	return c
}

func someAir(f Frame, least, swing float64) AirYear {
	c := AirYear{Frame: f, Unit: "°C"}
	for i := range c.Months {
		mid := least + swing*(1+math.Cos(float64(i-6)*math.Pi/6))
		c.Months[i] = AirMonth{Dew: Spread{mid - swing/2, mid, mid + swing/2}, Metal: Spread{6.5, 7, 7.5}}
	}
	return c
}

func valve() Section {
	return Section{
		Size: SectionSheet, Alt: "gate valve NPS 6, rust Ri 2, damp at 6 o'clock, near end lifting",
		Seen: true, RustedArea: of(0.5), Points: []float64{3, 6, 9},
		Water: []WaterMark{{6, true, Damp, "low point"}, {0, false, Pooled, nasty}, {3, true, Beads, ""}, {9, false, Beads, ""}},
		Seal:  []SealMark{{12, 0.6, SealWhole, "seam"}, {2, 1, SealAbsent, nasty}, {7.5, 1.2, SealBroken, "near end"}, {11.9, 0.4, SealBroken, "gauge"}},
	}
}

func everySection() (plots []named) {
	off := Section{Alt: nasty, Off: true, Seal: valve().Seal}
	pits := Section{Alt: "pump, Ri 5, pitted", Seen: true, RustedArea: of(100), Pits: true}
	pit := Section{Alt: "pump, pitted at 5 o'clock", Seen: true, RustedArea: of(0), Pits: true, PitClock: of(5)}
	crowd := Section{Alt: "many places"}
	for i := range 24 {
		crowd.Seal = append(crowd.Seal, SealMark{float64(i) / 2, 0.2, SealWhole, fmt.Sprintf("place number %d of many", i)})
	}
	for _, s := range []Section{valve(), off, pits, pit, crowd, {Alt: "never seen"}} {
		for _, size := range []SectionSize{SectionIcon, SectionCard, SectionSheet} {
			s.Size = size
			plots = append(plots, named{fmt.Sprintf("section %d %.20s", size, s.Alt), s})
		}
	}
	return plots
}
