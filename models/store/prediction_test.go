package store

import (
	"fmt"
	"math"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func predictionOf(root, cover models.ID, on models.Date) models.Prediction {
	return models.Prediction{Opening: root, Cover: cover, Building: "b1", On: on, Age: 3.5, P: 0.4, Lo: 0.2, Hi: 0.6, Eta: -1.1,
		Base: 0.3, ByAge: 0.35, Expert: 0.25, Fit: "f1", Made: noon}
}

// predict keeps predictions and answers those that were there already.
func predict(t *testing.T, st *Store, list ...models.Prediction) (again []models.ID) {
	t.Helper()
	write(t, st, func(tx *Tx) (err error) { again, err = tx.AddPredictions(t.Context(), list); return err })
	return again
}

func TestPredictionIsKeptOnceAndReadWithWhatWasFound(t *testing.T) {
	st, ctx := people(t, 3), t.Context()
	write(t, st, func(tx *Tx) error { _, err := tx.PutRound(ctx, roundOf("n1", "c2")); return err })
	add(t, st, openingOf("o1", "c1", "2026-11-01"), Derived{})
	add(t, st, dryOpening("o2", "c2", "2026-11-02"), Derived{})
	first, second := predictionOf("o1", "c1", "2026-11-01"), predictionOf("o2", "c2", "2026-11-02")
	second.Round = "n1"
	require.Empty(t, predict(t, st, second, first))
	other := first
	other.P, other.Fit = 0.9, "later"
	require.Equal(t, []models.ID{"o1"}, predict(t, st, other))

	read := func(since models.Date, scope ...models.ID) []models.Prediction {
		list, err := st.Predictions(ctx, since, &scope)
		require.NoError(t, err)
		return list
	}
	first.Wet = true
	require.Equal(t, []models.Prediction{first, second}, read("", "b1"))
	require.Equal(t, []models.Prediction{second}, read("2026-11-02", "b1"))
	require.Empty(t, read("2026-11-03", "b1"))
	require.Empty(t, read("", "b2"))
	require.Empty(t, read(""))
	all, err := st.Predictions(ctx, "", nil)
	require.NoError(t, err)
	require.Equal(t, []models.Prediction{first, second}, all)
}

// What is compared with a prediction is what the opening says now.
func TestPredictionsFollowAmendments(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	add(t, st, openingOf("o1", "c1", "2026-11-01"), Derived{})
	predict(t, st, predictionOf("o1", "c1", "2026-11-01"))
	for i, c := range []struct {
		name  string
		amend func(*models.Opening)
		want  []bool // wet, of those that stand
	}{
		{"found wet", func(*models.Opening) {}, []bool{true}},
		{"amended to dry", func(o *models.Opening) { o.Moisture, o.Blanket, o.Metal.FreshRust = "dry", "dry", ptr(false) }, []bool{false}},
		{"could not be opened after all", func(o *models.Opening) { o.Outcome = "could_not_open" }, nil},
		{"opened, but nobody said wet or dry", func(o *models.Opening) { o.Moisture, o.Blanket, o.Metal.FreshRust = "", "", nil }, nil},
		{"wet again, on another day", func(o *models.Opening) { o.On = "2026-10-01" }, []bool{true}},
	} {
		o := openingOf(models.ID(fmt.Sprintf("o1-%d", i+2)), "c1", "2026-11-01")
		o.Root, o.Version, o.Amends = "o1", i+2, "a mistake"
		c.amend(&o)
		add(t, st, o, Derived{})
		list, err := st.Predictions(ctx, "2026-11-01", nil)
		require.NoError(t, err)
		var wet []bool
		for _, p := range list {
			require.Equal(t, models.Date("2026-11-01"), p.On, "the day that was predicted")
			wet = append(wet, p.Wet)
		}
		require.Equal(t, c.want, wet, c.name)
		left, err := st.UnpredictedOpenings(ctx, "2027-01-01")
		require.NoError(t, err)
		require.Empty(t, left, c.name)
	}
}

func TestManyPredictionsAtOnce(t *testing.T) {
	const n = 2*chunk + 50
	st, ctx := filled(t, 1), t.Context()
	var list []models.Prediction
	write(t, st, func(tx *Tx) error {
		for i := range n {
			id, on := models.ID(fmt.Sprintf("o%03d", i)), models.Date("2025-01-01").AddDays(i)
			if _, err := tx.AddOpening(ctx, openingOf(id, "c1", on), Derived{}); err != nil {
				return err
			}
			list = append(list, predictionOf(id, "c1", on))
		}
		return nil
	})
	left, err := st.UnpredictedOpenings(ctx, "2025-01-11")
	require.NoError(t, err)
	require.Len(t, left, 10)
	require.Equal(t, Unpredicted{Opening: "o009", Cover: "c1", Building: "b1", On: "2025-01-10"}, left[9])

	require.Empty(t, predict(t, st, list[:chunk+1]...))
	again := predict(t, st, append(list, list[n-1])...) // the last one twice in one call
	require.Len(t, again, chunk+2)
	require.Equal(t, map[string]int{"predictions": n}, counts(t, st, "predictions"))
	left, err = st.UnpredictedOpenings(ctx, "2030-01-01")
	require.NoError(t, err)
	require.Empty(t, left)
}

func TestPredictionThatIsNoneIsRefused(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	add(t, st, openingOf("o1", "c1", "2026-11-01"), Derived{})
	for _, c := range []struct {
		name  string
		wrong func(*models.Prediction)
		want  models.Kind
	}{
		{"not a number", func(p *models.Prediction) { p.Eta = math.NaN() }, models.Invalid},
		{"no day", func(p *models.Prediction) { p.On = "" }, models.Invalid},
		{"no such opening", func(p *models.Prediction) { p.Opening = "none" }, models.Conflict},
		{"no such round", func(p *models.Prediction) { p.Round = "none" }, models.Conflict},
	} {
		p := predictionOf("o1", "c1", "2026-11-01")
		c.wrong(&p)
		err := st.Write(ctx, func(tx *Tx) error { _, err := tx.AddPredictions(ctx, []models.Prediction{p}); return err })
		require.Error(t, err, c.name)
		require.Equal(t, c.want, models.KindOf(err), c.name)
	}
	require.Equal(t, map[string]int{"predictions": 0}, counts(t, st, "predictions"))
}

func TestPredictionsUseIndexes(t *testing.T) {
	st := filled(t, 1)
	for _, c := range []struct{ where, index string }{
		{" AND p.day >= ? ORDER BY p.day, p.opening_id", "SEARCH p USING INDEX predictions_day (day>?)"},
		{" AND p.day >= ? AND p.building_id IN ('b1') ORDER BY p.day, p.opening_id", "SEARCH p USING INDEX predictions_building (building_id=? AND day>?)"},
	} {
		plan := explain(t, st, predictionsOf+c.where, "2026-01-01")
		require.Contains(t, plan, c.index)
		require.Contains(t, plan, "SEARCH o USING INDEX openings_version (root_id=?)", plan)
		require.Contains(t, plan, "SEARCH n USING COVERING INDEX openings_version (root_id=? AND version>?)", plan)
		require.NotContains(t, plan, "TEMP B-TREE", plan)
	}
}
