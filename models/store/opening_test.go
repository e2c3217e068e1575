package store

import (
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func TestOpeningComesBackAsItWasStored(t *testing.T) {
	st, want := filled(t, 1), openingOf("o1", "c1", "2026-11-20")
	add(t, st, want, Derived{Ri: ptr(2), AreaPct: ptr(0.7)})
	got, err := st.Opening(t.Context(), "o1")
	require.NoError(t, err)
	require.Equal(t, want, got)
	list, err := st.Openings(t.Context(), "c1")
	require.NoError(t, err)
	require.Equal(t, []models.Opening{want}, list)
	readings, err := st.Readings(t.Context(), "c1")
	require.NoError(t, err)
	require.Equal(t, want.Readings, readings)
}

func TestUnansweredStaysUnanswered(t *testing.T) {
	st := filled(t, 1)
	want := models.Opening{ID: "o1", Root: "o1", Version: 1, Outcome: "could_not_open", Cover: "c1", Building: "b1",
		On: "2026-11-20", EnteredAt: noon}
	add(t, st, want, Derived{})
	got, err := st.Opening(t.Context(), "o1")
	require.NoError(t, err)
	require.Equal(t, want, got)
	page, err := st.Covers(t.Context(), models.CoverFilter{})
	require.NoError(t, err)
	require.Equal(t, models.Date(""), page.Rows[0].LastOpened, "nothing was bared")
}

func TestSentAgainIsStoredOnce(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*models.Opening)
		kind   models.Kind // Internal: no error, the same content
	}{
		{"unchanged", func(o *models.Opening) {}, models.Internal},
		{"other time, recorder and building", func(o *models.Opening) {
			o.EnteredAt, o.Recorder, o.Building = noon.Add(time.Hour), "u2", "b9"
		}, models.Internal},
		{"other ids of readings", func(o *models.Opening) { o.Readings[0].ID = "other" }, models.Internal},
		{"other note", func(o *models.Opening) { o.Note = "changed" }, models.Invalid},
		{"a place less", func(o *models.Opening) { o.Places = o.Places[:2] }, models.Invalid},
		{"other wall", func(o *models.Opening) { o.Readings[1].Value = 0.251 }, models.Invalid},
		{"an answer taken back", func(o *models.Opening) { o.Drips = nil }, models.Invalid},
		{"another cover", func(o *models.Opening) { o.Cover = "c2" }, models.Invalid},
	} {
		t.Run(c.name, func(t *testing.T) {
			st := filled(t, 2)
			add(t, st, openingOf("o1", "c1", "2026-11-20"), Derived{})
			o := openingOf("o1", "c1", "2026-11-20")
			c.change(&o)
			var again bool
			err := st.Write(t.Context(), func(tx *Tx) (err error) {
				again, err = tx.AddOpening(t.Context(), o, Derived{})
				return err
			})
			if c.kind == models.Internal {
				require.NoError(t, err)
				require.True(t, again)
			} else {
				requireKind(t, c.kind, err)
			}
			require.Equal(t, map[string]int{"openings": 1, "opening_places": 3, "thickness_readings": 2},
				counts(t, st, "openings", "opening_places", "thickness_readings"))
		})
	}
}

// counts counts the rows of tables.
func counts(t testing.TB, st *Store, tables ...string) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, table := range tables {
		var n int
		require.NoError(t, st.db.Raw("SELECT COUNT(*) FROM "+table).Scan(&n).Error)
		out[table] = n
	}
	return out
}

func TestAmendmentKeepsEveryVersion(t *testing.T) {
	st := filled(t, 1)
	first := openingOf("o1", "c1", "2026-11-20")
	add(t, st, first, Derived{Ri: ptr(3)})
	second := openingOf("o2", "c1", "2026-11-20")
	second.Root, second.Version, second.Amends = "o1", 2, "wrong moisture"
	second.Moisture, second.Blanket, second.Metal.FreshRust = "dry", "dry", ptr(false)
	second.Readings = nil
	add(t, st, second, Derived{Ri: ptr(1)})

	versions, err := st.OpeningVersions(t.Context(), "o1")
	require.NoError(t, err)
	require.Equal(t, []models.Opening{first, second}, versions)
	now, err := st.OpeningNow(t.Context(), "o1")
	require.NoError(t, err)
	require.Equal(t, second, now)
	readings, err := st.Readings(t.Context(), "c1")
	require.NoError(t, err)
	require.Empty(t, readings, "those of the first version no longer count")
	page, err := st.Covers(t.Context(), models.CoverFilter{})
	require.NoError(t, err)
	require.Equal(t, ptr(false), page.Rows[0].LastWet)
}

