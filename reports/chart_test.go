package reports

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/golang/freetype/truetype"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
)

func TestFewOpeningsAreNotAShare(t *testing.T) {
	told, few := []Quarter{{2026, 1, 1, 5, 0.05, 0.55}}, []Quarter{{2026, 1, 1, 4, 0.06, 0.63}}
	for _, width := range []int{Phone, Desk} {
		a, b := drawn(t, ShareTrend{frameOf("a", width), told}), drawn(t, ShareTrend{frameOf("b", width), few})
		require.Contains(t, a.texts(), "1 of 5")
		require.NotContains(t, a.texts(), "too few")
		require.Len(t, withClass(a, "f-water"), 2, "interval and dot")
		require.Contains(t, strings.ReplaceAll(b.texts(), "|to tell", " to tell"), "too few to tell")
		require.Contains(t, b.texts(), "n = 4")
		require.Empty(t, withClass(b, "f-water"))
	}
}

func withClass(n node, class string) (found []node) {
	n.each(func(c node) {
		if strings.Contains(" "+c.attr("class")+" ", " "+class+" ") {
			found = append(found, c)
		}
	})
	return found
}

func TestEmptyChartsSaySo(t *testing.T) {
	for _, n := range everyPlot(t, Phone) {
		if strings.HasSuffix(n.name, "of nothing") {
			require.Regexp(t, "^No ", drawn(t, n.plot).texts(), n.name)
		}
	}
}

// Every due date is counted once, whatever is drawn together.
func TestGroupsCountEveryMark(t *testing.T) {
	for _, width := range []int{Phone, Desk} {
		strips := someStrips(t, frameOf("s", width))
		l := strips.dueLayout(strips.Start)
		for _, room := range strips.Rooms {
			total, last := 0, -1000
			for _, g := range l.groups(room.Due) {
				total += g.count
				if g.shown {
					require.GreaterOrEqual(t, g.x-last, markGap)
					last = g.x
				}
			}
			require.Equal(t, len(room.Due), total)
		}
	}
}

func TestGroupShowsTheMostHasty(t *testing.T) {
	day := date(t, "2026-05-10")
	l := frameOf("s", Desk).dueLayout(day)
	for _, c := range []struct {
		due    []Reason
		reason Reason
		text   string
	}{
		{[]Reason{Worth}, Worth, ""},
		{[]Reason{Worth, Worth}, Worth, "2"},
		{[]Reason{Worth, Must, FirstLook}, Must, "+2"},
		{[]Reason{PutBack, Reported}, PutBack, "+1"},
	} {
		var marks []DueMark
		for _, r := range c.due {
			marks = append(marks, DueMark{day, r})
		}
		g := l.groups(marks)
		require.Len(t, g, 1)
		require.Equal(t, c.reason, g[0].reason)
		require.Equal(t, c.text, g[0].text())
	}
}

// A date lies within its month, and a later date never further left.
func TestMonthsKeepOrder(t *testing.T) {
	for _, width := range []int{Phone, Desk} {
		m := frameOf("s", width).dueLayout(date(t, "2027-11-17")).months
		last := m.left
		for i := range 366 { // with a 29 February
			day := date(t, "2027-11-01").AddDate(0, 0, i)
			month := (day.Year()-2027)*12 + int(day.Month()) - 11
			require.True(t, m.shows(day), day)
			require.GreaterOrEqual(t, m.x(day), max(last, m.edge(month)), day)
			require.LessOrEqual(t, m.x(day), m.edge(month+1), day)
			last = m.x(day)
		}
		for _, off := range []string{"2027-10-31", "2028-11-01"} {
			require.False(t, m.shows(date(t, off)), off)
		}
		require.Less(t, m.x(date(t, "2027-10-31")), m.left)
		require.Greater(t, m.x(date(t, "2028-11-01")), m.right)
	}
}

// The instant's own calendar day counts, whatever its zone.
func TestDayIsTheCalendarDay(t *testing.T) {
	east := time.Date(2026, 3, 1, 1, 0, 0, 0, time.FixedZone("east", 9*3600))
	require.Equal(t, day(date(t, "2026-03-01")), day(east))
	require.Equal(t, 1.0, day(date(t, "2026-03-01"))-day(date(t, "2026-02-28")))
}

func TestRoomSaysEachReasonAtItsMark(t *testing.T) {
	for _, width := range []int{Phone, Desk} {
		texts := drawn(t, someRoom(t, frameOf("r", width))).texts()
		for _, says := range []string{"must, 20 Jan 2026", "worth opening, 30 Jun 2026", "first look, 31 Dec 2026", "reported, 14 Mar 2026", "put back, 14 Jun 2024", "today 14 Mar 2026"} {
			require.Contains(t, texts, says)
		}
	}
}

