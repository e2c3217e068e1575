package store

import (
	"context"
	"encoding/json"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// kept writes one row of each sort that came with schemas 2 to 4, upon the
// opening o1 of the cover c1.
func kept(ctx context.Context, tx *Tx) error {
	if err := accounts(ctx, tx); err != nil {
		return err
	}
	if err := tx.PutSavedView(ctx, models.SavedView{ID: "v1", Owner: "u1", Name: "Off now", Query: "state=off", Shared: true}); err != nil {
		return err
	}
	r := roundOf("n1", "c1")
	r.State, r.PublishedAt = models.RoundPublished, noon
	if _, err := tx.PutRound(ctx, r); err != nil {
		return err
	}
	if err := tx.AnswerStop(ctx, "n1", "c1", "o1", ""); err != nil {
		return err
	}
	if err := tx.PutCalendar(ctx, models.Calendar{ID: "k1", Owner: "u1", Building: "b1", Hash: "h1", CreatedAt: noon}); err != nil {
		return err
	}
	if _, err := tx.AddFit(ctx, fitOf("f1")); err != nil {
		return err
	}
	if _, err := tx.AddPriors(ctx, priorsOf(0)); err != nil {
		return err
	}
	_, err := tx.AddPredictions(ctx, []models.Prediction{predictionOf("o1", "c1", "2026-11-20")})
	return err
}

// keptSay is what kept has written, read back, as text.
func keptSay(t *testing.T, st *Store) string {
	t.Helper()
	ctx := t.Context()
	views, err := st.SavedViews(ctx, "u1")
	require.NoError(t, err)
	round, err := st.Round(ctx, "n1")
	require.NoError(t, err)
	calendars, err := st.Calendars(ctx, "u1")
	require.NoError(t, err)
	fit, err := st.LatestFit(ctx)
	require.NoError(t, err)
	priors, err := st.LatestPriors(ctx)
	require.NoError(t, err)
	predictions, err := st.Predictions(ctx, "", nil)
	require.NoError(t, err)
	text, err := json.Marshal([]any{views, round, calendars, fit, priors, predictions})
	require.NoError(t, err)
	return string(text)
}
