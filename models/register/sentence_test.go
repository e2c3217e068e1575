package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestWilson(t *testing.T) {
	for _, c := range []struct {
		k, n   int
		lo, hi float64
		source string
	}{
		{0, 0, 0, 1, "no openings say nothing"},
		{0, 10, 0, 0.212942, "computed in Python from Wilson's formula, z = 1.6448536"},
		{3, 12, 0.104653, 0.487338, "as above"},
		{12, 12, 0.816019, 1, "as above"},
	} {
		r := wilson(c.k, c.n)
		require.InDelta(t, c.lo, r.Lo, 1e-6, "%d of %d: %s", c.k, c.n, c.source)
		require.InDelta(t, c.hi, r.Hi, 1e-6, "%d of %d: %s", c.k, c.n, c.source)
	}
}

func TestSentencesOfATrend(t *testing.T) {
	money := 1312.4
	trend := models.BuildingTrend{
		Numbers: models.BuildingNumbers{Building: models.Building{Currency: "$"}, Covers: 85, Off: 3, WetOpen: 1, NeverSeen: 12, Overdue: 0,
			Clear: models.Clearance{Covers: 14, Hours: 11.25, TapeM: 25.1, Money: &money}},
		Quarters: quarters(12, 12, 12, 12, 2, 2, 2, 2),
		Years:    []models.GradeYear{{Year: 2026, Ri: [6]int{5, 3, 1, 1, 0, 1}}},
		Places:   []models.PlaceCount{{Place: "long seam", Seen: 40, Broken: 8}, {Place: "near end", Seen: 40, Broken: 2}},
	}
	require.Equal(t, []string{
		"3 covers are off: bare metal sweats, wastes energy and rusts.",
		"1 cover was found wet and is not yet put right.",
		"12 of 85 covers have never been seen under.",
		"No cover is past its limit.",
		"Clearing the 14 covers that are due takes about 11 crew hours and 83 ft of tape, estimated from the parts and their sizes, about $1,312 at the site's own rates.",
		"Of 80 covers opened in the last four quarters with openings 8 were wet, 10 % (90 % interval 6 to 17 %); in the four before, 48 of 80, 60 % (90 % interval 51 to 69 %). The share wet at opening has fallen.",
		"Wet covers are looked for, so the share wet at opening is not the share wet of all covers.",
		"In 2026 the metal under 2 of 11 graded covers was at Ri 3 or worse.",
		"The place of the seal found broken most often is the long seam: 8 of 40 times that it was looked at.",
	}, trendSentences(trend, "IP"))
	trend.Numbers.Clear.Money = nil
	require.Contains(t, trendSentences(trend, "SI")[4], "26 m of tape")
	require.Contains(t, trendSentences(trend, "SI")[4], "no cost is given because")
	require.Len(t, trendSentences(models.BuildingTrend{}, "SI"), 1)
}

func TestThousands(t *testing.T) {
	for want, x := range map[string]float64{"0": 0.4, "999": 999, "1,000": 999.6, "12,480": 12480, "1,234,567": 1234567} {
		require.Equal(t, want, thousands(x))
	}
}

// quarters are quarters of 20 openings each.
func quarters(wet ...int) []models.WetQuarter {
	out := make([]models.WetQuarter, len(wet))
	for i, n := range wet {
		out[i].Opened, out[i].Wet = 20, n
	}
	return out
}
