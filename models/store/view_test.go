package store

import (
	"context"
	"strings"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// accounts makes two accounts, u1 and u2.
func accounts(ctx context.Context, tx *Tx) error {
	for _, id := range []models.ID{"u1", "u2"} {
		_, err := tx.PutUser(ctx, models.User{ID: id, Login: string(id), Name: "Person " + string(id), Role: models.Engineer, CreatedAt: noon})
		if err != nil {
			return err
		}
	}
	return nil
}

// people makes a record with n covers and the two accounts.
func people(t *testing.T, n int) *Store {
	t.Helper()
	st := filled(t, n)
	write(t, st, func(tx *Tx) error { return accounts(t.Context(), tx) })
	return st
}

func TestSavedViewsAreOnesOwnAndTheShared(t *testing.T) {
	st, ctx := people(t, 0), t.Context()
	mine := models.SavedView{ID: "v1", Owner: "u1", Name: "Wet now", Query: "building=b1&state=off"}
	shared := models.SavedView{ID: "v2", Owner: "u2", Name: "all of ours", Query: "", Shared: true}
	theirs := models.SavedView{ID: "v3", Owner: "u2", Name: "Wet now", Query: "state=off"}
	put := func(v models.SavedView) error {
		return st.Write(ctx, func(tx *Tx) error { return tx.PutSavedView(ctx, v) })
	}
	drop := func(owner, id models.ID) error {
		return st.Write(ctx, func(tx *Tx) error { return tx.DeleteSavedView(ctx, owner, id) })
	}
	list := func(owner models.ID) []models.SavedView {
		views, err := st.SavedViews(ctx, owner)
		require.NoError(t, err)
		return views
	}
	for _, v := range []models.SavedView{mine, shared, theirs} {
		require.NoError(t, put(v))
	}
	require.Equal(t, []models.SavedView{shared, mine}, list("u1"))
	require.Equal(t, []models.SavedView{shared, theirs}, list("u2"))

	mine.Name, mine.Query, mine.Shared = "Off", "", true // every answer changed, one to nothing
	require.NoError(t, put(mine))
	mine.Shared = false
	require.NoError(t, put(mine))
	require.Equal(t, []models.SavedView{shared, mine}, list("u1"))

	stolen := shared
	stolen.Owner = "u1"
	requireKind(t, models.Missing, put(stolen))
	double := models.SavedView{ID: "v4", Owner: "u1", Name: strings.ToUpper(mine.Name)}
	requireKind(t, models.Conflict, put(double))
	requireKind(t, models.Conflict, put(models.SavedView{ID: "v5", Owner: "nobody", Name: "x"}))
	requireKind(t, models.Missing, drop("u1", "v2"))
	requireKind(t, models.Missing, drop("u1", "none"))
	require.NoError(t, drop("u1", "v1"))
	require.Equal(t, []models.SavedView{shared}, list("u1"))
}