func TestDryMonthsArePlain(t *testing.T) {
	c := someRoom(t, frameOf("r", Desk))
	require.Contains(t, drawn(t, c).texts(), "bare metal sweats")
	c.Sweats = [12]bool{}
	dry := drawn(t, c)
	require.NotContains(t, dry.texts(), "bare metal sweats")
	for _, rect := range dry.all("rect") {
		require.NotEqual(t, "url(#r-sweat)", rect.attr("fill"))
	}
}

func TestSteps(t *testing.T) {
	for _, c := range []struct {
		low, high, first, last, step float64
		label                        string // of the second tick
	}{
		{0, 0.43, 0, 0.6, 0.2, "0.2"},
		{4.1, 7.2, 4, 8, 1, "5"},
		{-9.5, 24, -10, 30, 10, "0"},
		{5, 5, 4.5, 5.5, 0.5, "5.0"},
		{0.1, 0.284, 0.1, 0.3, 0.05, "0.15"},
		{-0.4, 0.1, -0.4, 0.2, 0.2, "\u22120.2"},
	} {
		ticks := steps(c.low, c.high, 4, decimal)
		require.InDelta(t, c.first, ticks[0].Value, 1e-9, "%v", c)
		require.InDelta(t, c.last, ticks[len(ticks)-1].Value, 1e-9, "%v", c)
		require.InDelta(t, c.step, ticks[1].Value-ticks[0].Value, 1e-9, "%v", c)
		require.Equal(t, c.label, ticks[1].Label)
	}
}

func TestStepsEnclose(t *testing.T) {
	for _, low := range []float64{-1e6, -3.3, 0, 1e-6, 7, 123456} {
		for _, span := range []float64{0, 1e-3, 0.7, 12, 9e5} {
			ticks := steps(low, low+span, 5, decimal)
			require.LessOrEqual(t, ticks[0].Value, low+1e-9*math.Abs(low))
			require.GreaterOrEqual(t, ticks[len(ticks)-1].Value, (low+span)-1e-6*math.Max(1, math.Abs(low)))
			require.LessOrEqual(t, len(ticks), 12)
			require.GreaterOrEqual(t, len(ticks), 2)
		}
	}
}

// Against the font library's own face, at a size where its rounding to 1/64 px
// is small.
func TestWidthAsTheFontLibraryHasIt(t *testing.T) {
	const size = 1000
	face := truetype.NewFace(roman().font, &truetype.Options{Size: size, DPI: 72, Hinting: font.HintingNone})
	for _, text := range []string{"3 of 41", "too few to tell (n = 3)", "Wärmeträger, 7 °C", "…—±\u2212", "ĀžΩЖ"} {
		want := 0.0
		for _, r := range text { // letter by letter: pairs are not kerned in the pictures
			adv, ok := face.GlyphAdvance(r)
			require.True(t, ok)
			want += float64(adv) / 64
		}
		got, known := roman().width(text, size)
		require.True(t, known, text)
		require.InDelta(t, want, got, 1, text)
	}
}

func TestFit(t *testing.T) {
	for _, text := range []string{"Plant room B2", "機械室 地下二階", "ห้องเครื่อง", "a", ""} {
		whole, _ := roman().width(text, 13)
		require.Equal(t, text, roman().fit(text, 13, int(math.Ceil(whole))))
		for room := range int(whole) {
			cut := roman().fit(text, 13, room)
			w, _ := roman().width(cut, 13)
			require.LessOrEqual(t, w, float64(room), cut)
			require.True(t, cut == "" || strings.HasSuffix(cut, "…"), cut)
		}
	}
	require.Equal(t, "Plant…", roman().fit("Plant room", 13, 46), "no blank before the dots")
}

func manyRooms(t testing.TB, n int) DueStrips {
	c := DueStrips{Frame: frameOf("many", Desk), Start: date(t, "2026-03-01"), Today: date(t, "2026-03-14")}
	for i := range n {
		room := Room{Name: fmt.Sprintf("Room %d", i), Note: "20 covers", Href: fmt.Sprintf("/due?room=%d", i), Sweats: sweatsInSummer}
		for j := range 20 {
			room.Due = append(room.Due, DueMark{c.Start.AddDate(0, 0, (i*31+j*j*17)%500-60), Reason(1 + (i+j)%5)})
		}
		c.Rooms = append(c.Rooms, room)
	}
	return c
}

func BenchmarkDueStrips(b *testing.B) {
	for _, rooms := range []int{14, 50, 500} {
		c := manyRooms(b, rooms)
		b.Run(fmt.Sprint(rooms, " rooms"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				text, err := SVG(c)
				require.NoError(b, err)
				b.SetBytes(int64(len(text)))
			}
		})
	}
}

func BenchmarkThicknessPlot(b *testing.B) {
	c := someThickness(b, frameOf("t", Desk))
	for b.Loop() {
		_, err := SVG(c)
		require.NoError(b, err)
	}
}

func BenchmarkSection(b *testing.B) {
	s := valve()
	s.Size = SectionIcon
	for b.Loop() {
		_, err := SVG(s)
		require.NoError(b, err)
	}
}
