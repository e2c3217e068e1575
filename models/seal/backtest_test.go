package seal

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// dated spreads openings over so many days from the start of 2026.
func dated(episodes []Episode, days int, r *rand.Rand) []Dated {
	out := make([]Dated, len(episodes))
	for i, e := range episodes {
		e.ID = strconv.Itoa(i)
		out[i] = Dated{e, models.Date("2026-01-01").AddDays(r.IntN(days))}
	}
	return out
}

// scoredOf are the predictions as Judge takes them.
func scoredOf(said []Foretold) []Scored {
	out := make([]Scored, len(said))
	for i := range said {
		out[i] = said[i].Scored
	}
	return out
}

func TestBacktestKnowsThePastAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	all := dated(fleet(400, 5), 400, r)
	said, err := Backtest(Default(), all, "")
	require.NoError(t, err)
	require.Len(t, said, len(all))
	byID := map[string]Dated{}
	for _, e := range all {
		byID[e.ID] = e
	}
	last := models.Date("")
	for _, s := range said {
		require.LessOrEqual(t, last, s.On)
		last = s.On
		e := byID[s.ID]
		require.Equal(t, e.endedWet(), s.Wet)
		require.Equal(t, e.lastLook(), s.Age)
		require.Equal(t, e.Covariates.Building, s.Building)
		require.Equal(t, string(e.On[:7]), s.Round)
		require.True(t, s.Lo < s.Hi)
	}
	require.Nil(t, said[0].Base, "nothing was found before the first month")
	require.Equal(t, Expert(Default()).Version, said[0].Fit)
	require.InDelta(t, *said[0].Expert, said[0].P, 1e-12)

	// The prediction of a month is that of a cold fit of what came strictly before.
	at := said[len(said)-1]
	var before []Episode
	wet := 0.0
	for _, e := range all {
		if string(e.On[:7]) < at.Round {
			before = append(before, e.Episode)
			wet += oneIf(e.endedWet())
		}
	}
	f, err := Learn(Default(), before, Options{})
	require.NoError(t, err)
	require.InDelta(t, f.Predict(byID[at.ID].Covariates, at.Age).P, at.P, 1e-7)
	require.InDelta(t, wet/float64(len(before)), *at.Base, 1e-12)

	// What is found in a month and later changes nothing that was said of it.
	for i := range all {
		if all[i].On >= "2026-08-01" {
			all[i].Dry, all[i].Wet = 0, all[i].lastLook()
		}
	}
	other, err := Backtest(Default(), all, "")
	require.NoError(t, err)
	for i, s := range said {
		if s.On < "2026-09-01" {
			require.Equal(t, s.P, other[i].P)
			require.Equal(t, s.Base, other[i].Base)
			require.Equal(t, s.Fit, other[i].Fit)
		}
	}
	require.NotEqual(t, at.P, other[len(other)-1].P)
}

func TestBacktestFromADayOn(t *testing.T) {
	all := dated(fleet(300, 5), 300, rand.New(rand.NewPCG(5, 7)))
	said, err := Backtest(Default(), all, "")
	require.NoError(t, err)
	late, err := Backtest(Default(), all, "2026-06-15")
	require.NoError(t, err)
	require.NotEmpty(t, late)
	said = said[len(said)-len(late):]
	require.Equal(t, models.Date("2026-06-15"), min("2026-06-15", late[0].On))
	for i, s := range late {
		require.Equal(t, said[i].ID, s.ID)
		require.InDelta(t, said[i].P, s.P, 1e-7, "the way to a fit does not matter")
		require.Equal(t, said[i].Fit, s.Fit)
	}
	none, err := Backtest(Default(), nil, "")
	require.NoError(t, err)
	require.Empty(t, none)
	_, err = Backtest(Default(), []Dated{{Episode{Dry: 2, Wet: 1}, "2026-01-01"}, {Episode{Wet: 1}, "2026-02-01"}}, "")
	require.ErrorContains(t, err, "before 2026-02: episode 1")
}

func TestBacktestBeatsItsYardsticksWhereTheModelHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	said, err := Backtest(Default(), dated(fleet(3000, 20), 4*365, r), "2027-01-01")
	require.NoError(t, err)
	j := Judge(scoredOf(said), r.IntN)
	require.Equal(t, Holds, j.Verdict)
	require.InDelta(t, 1, *j.OverE, 3*math.Sqrt(float64(j.Wet))/float64(j.Wet), "three Poisson errors of the wet found")
	require.Greater(t, *j.OverBase, 0.1)
	require.Greater(t, *j.OverAge, 0.05)

	// An expert who is wrong is left behind.
	wrong := Default()
	for i := range wrong.Columns {
		wrong.Columns[i].Mean = -wrong.Columns[i].Mean
	}
	said, err = Backtest(wrong, dated(fleet(3000, 20), 4*365, r), "2027-01-01")
	require.NoError(t, err)
	j = Judge(scoredOf(said), r.IntN)
	require.Equal(t, Holds, j.Verdict)
	require.Greater(t, *j.OverExpert, 0.3)
}
