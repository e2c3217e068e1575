package risk

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestLessonsOfARecord(t *testing.T) {
	damp := closedOn("2025-03-01", "wet", "renewed")
	damp.Closing.Metal = "wet"
	silent := closedOn("2025-09-01", "", "renewed")
	silent.Blanket = ""
	unknown := func(in *Input) { in.Sheet.Cover.Fitted = "" }
	type want struct {
		opening  models.ID
		dry, wet float64
		leftOut  string
	}
	year := models.Date("2024-11-25").YearsSince("2022-11-25")
	for _, c := range []struct {
		name   string
		change func(*Input)
		want   []want
	}{
		{"never opened: nothing", func(*Input) {}, nil},
		{"found dry", func(in *Input) { in.Openings = []models.Opening{closedOn("2024-11-25", "dry", "renewed")} },
			[]want{{"o2024-11-25", year, math.Inf(1), ""}}},
		{"found wet", func(in *Input) { in.Openings = []models.Opening{closedOn("2024-11-25", "wet", "renewed")} },
			[]want{{"o2024-11-25", 0, year, ""}}},
		{"a dry sight port before", func(in *Input) {
			in.Openings = []models.Opening{closedOn("2024-11-25", "wet", "renewed")}
			in.Looks = []models.Look{{On: "2023-11-25", Port: "dry"}, {On: "2025-01-01", Port: "dry"}}
		}, []want{{"o2024-11-25", models.Date("2023-11-25").YearsSince("2022-11-25"), year, ""}}},
		{"an earlier record has no opening", func(in *Input) { in.Earlier = []models.EarlierRecord{{On: "2024-11-25", Answer: "dry"}} },
			[]want{{"", year, math.Inf(1), ""}}},
		{"closing day not known", func(in *Input) {
			unknown(in)
			in.Openings = []models.Opening{closedOn("2024-11-25", "dry", "renewed")}
		}, []want{{"o2024-11-25", year, math.Inf(1), "nobody knows since when the cover was closed"}}},
		{"closed damp, and silent after", func(in *Input) {
			in.Openings = []models.Opening{damp, closedOn("2025-06-01", "dry", "renewed"), silent}
		}, []want{
			{"o2025-03-01", 0, damp.On.YearsSince("2022-11-25"), ""},
			{"o2025-06-01", models.Date("2025-06-01").YearsSince(damp.On), math.Inf(1), "closed damp or wet before: it was wet from the start"},
			{"o2025-09-01", silent.On.YearsSince("2025-06-01"), math.Inf(1), "the record does not say wet or dry"},
		}},
	} {
		in := gateValve()
		c.change(&in)
		in.Air = Air{} // without a source of humidity it still teaches
		got, err := Lessons(in)
		require.NoError(t, err, c.name)
		require.Len(t, got, len(c.want), c.name)
		for i, w := range c.want {
			require.Equal(t, w, want{got[i].Opening, got[i].Dry, got[i].Wet, got[i].LeftOut}, c.name)
			require.Equal(t, []models.ID{"b1", "c1"}, []models.ID{got[i].Building, got[i].Cover})

		}
	}
}

// An amendment counts as the record now says: Openings are current versions.
func TestLessonsNameTheRootOfAnAmendedOpening(t *testing.T) {
	in := gateValve()
	o := closedOn("2024-11-25", "wet", "renewed")
	o.ID, o.Version = "second", 2
	in.Openings = []models.Opening{o}
	got, err := Lessons(in)
	require.NoError(t, err)
	require.Equal(t, models.ID("o2024-11-25"), got[0].Opening)
}
