package reports

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// At 24 px only two facts show: metal seen or not; ring whole, broken, absent.
func TestIconTellsTwoFacts(t *testing.T) {
	icon := func(change func(*Section)) string {
		s := Section{Size: SectionIcon, Alt: "x", Seal: []SealMark{{9, 0.5, SealWhole, "seam"}}}
		change(&s)
		text, err := SVG(s)
		require.NoError(t, err)
		return string(text)
	}
	broken := []SealMark{{9, 0.5, SealBroken, ""}}
	facts := map[string]bool{}
	for _, seen := range []bool{false, true} {
		for _, ring := range []func(*Section){func(*Section) {}, func(s *Section) { s.Seal = broken }, func(s *Section) { s.Off = true }} {
			base := icon(func(s *Section) { s.Seen = seen; ring(s) })
			rich := icon(func(s *Section) {
				*s = Section{Size: SectionIcon, Alt: "x", Seen: seen, RustedArea: of(8), Pits: true, Points: []float64{3}, Water: valve().Water, Seal: s.Seal}
				ring(s)
			})
			require.Equal(t, base, rich, "water, rust and pits do not show")
			facts[base] = true
		}
	}
	require.Len(t, facts, 6)
	require.NotContains(t, icon(func(*Section) {}), "<text")
}

func TestMetalIsHollowUntilSeen(t *testing.T) {
	for _, size := range []SectionSize{SectionIcon, SectionCard, SectionSheet} {
		hollow := Section{Size: size, Alt: "x"}
		seen := Section{Size: size, Alt: "x", Seen: true}
		require.Empty(t, withClass(drawn(t, hollow), "f-metal"))
		require.NotEmpty(t, withClass(drawn(t, seen), "f-metal"))
	}
	sheet := Section{Size: SectionSheet, Alt: "x", RustedArea: of(8), Pits: true}
	require.Empty(t, withClass(drawn(t, sheet), "f-metal"), "rust is not drawn on metal nobody saw")
	require.Contains(t, drawn(t, sheet).texts(), "never|seen")
}

func TestCoverOffHasNoRing(t *testing.T) {
	s := valve()
	require.NotEmpty(t, withClass(drawn(t, s), "f-seal"))
	s.Off = true
	off := drawn(t, s)
	require.Empty(t, withClass(off, "f-seal"))
	require.Contains(t, off.texts(), "cover off")
	require.NotContains(t, off.texts(), "near end")
}

// More rust draws more dots: each is a closed circle in one path.
func TestRustRanks(t *testing.T) {
	last := 0
	for _, area := range []float64{0, 0.05, 0.5, 1, 8, 40} { // Ri 0 to Ri 5, ISO 4628-3
		s := Section{Size: SectionSheet, Alt: "x", Seen: true, RustedArea: &area}
		dots := 0
		for _, path := range withClass(drawn(t, s), "f-metal") {
			for _, c := range path.attr("d") {
				if c == 'M' {
					dots++
				}
			}
		}
		require.Greater(t, dots, last, "%v %%", area)
		last = dots
	}
}

func TestEstimateIsHatchedNotFilled(t *testing.T) {
	for _, amount := range []Amount{Damp, Beads, Pooled} {
		s := Section{Size: SectionCard, Alt: "x", Water: []WaterMark{{6, true, amount, ""}}}
		require.NotEmpty(t, withClass(drawn(t, s), "f-water"))
		s.Water[0].Observed = false
		require.Empty(t, withClass(drawn(t, s), "f-water"))
		require.NotEmpty(t, withClass(drawn(t, s), "s-water"))
	}
}

// Clock positions are true: 12 is up, 3 right, 6 down, 9 left.
func TestClockPositions(t *testing.T) {
	d := newDisc(pen{}, SectionSheet)
	for _, c := range []struct {
		clock  float64
		dx, dy int
	}{{0, 0, -100}, {12, 0, -100}, {3, 100, 0}, {6, 0, 100}, {9, -100, 0}, {1.5, 71, -71}} {
		p := d.polar(100, turn(c.clock))
		require.Equal(t, at{d.mid.x + c.dx, d.mid.y + c.dy}, p, "%v o'clock", c.clock)
	}
}

func TestWholeRuns(t *testing.T) {
	mark := func(clock, width float64) SealMark { return SealMark{clock, width, SealBroken, ""} }
	for _, c := range []struct {
		name  string
		marks []SealMark
		want  []run
	}{
		{"no place", nil, []run{{0, 12}}},
		{"a whole one", []SealMark{{3, 1, SealWhole, ""}}, []run{{0, 12}}},
		{"one gap", []SealMark{mark(3, 1)}, []run{{3.5, 14.5}}},
		{"over the top", []SealMark{mark(12, 1)}, []run{{0.5, 11.5}}},
		{"over the top, from 0", []SealMark{mark(0, 1)}, []run{{0.5, 11.5}}},
		{"two", []SealMark{mark(3, 1), mark(9, 2)}, []run{{3.5, 8}, {10, 14.5}}},
		{"overlapping", []SealMark{mark(3, 2), mark(4, 2)}, []run{{5, 14}}},
		{"one inside another", []SealMark{mark(6, 4), mark(5, 1)}, []run{{8, 16}}},
		{"all around", []SealMark{mark(6, 12)}, nil},
		{"a pinhole is widened", []SealMark{mark(6, 0.01)}, []run{{6 + narrowestGap/2, 18 - narrowestGap/2}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := wholeRuns(c.marks)
			require.Len(t, got, len(c.want))
			for i := range got {
				require.InDelta(t, c.want[i].from, got[i].from, 1e-9)
				require.InDelta(t, c.want[i].to, got[i].to, 1e-9)
			}
		})
	}
}

// Ring and gaps together go once around, for any places.
func TestRingIsWholeOrGap(t *testing.T) {
	for seed := range 200 {
		var marks []SealMark
		for i := range seed % 7 {
			marks = append(marks, SealMark{math.Mod(float64(seed*i)*1.37, 12), 0.1 + float64((seed+i)%9)/4, SealBroken + SealState(i%2), ""})
		}
		runs := wholeRuns(marks)
		for i := range 1200 {
			clock := (float64(i) + 0.37) / 100
			require.NotEqual(t, inGap(marks, clock), inRuns(runs, clock), "seed %d at %v", seed, clock)
		}
	}
}

func inGap(marks []SealMark, clock float64) bool {
	for _, m := range marks {
		off := math.Abs(clock - m.Clock)
		if math.Min(off, 12-off) < sectionGap(m)/2 {
			return true
		}
	}
	return false
}

func inRuns(runs []run, clock float64) bool {
	for _, r := range runs {
		if clock >= r.from && clock < r.to || clock+12 < r.to {
			return true
		}
	}
	return false
}
