package store

import (
	"context"
	"fmt"
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// noon is the instant at which these tests take place.
var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func testConfig(dir string) Config {
	return Config{Dir: dir, Now: func() time.Time { return noon }}
}

// create makes an empty record in a folder of its own.
func create(t testing.TB) *Store {
	t.Helper()
	st, err := Create(t.Context(), testConfig(t.TempDir()))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	return st
}

// write runs one transaction that must be stored.
func write(t testing.TB, st *Store, fn func(*Tx) error) {
	t.Helper()
	require.NoError(t, st.Write(t.Context(), fn))
}

// kindOf is the kind of an error that must be there.
func requireKind(t testing.TB, want models.Kind, err error) {
	t.Helper()
	require.Error(t, err)
	require.Equal(t, want, models.KindOf(err), "%v", err)
}

// campus fills a record with one building, one room, one loop and n covers.
func campus(ctx context.Context, tx *Tx, n int) error {
	_, err := tx.PutBuilding(ctx, models.Building{ID: "b1", Name: "Harbor House", TimeZone: "America/New_York", Currency: "$"})
	if err != nil {
		return err
	}
	if _, err := tx.PutRoom(ctx, models.Room{ID: "r1", Building: "b1", Name: "Plant room 1", Kind: "open"}); err != nil {
		return err
	}
	if _, err := tx.PutLoop(ctx, models.Loop{ID: "l1", Building: "b1", Name: "CHW north", Kind: "chilled"}); err != nil {
		return err
	}
	for i := 1; i <= n; i++ {
		if _, err := tx.PutSheet(ctx, sheetOf(i)); err != nil {
			return err
		}
	}
	return nil
}

func coverID(i int) models.ID { return models.ID(fmt.Sprintf("c%d", i)) }

// sheetOf is the i-th cover of the campus; its tag is V-i.
func sheetOf(i int) models.CoverSheet {
	part := models.ID(fmt.Sprintf("p%d", i))
	return models.CoverSheet{
		Cover:     models.Cover{ID: coverID(i), Component: part, Label: fmt.Sprintf("K%03d", i), State: models.InPlace, Closure: "tape"},
		Component: models.Component{ID: part, Room: "r1", Loop: "l1", Tag: fmt.Sprintf("V-%d", i), Kind: "gate_valve"},
	}
}

// filled makes a record with n covers.
func filled(t testing.TB, n int) *Store {
	t.Helper()
	st := create(t)
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, n) })
	return st
}

func ptr[T any](v T) *T { return &v }

// openingOf is an opening with an answer to every question, so that a column
// that is lost or swapped shows.
func openingOf(id models.ID, cover models.ID, on models.Date) models.Opening {
	return models.Opening{
		ID: id, Root: id, Version: 1, Reason: "periodic", Outcome: "opened", Cover: cover, Building: "b1", On: on,
		EnteredAt: noon, OpenedBy: "Crew A", Recorder: "u1", Drips: ptr(true), Label: ptr(false),
		Places: []models.PlaceFinding{
			{Place: models.LongSeam, Found: "lifting", Left: "renewed"},
			{Place: models.NearEnd, Found: "sound", Left: "undisturbed"},
			{Place: models.Penetration(2), Found: "open", Left: "patched"},
		},
		Moisture: "beads", WaterClock: ptr(6.0), WaterShare: ptr(0.25), Blanket: "damp", Mold: ptr(false), Stain: "brown ring",
		Metal: models.MetalFinding{Seen: true, Coating: "breached", Scale: "d610", Grade: "6", AreaPct: ptr(1.5), Form: "pitted",
			FreshRust: ptr(true), PitMM: ptr(0.4)},
		Readings: []models.ThicknessReading{
			{ID: id + "-t1", Cover: cover, Opening: id, On: on, Point: "6 o'clock", Value: 6.35, Unit: "mm", Gauge: "UT 1",
				CheckBlock: ptr(true), By: "Crew A", EnteredAt: noon, Recorder: "u1"},
			{ID: id + "-t2", Cover: cover, Opening: id, On: on, Point: "12 o'clock", Value: 0.252, Unit: "in", By: "Crew A", EnteredAt: noon, Recorder: "u1"},
		},
		Dried: "wiped", Prepared: "St 3", Coated: "medium", FilmUM: ptr(120.0), Cured: ptr(true),
		Closing:   models.Closing{Metal: "dry", Blanket: "replaced", Water: "running", Cover: "same", OffWhy: "-", Label: ptr(true)},
		Materials: models.Materiel{TapeM: ptr(2.5), SealantML: ptr(40.0), CoatingML: ptr(15.0), BlanketM2: ptr(0.5), Minutes: ptr(35.0)},
		Note:      "Ünïcode, 'quotes' and\nlines",
	}
}

// add stores an opening that must be new.
func add(t testing.TB, st *Store, o models.Opening, d Derived) {
	t.Helper()
	write(t, st, func(tx *Tx) error {
		again, err := tx.AddOpening(t.Context(), o, d)
		require.False(t, again)
		return err
	})
}
