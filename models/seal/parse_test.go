package seal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParseEpisodes(t *testing.T) {
	head := []string{"id", "building", "drive", "seal", "dual", "n_open", "service_c", "L", "R", "w"}
	got, err := ParseEpisodes(typed(head,
		[]string{"x1", "north", "2", "unknown", "1", "3", "", "0", "24", "2"},
		[]string{"x2", "", "", "", "", "", "5.5", "12", "", "0"},
		[]string{"x3", "NA", "NA", "NA", "no", "NA", "5.5", "12", "Inf"},
		[]string{"x4", "", "", "", "", "", "", "3", "1", "1"},
	), Layout{Weight: "w", TimeScale: 12})
	require.NoError(t, err)
	require.Equal(t, []Episode{
		{ID: "x1", Wet: 2, Weight: 2, Covariates: Covariates{Building: "north", Drive: ptr(2), Seal: Unknown, Dual: true, Openings: 3}},
		{ID: "x3", Dry: 1, Wet: math.Inf(1), Weight: 1, Covariates: Covariates{Building: "NA", ServiceC: ptr(5.5)}},
		{ID: "x4", Dry: 0.25, Wet: 1. / 12, Weight: 1},
	}, got.Episodes, "weight 0 is no episode, a short line has blanks, NA is a blank, dates reversed are left to Sift")
	require.Equal(t, []int{2, 4, 5}, got.Lines)

	for text, row := range map[string][]string{
		`line 2, column drive: "2,5" is not a number`:                  {"", "", "2,5", "", "", "", "", "0", "1", ""},
		`line 2, column drive: the drive ratio must be 0 or more`:      {"", "", "-1", "", "", "", "", "0", "1", ""},
		`line 2, column service_c: the service temperature must be in`: {"", "", "", "", "", "", "5000", "0", "1", ""},
		`line 2, column dual: "maybe" is neither 0 nor 1`:              {"", "", "", "", "maybe", "", "", "0", "1", ""},
		`line 2, column n_open: 1.5 is not a count of openings`:        {"", "", "", "", "", "1.5", "", "0", "1", ""},
		`line 2, column n_open: the earlier openings must be 0`:        {"", "", "", "", "", "-1", "", "0", "1", ""},
		`line 2, column R: "NaN" is not a number`:                      {"", "", "", "", "", "", "", "3", "NaN", ""},
		`line 2, column L: "inf" is not a number`:                      {"", "", "", "", "", "", "", "inf", "", ""},
		`line 2, column w: -1 is below 0`:                              {"", "", "", "", "", "", "", "0", "1", "-1"},
	} {
		_, err := ParseEpisodes(typed(head, row), Layout{Weight: "w"})
		require.ErrorContains(t, err, text)
	}
	_, err = ParseEpisodes(typed([]string{"L"}), Layout{})
	require.EqualError(t, err, `the header has no column "R"; it has L`)
	_, err = ParseEpisodes(typed(head), Layout{Group: "site"})
	require.ErrorContains(t, err, `the header has no column "site"`)

	many := &Table{Name: "many.csv", Columns: []string{"L", "R"}, Lines: []int{7}}
	for range 50 {
		many.Rows = append(many.Rows, []string{"x", "1"})
	}
	_, err = ParseEpisodes(many, Layout{})
	require.ErrorContains(t, err, `many.csv: line 7, column L: "x" is not a number`)
	require.ErrorContains(t, err, "; and 40 more faults")
	require.NotContains(t, err.Error(), "\n", "a message is one line")
}

func TestColumnsByName(t *testing.T) {
	table := typed([]string{" r", "Drive", "\tl "}, []string{" 2 ", "1.5", ""})
	require.True(t, table.OfCovers(Layout{}))
	got, err := ParseEpisodes(table, Layout{})
	require.NoError(t, err)
	require.Equal(t, []Episode{{Wet: 2, Covariates: Covariates{Drive: ptr(1.5)}}}, got.Episodes, "any order, any case")

	exact := typed([]string{"l", "L", "R"}, []string{"x", "1", ""})
	got, err = ParseEpisodes(exact, Layout{})
	require.NoError(t, err, "the exact name comes first")
	require.Equal(t, 1.0, got.Episodes[0].Dry)
	require.False(t, exact.OfCovers(Layout{}))
	require.False(t, typed([]string{"L", "R", "Kind"}).OfCovers(Layout{Group: "kind"}), "a column that makes groups is none of a cover")
}

func TestParseCounts(t *testing.T) {
	lay := Layout{TimeScale: 12, Counts: Counts{"u", "n", "bad"}}
	got, err := ParseEpisodes(typed([]string{"u", "n", "bad"}, []string{"6", "10", "3"}, []string{"12", "4", "4"}, []string{"18", "2", "0"}, []string{"20", "0", "0"}), lay)
	require.NoError(t, err)
	require.Equal(t, []Episode{
		{Wet: 0.5, Weight: 3}, {Dry: 0.5, Wet: math.Inf(1), Weight: 7}, {Wet: 1, Weight: 4}, {Dry: 1.5, Wet: math.Inf(1), Weight: 2},
	}, got.Episodes)
	require.Equal(t, []int{2, 2, 3, 4}, got.Lines)
	for text, row := range map[string][]string{
		"line 2, column bad: 3 wet of 1 inspected cannot be": {"6", "1", "3"},
		"line 2, column bad: -1 wet of 1 inspected":          {"6", "1", "-1"},
		"line 2, column n: it must not be blank":             {"6", "", "0"},
		`line 2, column u: "x" is not a number`:              {"x", "1", "0"},
	} {
		_, err = ParseEpisodes(typed([]string{"u", "n", "bad"}, row), lay)
		require.ErrorContains(t, err, text)
	}
}

func TestParseScoredFaults(t *testing.T) {
	for text, row := range map[string][]string{
		"line 2, column p: 1.2 is not a probability": {"1.2", "1"},
		"line 2, column p: it must not be blank":     {"", "1"},
		"line 2, column y: it must not be blank":     {"0.5", ""},
		`line 2, column y: "2" is neither 0 nor 1`:   {"0.5", "2"},
	} {
		_, err := ParseScored(typed([]string{"p", "y"}, row))
		require.ErrorContains(t, err, text)
	}
}

func TestParseCoversWithoutID(t *testing.T) {
	ids, covers, err := ParseCovers(typed([]string{"kind"}, []string{"pump"}, []string{""}), Layout{})
	require.NoError(t, err)
	require.Equal(t, []string{"1", "2"}, ids)
	require.Equal(t, Pump, covers[0].Kind)
	_, _, err = ParseCovers(typed([]string{"id"}), Layout{Group: "site"})
	require.ErrorContains(t, err, `no column "site"`)
}
