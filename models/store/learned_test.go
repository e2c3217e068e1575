package store

import (
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func fitOf(version string) models.LearnedFit {
	return models.LearnedFit{Version: version, At: noon, Cause: "openings", Until: "2026-11-20", N: 7, Wet: 3, Rejected: 1,
		Priors: 2, Body: `{"Theta":[1,2.5]}`}
}

// priorsOf is a set that changes the version before.
func priorsOf(before int) models.PriorSet {
	return models.PriorSet{Version: before, By: "u1", ByName: "Person u1", At: noon, Why: "more tape",
		Rows: []models.PriorRow{{Column: "intercept", Mean: -1.5, SD: 0.5}, {Column: "drive", Mean: 0.7, SD: 0.2}}}
}

func TestFitsAreKeptAsTheyWere(t *testing.T) {
	st, ctx := create(t), t.Context()
	_, err := st.LatestFit(ctx)
	requireKind(t, models.Missing, err)
	_, err = st.Fit(ctx, "f1")
	requireKind(t, models.Missing, err)
	var again bool
	keep := func(f models.LearnedFit) error {
		return st.Write(ctx, func(tx *Tx) (err error) { again, err = tx.AddFit(ctx, f); return err })
	}
	first, second := fitOf("z"), fitOf("a") // the later one has the lower name and the earlier time
	second.At, second.Until, second.N, second.Priors = noon.Add(-time.Hour), "", 0, 0
	for _, f := range []models.LearnedFit{first, second} {
		require.NoError(t, keep(f))
		require.False(t, again)
	}
	other := fitOf("z")
	other.N = 99
	require.NoError(t, keep(other))
	require.True(t, again)

	got, err := st.LatestFit(ctx)
	require.NoError(t, err)
	require.Equal(t, second, got)
	got, err = st.Fit(ctx, "z")
	require.NoError(t, err)
	require.Equal(t, first, got, "the second writing changed nothing")
	list, err := st.Fits(ctx)
	require.NoError(t, err)
	first.Body, second.Body = "", ""
	require.Equal(t, []models.LearnedFit{second, first}, list)

	bad := fitOf("b")
	bad.Body = "{"
	requireKind(t, models.Invalid, keep(bad))
}

func TestPriorsGrowByVersions(t *testing.T) {
	st, ctx := create(t), t.Context()
	keep := func(p models.PriorSet) (saved models.PriorSet, err error) {
		err = st.Write(ctx, func(tx *Tx) (err error) { saved, err = tx.AddPriors(ctx, p); return err })
		return saved, err
	}
	for _, ask := range []func() (models.PriorSet, error){
		func() (models.PriorSet, error) { return st.LatestPriors(ctx) },
		func() (models.PriorSet, error) { return st.PriorSet(ctx, 0) },
	} {
		none, err := ask()
		require.NoError(t, err)
		require.Equal(t, models.PriorSet{}, none, "what ships")
	}
	_, err := st.PriorSet(ctx, 1)
	requireKind(t, models.Missing, err)

	first, err := keep(priorsOf(0))
	require.NoError(t, err)
	require.Equal(t, 1, first.Version)
	_, err = keep(priorsOf(0))
	requireKind(t, models.Stale, err)
	_, err = keep(priorsOf(2))
	requireKind(t, models.Stale, err)
	next := priorsOf(1)
	next.Rows, next.Why = next.Rows[1:], "the intercept back to what ships"
	second, err := keep(next)
	require.NoError(t, err)

	latest, err := st.LatestPriors(ctx)
	require.NoError(t, err)
	require.Equal(t, second, latest)
	one, err := st.PriorSet(ctx, 1)
	require.NoError(t, err)
	require.Equal(t, first, one)
	all, err := st.PriorSets(ctx)
	require.NoError(t, err)
	require.Equal(t, []models.PriorSet{second, first}, all)

	double := priorsOf(2)
	double.Rows[1].Column = double.Rows[0].Column
	_, err = keep(double)
	requireKind(t, models.Conflict, err)
	latest, err = st.LatestPriors(ctx)
	require.NoError(t, err)
	require.Equal(t, 2, latest.Version, "nothing half kept")
}
