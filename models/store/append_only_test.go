package store

import (
	"os"
	"strconv"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func pid() string { return strconv.Itoa(os.Getpid()) }

// history fills every append-only table with at least one row.
func history(t *testing.T) *Store {
	t.Helper()
	st, ctx := filled(t, 1), t.Context()
	write(t, st, func(tx *Tx) error {
		if _, err := tx.AddOpening(ctx, openingOf("o1", "c1", "2026-11-20"), Derived{Ri: ptr(3), AreaPct: ptr(1.0)}); err != nil {
			return err
		}
		look := models.Look{ID: "k1", Cover: "c1", Building: "b1", On: "2026-11-21", By: "Crew A", InPlace: ptr(true),
			Places: []models.PlaceFinding{{Place: models.LongSeam, Found: "sound"}}, EnteredAt: noon}
		if _, err := tx.AddLook(ctx, look); err != nil {
			return err
		}
		if _, err := tx.AddRoomReading(ctx, models.RoomReading{ID: "a1", Room: "r1", At: noon, TempC: 24, RH: ptr(0.6), EnteredAt: noon}); err != nil {
			return err
		}
		if _, err := tx.AddEarlier(ctx, models.EarlierRecord{ID: "e1", Cover: "c1", On: "2020-01-02", Answer: "dry", Dried: true}); err != nil {
			return err
		}
		if _, err := tx.AddDeferral(ctx, models.Deferral{ID: "d1", Cover: "c1", Until: "2027-01-02", EnteredAt: noon}); err != nil {
			return err
		}
		if err := tx.PutScore(ctx, Scored{Score: models.Score{Cover: "c1", At: noon, Risk: 40}, Mark: 1, Cause: "opening"}); err != nil {
			return err
		}
		if err := kept(ctx, tx); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, models.Event{At: noon, Act: "opening recorded"})
	})
	return st
}

func TestHistoryCannotBeChanged(t *testing.T) {
	st := history(t)
	for _, table := range appendOnly {
		var before, after int
		require.NoError(t, st.writer.Raw("SELECT COUNT(*) FROM "+table).Scan(&before).Error)
		require.Positive(t, before, table)
		var column string
		require.NoError(t, st.writer.Raw("SELECT name FROM pragma_table_info('"+table+"') WHERE pk > 0 LIMIT 1").Scan(&column).Error)
		for _, sql := range []string{
			"UPDATE " + table + " SET " + column + " = " + column,
			"DELETE FROM " + table,
			"INSERT OR REPLACE INTO " + table + " SELECT * FROM (" + copyOf(t, st, table) + ")",
		} {
			err := st.Write(t.Context(), func(tx *Tx) error {
				return storeError("record", tx.on(t.Context()).Exec(sql).Error)
			})
			requireKind(t, models.Conflict, err)
			code, _ := sqliteCode(err)
			require.Equal(t, codeTrigger, code, sql)
		}
		require.NoError(t, st.writer.Raw("SELECT COUNT(*) FROM "+table).Scan(&after).Error)
		require.Equal(t, before, after, table)
	}
}

// copyOf selects the columns of a table that can be written.
func copyOf(t *testing.T, st *Store, table string) string {
	t.Helper()
	var columns []string
	require.NoError(t, st.writer.Raw("SELECT name FROM pragma_table_info('"+table+"')").Scan(&columns).Error)
	sql := "SELECT "
	for i, c := range columns {
		if i > 0 {
			sql += ", "
		}
		sql += c
	}
	return sql + " FROM " + table
}
