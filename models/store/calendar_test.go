package store

import (
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func TestCalendarsAreFoundByTheirHashUntilRevoked(t *testing.T) {
	st, ctx := people(t, 0), t.Context()
	first := models.Calendar{ID: "k1", Owner: "u1", Hash: "h1", CreatedAt: noon}
	second := models.Calendar{ID: "k2", Owner: "u1", Building: "b1", Hash: "h2", CreatedAt: noon.Add(time.Hour), LastRead: noon.Add(2 * time.Hour)}
	put := func(c models.Calendar) error {
		return st.Write(ctx, func(tx *Tx) error { return tx.PutCalendar(ctx, c) })
	}
	revoke := func(owner, id models.ID) error {
		return st.Write(ctx, func(tx *Tx) error { return tx.RevokeCalendar(ctx, owner, id) })
	}
	require.NoError(t, put(first))
	require.NoError(t, put(second))
	read := first
	read.LastRead = noon.Add(3 * time.Hour)
	other := read
	other.Hash, other.Owner, other.Building = "h9", "u2", "b1"
	require.NoError(t, put(other))
	got, err := st.CalendarByHash(ctx, "h1")
	require.NoError(t, err)
	require.Equal(t, read, got, "only the reading is renewed")
	list, err := st.Calendars(ctx, "u1")
	require.NoError(t, err)
	require.Equal(t, []models.Calendar{second, read}, list)
	requireKind(t, models.Conflict, put(models.Calendar{ID: "k3", Owner: "u2", Hash: "h1", CreatedAt: noon}))

	requireKind(t, models.Missing, revoke("u2", "k1"))
	require.NoError(t, revoke("u1", "k1"))
	require.NoError(t, revoke("u1", "k1"))
	require.NoError(t, put(read))
	_, err = st.CalendarByHash(ctx, "h1")
	requireKind(t, models.Missing, err)
	_, err = st.CalendarByHash(ctx, "none")
	requireKind(t, models.Missing, err)
	list, err = st.Calendars(ctx, "u1")
	require.NoError(t, err)
	require.True(t, list[1].Revoked)
	list, err = st.Calendars(ctx, "u2")
	require.NoError(t, err)
	require.Empty(t, list)
}
