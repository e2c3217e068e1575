package store

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// logged makes a record with n events.
func logged(t *testing.T, n int) *Store {
	t.Helper()
	st := create(t)
	write(t, st, func(tx *Tx) error {
		for i := 1; i <= n; i++ {
			e := models.Event{At: noon, Actor: "u1", Act: "opening recorded", Subject: "opening",
				Of: models.ID(fmt.Sprintf("o%d", i)), Building: "b1", Detail: fmt.Sprintf(`{"n":%d}`, i)}
			if err := tx.AppendEvent(t.Context(), e); err != nil {
				return err
			}
		}
		return nil
	})
	return st
}

// The form of a link is fixed: a log written today must verify for ever.
func TestHashOfAnEvent(t *testing.T) {
	st := logged(t, 2)
	events, err := st.Events(t.Context(), EventFilter{})
	require.NoError(t, err)
	require.Len(t, events, 2)
	sum := func(s string) string { h := sha256.Sum256([]byte(s)); return hex.EncodeToString(h[:]) }
	first := sum("\n" + `[1,1795608000000,"u1","opening recorded","opening","o1","b1","{\"n\":1}"]`)
	second := sum(first + "\n" + `[2,1795608000000,"u1","opening recorded","opening","o2","b1","{\"n\":2}"]`)
	require.Equal(t, first, events[1].Hash)
	require.Equal(t, first, events[0].Prev)
	require.Equal(t, second, events[0].Hash)
	require.Equal(t, noon, events[0].At)
	head, err := st.Head(t.Context())
	require.NoError(t, err)
	require.Equal(t, Head{2, second}, head)
}

func TestTamperedEventsAreFound(t *testing.T) {
	const swap = `UPDATE events SET seq = -1 WHERE seq = 3; UPDATE events SET seq = 3 WHERE seq = 4; UPDATE events SET seq = 4 WHERE seq = -1`
	for _, c := range []struct{ name, sql, want string }{
		{"detail changed", `UPDATE events SET detail = '{"n":33}' WHERE seq = 3`, "event 3 has been changed"},
		{"one byte of a hash", `UPDATE events SET hash = 'x' || substr(hash, 2) WHERE seq = 3`, "event 3 has been changed"},
		{"time changed", `UPDATE events SET at = at + 1 WHERE seq = 1`, "event 1 has been changed"},
		{"author changed", `UPDATE events SET actor_id = 'u2' WHERE seq = 5`, "event 5 has been changed"},
		{"middle deleted", `DELETE FROM events WHERE seq = 3`, "event 3 is missing"},
		{"first deleted", `DELETE FROM events WHERE seq = 1`, "event 1 is missing"},
		{"middle deleted and renumbered", `DELETE FROM events WHERE seq = 3; UPDATE events SET seq = seq - 1 WHERE seq > 3`, "event 3 does not follow event 2"},
		{"swapped", swap, "event 3 does not follow event 2"},
		{"nothing", `SELECT 1`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			st := logged(t, 5)
			require.NoError(t, st.writer.Exec("DROP TRIGGER events_no_update; DROP TRIGGER events_no_delete").Error)
			require.NoError(t, st.writer.Exec(c.sql).Error)
			report, err := st.Verify(t.Context())
			require.NoError(t, err)
			require.Equal(t, c.want, report.BadEvent)
			require.Equal(t, []string{"trigger events_no_delete is missing", "trigger events_no_update is missing"}, report.Guards)
			requireKind(t, models.Conflict, report.Err())
		})
	}
}

// A tail that is cut off leaves a chain that holds: only a head kept elsewhere
// tells.
func TestCutTailChangesTheHead(t *testing.T) {
	st := logged(t, 5)
	before, err := st.Head(t.Context())
	require.NoError(t, err)
	require.NoError(t, st.writer.Exec("DROP TRIGGER events_no_delete; DELETE FROM events WHERE seq = 5").Error)
	report, err := st.Verify(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.BadEvent)
	require.EqualValues(t, 4, report.Events)
	require.NotEqual(t, before, report.Head)
}

func TestEventsOfAScope(t *testing.T) {
	st := logged(t, 3)
	write(t, st, func(tx *Tx) error {
		return tx.AppendEvent(t.Context(), models.Event{At: noon, Act: "policy changed", Subject: "policy"})
	})
	none, mine := []models.ID{}, []models.ID{"b1"}
	for _, c := range []struct {
		name string
		f    EventFilter
		want []int64
	}{
		{"all, newest first", EventFilter{}, []int64{4, 3, 2, 1}},
		{"older than one", EventFilter{Before: 3}, []int64{2, 1}},
		{"a limit", EventFilter{Limit: 2}, []int64{4, 3}},
		{"of one thing", EventFilter{Of: "o2"}, []int64{2}},
		{"of a building", EventFilter{Building: "b1"}, []int64{3, 2, 1}},
		{"in scope", EventFilter{Scope: &mine}, []int64{3, 2, 1}},
		{"no scope", EventFilter{Scope: &none}, []int64{}},
	} {
		events, err := st.Events(t.Context(), c.f)
		require.NoError(t, err)
		require.Equal(t, c.want, convert(events, func(e models.Event) int64 { return e.Seq }), c.name)
	}
}
