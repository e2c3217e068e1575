package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSift(t *testing.T) {
	dry := math.Inf(1)
	episodes := []Episode{
		{ID: "a", Dry: 1, Wet: dry},
		{ID: "b", Dry: 0.001, Wet: dry},
		{ID: "a", Wet: 1.5},
		{ID: "c", Dry: 2, Wet: 1},
		{Wet: 3}, {Wet: 3},
		{ID: "d", Dry: 41, Wet: dry},
		{ID: "e", Wet: 1, Covariates: Covariates{Seal: "so-so"}},
		{ID: "f", Wet: 1, Covariates: Covariates{Drive: ptr(math.NaN())}},
		{ID: "g", Wet: 1, Covariates: Covariates{AgeYears: ptr(-1)}},
	}
	kept, rejected := Sift(episodes)
	require.Equal(t, []Episode{episodes[2], episodes[4], episodes[5]}, kept, "the last of one opening, and all without an id")
	why := map[string]string{}
	for _, r := range rejected {
		why[r.Episode.ID] = r.Reason.Error()
	}
	require.Equal(t, map[string]string{
		"b": "opened less than a day after closing",
		"c": "found wet at 1, not after it was last known dry at 2",
		"d": "opened more than 40 years after closing",
		"e": `seal "so-so" is none of sound, repaired, poor, unknown`,
		"f": "the drive ratio must be 0 or more",
		"g": "the cover's age must be 0 or more",
	}, why)
}

func TestParseEpisodes(t *testing.T) {
	head := []string{"id", "building", "drive", "seal", "dual", "n_open", "service_c", "L", "R", "w"}
	got, err := ParseEpisodes([][]string{head,
		{"x1", "north", "2", "unknown", "1", "3", "", "0", "24", "2"},
		{"x2", "", "", "", "", "", "5.5", "12", "", "0"},
		{"x3", "", "", "", "no", "", "5.5", "12", ""},
	}, Layout{Weight: "w", TimeScale: 12})
	require.NoError(t, err)
	require.Equal(t, []Episode{
		{ID: "x1", Wet: 2, Weight: 2, Covariates: Covariates{Building: "north", Drive: ptr(2), Seal: Unknown, Dual: true, Openings: 3}},
		{ID: "x3", Dry: 1, Wet: math.Inf(1), Weight: 1, Covariates: Covariates{ServiceC: ptr(5.5)}},
	}, got, "weight 0 is no episode, a short line has blanks")

	for text, row := range map[string][]string{
		`line 2, column drive: "2,5" is not a number`:            {"", "", "2,5", "", "", "", "", "0", "1", ""},
		`line 2, column dual: "maybe" is neither 0 nor 1`:        {"", "", "", "", "maybe", "", "", "0", "1", ""},
		`line 2, column n_open: 1.5 is not a count of openings`:  {"", "", "", "", "", "1.5", "", "0", "1", ""},
		`line 2, column cover: seal "good" is none of`:           {"", "", "", "good", "", "", "", "0", "1", ""},
		`line 2, column L,R: found wet at 1, not after`:          {"", "", "", "", "", "", "", "3", "1", ""},
		`line 2, column R: "NaN" is not a number`:                {"", "", "", "", "", "", "", "3", "NaN", ""},
		`line 2, column L,R: neither a dry nor a wet look`:       {"", "", "", "", "", "", "", "", "", ""},
		`line 2, column L,R: the weight must be above 0`:         {"", "", "", "", "", "", "", "0", "1", "-1"},
		`line 2, column L,R: an age must be a number, 0 or more`: {"", "", "", "", "", "", "", "-2", "1", ""},
	} {
		_, err := ParseEpisodes([][]string{head, row}, Layout{Weight: "w"})
		require.ErrorContains(t, err, text)
	}
	_, err = ParseEpisodes([][]string{{"L"}}, Layout{})
	require.EqualError(t, err, `line 1: no column "R"`)
	_, err = ParseEpisodes([][]string{head}, Layout{Group: "site"})
	require.EqualError(t, err, `line 1: no column "site"`)
	many := [][]string{{"L", "R"}}
	for range 50 {
		many = append(many, []string{"x", "1"})
	}
	_, err = ParseEpisodes(many, Layout{})
	require.ErrorContains(t, err, "and 30 more faults")
}

func TestParseCounts(t *testing.T) {
	cells := [][]string{{"u", "n", "bad"}, {"6", "10", "3"}, {"12", "4", "4"}, {"18", "2", "0"}}
	got, err := ParseCounts(cells, "u", "n", "bad", Layout{TimeScale: 12})
	require.NoError(t, err)
	require.Equal(t, []Episode{
		{Wet: 0.5, Weight: 3}, {Dry: 0.5, Wet: math.Inf(1), Weight: 7}, {Wet: 1, Weight: 4}, {Dry: 1.5, Wet: math.Inf(1), Weight: 2},
	}, got)
	_, err = ParseCounts([][]string{{"u", "n", "bad"}, {"6", "1", "3"}}, "u", "n", "bad", Layout{})
	require.ErrorContains(t, err, "line 2, column bad")
}
