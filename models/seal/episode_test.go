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
		require.Equal(t, episodes[r.At].ID, r.Episode.ID)
		why[r.Episode.ID] = r.Reason.Error()
	}
	require.Equal(t, map[string]string{
		"a": "a later one has the same id; the last counts",
		"b": "opened less than a day after closing",
		"c": "found wet at 1, not after it was last known dry at 2",
		"d": "opened more than 40 years after closing",
		"e": `seal "so-so" is none of sound, repaired, poor, unknown`,
		"f": "the drive ratio must be 0 or more",
		"g": "the cover's age must be 0 or more",
	}, why)
}
