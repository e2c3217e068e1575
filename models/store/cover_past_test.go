package store

import (
	"context"
	"fmt"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func rowOf(t testing.TB, st *Store, cover models.ID) models.CoverRow {
	t.Helper()
	page, err := st.Covers(t.Context(), models.CoverFilter{})
	require.NoError(t, err)
	for _, r := range page.Rows {
		if r.ID == cover {
			return r
		}
	}
	require.Fail(t, "no row of "+string(cover))
	return models.CoverRow{}
}

func TestLastOpenedCountsEarlierRecords(t *testing.T) {
	st, ctx := filled(t, 5), t.Context()
	add(t, st, openingOf("o2", "c2", "2026-03-01"), Derived{})
	add(t, st, openingOf("o3", "c3", "2026-03-01"), Derived{})
	write(t, st, func(tx *Tx) error {
		for i, e := range []models.EarlierRecord{
			{Cover: "c1", On: "2024-05-01", Answer: "dry"}, {Cover: "c1", On: "2025-05-01", Answer: "wet"}, {Cover: "c1", On: "2023-05-01", Answer: "dry"},
			{Cover: "c2", On: "2025-05-01", Answer: "dry"},
			{Cover: "c3", On: "2026-04-01", Answer: "unknown"},
			{Cover: "c4", On: "2026-04-01", Answer: "dry"},
		} {
			e.ID = models.ID(fmt.Sprint("e", i))
			if _, err := tx.AddEarlier(ctx, e); err != nil {
				return err
			}
		}
		return nil
	})
	for _, c := range []struct {
		cover models.ID
		on    models.Date
		wet   *bool
		rust  string
	}{
		{"c1", "2025-05-01", ptr(true), ""}, {"c2", "2026-03-01", ptr(true), "D610 6"},
		{"c3", "2026-04-01", nil, ""}, {"c4", "2026-04-01", ptr(false), ""}, {"c5", "", nil, ""},
	} {
		row := rowOf(t, st, c.cover)
		require.Equal(t, c.on, row.LastOpened, c.cover)
		require.Equal(t, c.wet, row.LastWet, c.cover)
		require.Equal(t, c.rust, row.LastRust, c.cover)
	}
}

func TestRowsTellTheSealAsItIsNow(t *testing.T) {
	st, ctx := filled(t, 6), t.Context()
	left := func(id, cover models.ID, on models.Date, word models.Left) models.Opening {
		o := openingOf(id, cover, on)
		o.Places = []models.PlaceFinding{{Place: models.NearEnd, Found: "open", Left: word}, {Place: models.LongSeam, Found: "sound"}}
		return o
	}
	add(t, st, left("o1", "c1", "2026-03-01", "renewed"), Derived{})
	add(t, st, left("o2", "c2", "2026-03-01", "lifting"), Derived{})
	add(t, st, left("o3", "c3", "2026-03-01", "renewed"), Derived{})
	add(t, st, left("o4", "c4", "2026-03-01", "lifting"), Derived{})
	amended := left("o4b", "c4", "2026-03-01", "patched")
	amended.Root, amended.Version, amended.Amends = "o4", 2, "mistyped"
	add(t, st, amended, Derived{})
	write(t, st, func(tx *Tx) error {
		for i, l := range []models.Look{
			{Cover: "c1", On: "2026-03-01", Places: []models.PlaceFinding{{Place: models.NearEnd, Found: "open"}}}, // the day of the opening: before it
			{Cover: "c2", On: "2026-05-01", Places: []models.PlaceFinding{{Place: models.NearEnd, Found: "sound"}}},
			{Cover: "c3", On: "2026-05-01", Places: []models.PlaceFinding{{Place: models.FarEnd, Found: "missing"}}},
			{Cover: "c3", On: "2026-06-01"}, // nobody looked at the seal
			{Cover: "c5", On: "2026-06-01", Places: []models.PlaceFinding{{Place: models.FarEnd, Found: "lifting"}}},
		} {
			l.ID, l.Building, l.By, l.EnteredAt = models.ID(fmt.Sprint("k", i)), "b1", "Crew A", noon
			if _, err := tx.AddLook(ctx, l); err != nil {
				return err
			}
		}
		return nil
	})
	for cover, want := range map[models.ID]models.SealState{
		"c1": models.SealSound, "c2": models.SealSound, "c3": models.SealPoor, "c4": models.SealSound,
		"c5": models.SealPoor, "c6": models.SealUnknown,
	} {
		require.Equal(t, want, rowOf(t, st, cover).Seal, cover)
	}
}

func TestThePastOfAPageUsesIndexes(t *testing.T) {
	plan := explain(t, filled(t, 3), sealsNow, []string{"c1", "c2"}, []string{"c1", "c2"})
	for _, index := range []string{"openings_version", "looks_cover", "PRIMARY KEY (opening_id=?)", "PRIMARY KEY (look_id=?)"} {
		require.Contains(t, plan, index)
	}
	require.NotContains(t, plan, "SCAN", plan)
}

// Each of 20,000 covers with an opening and a look of eight places each; the
// time is that of one page of 50.
func BenchmarkPageOfCovers(b *testing.B) {
	const n = 20_000
	st := create(b)
	require.NoError(b, st.Write(context.Background(), func(tx *Tx) error { return manyCovers(tx, n) }))
	for b.Loop() {
		page, err := st.Covers(context.Background(), models.CoverFilter{})
		require.NoError(b, err)
		require.Len(b, page.Rows, 50)
	}
}

func manyCovers(tx *Tx, n int) error {
	ctx := context.Background()
	if err := campus(ctx, tx, n); err != nil {
		return err
	}
	for i := 1; i <= n; i++ {
		cover := models.ID(fmt.Sprintf("c%d", i))
		o := openingOf("o"+cover, cover, "2026-03-01")
		l := models.Look{ID: "k" + cover, Cover: cover, Building: "b1", By: "Crew A", On: "2026-05-01", EnteredAt: noon}
		o.Readings = nil
		for p := 1; p <= 8; p++ {
			o.Places = append(o.Places[:p-1:p-1], models.PlaceFinding{Place: models.Penetration(p), Found: "open", Left: "renewed"})
			l.Places = append(l.Places, models.PlaceFinding{Place: models.Penetration(p), Found: "sound"})
		}
		if _, err := tx.AddOpening(ctx, o, Derived{}); err != nil {
			return err
		}
		if _, err := tx.AddLook(ctx, l); err != nil {
			return err
		}
	}
	return nil
}
