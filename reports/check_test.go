package reports

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	nan, day := math.NaN(), date(t, "2026-03-14")
	f := frameOf("x", Desk)
	wall := func(w, e float64) ThicknessPlot {
		return ThicknessPlot{Frame: f, Readings: []WallReading{{day, w, e}}}
	}
	due := func(at time.Time, r Reason) DueStrips {
		return DueStrips{Frame: f, Start: day, Today: day, Rooms: []Room{{Name: "B2", Due: []DueMark{{at, r}}}}}
	}
	cover := func(c DueCover) DueRoom { return DueRoom{Frame: f, Start: day, Today: day, Covers: []DueCover{c}} }
	link := func(href string) DueRoom { return cover(DueCover{Href: href, Opens: day, Due: day, Reason: Must}) }
	section := func(change func(*Section)) Section {
		s := valve()
		change(&s)
		return s
	}
	badAir := someAir(f, 0, 10)
	badAir.Months[6].Dew.Max = math.Inf(1)
	mixedAir := someAir(f, 0, 10)
	mixedAir.Months[1].Metal = Spread{9, 7, 8}

	for _, c := range []struct {
		name string
		plot Plot
		says string
	}{
		{"no id", GradeMix{Frame: Frame{Title: "x"}}, "id"},
		{"an id that breaks out", GradeMix{Frame: Frame{ID: `x" onload="`, Title: "x"}}, "id"},
		{"no title", GradeMix{Frame: Frame{ID: "x"}}, "title"},
		{"too narrow", GradeMix{Frame: frameOf("x", 299)}, "narrow"},
		{"more wet than opened", ShareTrend{f, []Quarter{{2026, 1, 4, 3, 0, 1}}}, "2026 Q1"},
		{"a fifth quarter", ShareTrend{f, []Quarter{{2026, 5, 1, 3, 0, 1}}}, "2026 Q5"},
		{"interval not a number", ShareTrend{f, []Quarter{{2026, 1, 1, 3, nan, 1}}}, "NaN"},
		{"share outside its interval", ShareTrend{f, []Quarter{{2026, 1, 1, 4, 0.3, 0.6}}}, "outside"},
		{"interval over one", ShareTrend{f, []Quarter{{2026, 1, 1, 4, 0.1, 1.2}}}, "outside"},
		{"too many quarters", ShareTrend{f, manyQuarters(41)}, "at most 40"},
		{"fewer than no openings", GradeMix{f, []GradeYear{{2026, [6]int{-1}, 0}}}, "2026 Ri 0"},
		{"wall not a number", wall(nan, 0.1), "14 Mar 2026"},
		{"wall without end", wall(math.Inf(1), 0.1), "Inf"},
		{"gauge error not a number", wall(5, nan), "NaN"},
		{"negative gauge error", wall(5, -0.1), "negative"},
		{"undated reading", ThicknessPlot{Frame: f, Readings: []WallReading{{Wall: 5}}}, "date"},
		{"trend not a number", ThicknessPlot{Frame: f, Trend: []TrendPoint{{day, 4, nan, 6}}}, "trend"},
		{"trend out of order", ThicknessPlot{Frame: f, Trend: []TrendPoint{{day, 4, 5, 6}, {day, 4, 5, 6}}}, "order"},
		{"required not a number", ThicknessPlot{Frame: f, Required: &nan}, "NaN"},
		{"crossing of nothing", ThicknessPlot{Frame: f, Crossing: &Crossing{At: day}}, "required"},
		{"no date due", due(time.Time{}, Must), "B2"},
		{"no reason", due(day, 0), "reason"},
		{"no today", DueStrips{Frame: f, Start: day}, "date"},
		{"window closes before it opens", cover(DueCover{Opens: day, Due: day.AddDate(0, 0, -1), Reason: Must}), "opens"},
		{"a script for a link", link("javascript:alert(1)"), "leaves"},
		{"another site", link("https://example.org/"), "leaves"},
		{"another site, same scheme", link("//example.org/"), "leaves"},
		{"another site, as browsers read it", link(`/\example.org/`), "leaves"},
		{"dew point without end", badAir, "dew point in July"},
		{"least over mean", mixedAir, "metal in February"},
		{"no size", section(func(s *Section) { s.Size = 0 }), "size"},
		{"no words", section(func(s *Section) { s.Alt = "" }), "words"},
		{"rusted area not a number", section(func(s *Section) { s.RustedArea = &nan }), "rusted area"},
		{"rusted area over all", section(func(s *Section) { s.RustedArea = of(101) }), "rusted area"},
		{"pits off the clock", section(func(s *Section) { s.PitClock = of(12.5) }), "pits"},
		{"point off the clock", section(func(s *Section) { s.Points = []float64{-1} }), "thickness point"},
		{"water off the clock", section(func(s *Section) { s.Water[0].Clock = nan }), "water"},
		{"no amount of water", section(func(s *Section) { s.Water[0].Amount = 0 }), "amount"},
		{"seal off the clock", section(func(s *Section) { s.Seal[0].Clock = 13 }), "seal"},
		{"seal of no width", section(func(s *Section) { s.Seal[0].Width = 0 }), "width"},
		{"no state of seal", section(func(s *Section) { s.Seal[0].State = 0 }), "state"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := SVG(c.plot)
			require.ErrorContains(t, err, c.says)
			require.Nil(t, b)
			_, err = PNG(c.plot)
			require.ErrorContains(t, err, c.says)
		})
	}
}