func TestTwoAmendmentsOfOneVersion(t *testing.T) {
	st := filled(t, 2)
	add(t, st, openingOf("o1", "c1", "2026-11-20"), Derived{})
	amend := func(id, cover models.ID, version int) error {
		o := openingOf(id, cover, "2026-11-20")
		o.Root, o.Version = "o1", version
		return st.Write(t.Context(), func(tx *Tx) error {
			_, err := tx.AddOpening(t.Context(), o, Derived{})
			return err
		})
	}
	require.NoError(t, amend("o2", "c1", 2))
	requireKind(t, models.Stale, amend("o3", "c1", 2))
	requireKind(t, models.Stale, amend("o4", "c1", 4))
	requireKind(t, models.Invalid, amend("o5", "c2", 3))
	requireKind(t, models.Invalid, amend("o6", "c1", 1))
	require.Equal(t, map[string]int{"openings": 2}, counts(t, st, "openings"))
}

func TestLastOpeningOnTheCover(t *testing.T) {
	st := filled(t, 1)
	last := func() models.CoverRow {
		page, err := st.Covers(t.Context(), models.CoverFilter{})
		require.NoError(t, err)
		return page.Rows[0]
	}
	add(t, st, openingOf("o1", "c1", "2026-11-20"), Derived{AreaPct: ptr(1.0)})
	row := last()
	require.Equal(t, models.Date("2026-11-20"), row.LastOpened)
	require.Equal(t, ptr(true), row.LastWet)
	require.Equal(t, "D610 6", row.LastRust)
	require.Equal(t, ptr(1.0), row.AreaPct)

	older := openingOf("o2", "c1", "2024-01-05")
	older.Metal.Grade = "9"
	add(t, st, older, Derived{})
	require.Equal(t, row, last(), "an older one entered later is not the last")

	shut := openingOf("o3", "c1", "2026-11-22")
	shut.Outcome = "could_not_open"
	add(t, st, shut, Derived{})
	require.Equal(t, row, last(), "what was not bared is not the last")

	off := models.Opening{ID: "o4", Root: "o4", Version: 1, Outcome: "already_off", Cover: "c1", Building: "b1", On: "2026-11-23", EnteredAt: noon}
	add(t, st, off, Derived{})
	row = last()
	require.Equal(t, models.Date("2026-11-23"), row.LastOpened)
	require.Nil(t, row.LastWet, "not answered is not dry")
	require.Empty(t, row.LastRust)
}

func TestRustSaid(t *testing.T) {
	for _, c := range []struct {
		scale, grade string
		area         *float64
		want         string
	}{
		{"ri", "Ri 2", nil, "Ri 2"}, {"d610", "6", nil, "D610 6"}, {"iso8501", "B", nil, "ISO 8501-1 B"},
		{"area", "", ptr(2.5), "2.5 %"}, {"area", "", nil, ""}, {"", "", nil, ""},
	} {
		require.Equal(t, c.want, rustSaid(c.scale, c.grade, c.area))
	}
}

func TestOpeningOfNoCover(t *testing.T) {
	st := filled(t, 1)
	err := st.Write(t.Context(), func(tx *Tx) error {
		_, err := tx.AddOpening(t.Context(), openingOf("o1", "nowhere", "2026-11-20"), Derived{})
		return err
	})
	requireKind(t, models.Conflict, err)
	require.Equal(t, map[string]int{"openings": 0, "opening_places": 0}, counts(t, st, "openings", "opening_places"))
}

func TestOneTransactionOrNothing(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	stop := models.Errorf(models.Invalid, "stop")
	steps := []func(*Tx) error{
		func(tx *Tx) error {
			_, err := tx.AddOpening(ctx, openingOf("o1", "c1", "2026-11-20"), Derived{})
			return err
		},
		func(tx *Tx) error { return tx.AddAnswer(ctx, Answer{User: "u1", Key: "k", Status: 201, At: noon}) },
		func(tx *Tx) error { return tx.AppendEvent(ctx, models.Event{At: noon, Act: "opening recorded"}) },
	}
	tables := []string{"openings", "opening_places", "thickness_readings", "answers", "events"}
	for k := range steps {
		err := st.Write(ctx, func(tx *Tx) error {
			for _, step := range steps[:k+1] {
				require.NoError(t, step(tx))
			}
			return stop
		})
		require.ErrorIs(t, err, stop)
		require.Equal(t, map[string]int{"openings": 0, "opening_places": 0, "thickness_readings": 0, "answers": 0, "events": 0},
			counts(t, st, tables...))
	}
	write(t, st, func(tx *Tx) error {
		for _, step := range steps {
			if err := step(tx); err != nil {
				return err
			}
		}
		return nil
	})
	require.Equal(t, map[string]int{"openings": 1, "opening_places": 3, "thickness_readings": 2, "answers": 1, "events": 1},
		counts(t, st, tables...))
}
