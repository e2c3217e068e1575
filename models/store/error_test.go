package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"
)

func TestKindsOfErrors(t *testing.T) {
	stale := models.Errorf(models.Stale, "stale")
	for _, c := range []struct {
		name string
		err  error
		want models.Kind
	}{
		{"not found", gorm.ErrRecordNotFound, models.Missing},
		{"twice", gorm.ErrDuplicatedKey, models.Conflict},
		{"refers to nothing", gorm.ErrForeignKeyViolated, models.Conflict},
		{"deadline", fmt.Errorf("wrapped: %w", context.DeadlineExceeded), models.Busy},
		{"given up", context.Canceled, models.Internal},
		{"classified already", fmt.Errorf("wrapped: %w", stale), models.Stale},
		{"anything else", errors.New("anything"), models.Internal},
	} {
		err := storeError("cover", c.err)
		requireKind(t, c.want, err)
		require.ErrorIs(t, err, c.err, c.name)
	}
	require.NoError(t, storeError("cover", nil))
}

// A full disk, made by a limit on the pages of the file.
func TestFullDisk(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	var pages int
	require.NoError(t, st.writer.Raw("PRAGMA page_count").Scan(&pages).Error)
	require.NoError(t, st.writer.Exec(fmt.Sprintf("PRAGMA max_page_count = %d", pages+20)).Error)
	stored := 0
	var err error
	for ; err == nil && stored < 2000; stored++ {
		err = record(st, models.ID(fmt.Sprintf("o%d", stored)), "c1")
	}
	stored--
	requireKind(t, models.Full, err)
	require.NotContains(t, err.(*models.Error).Msg, "SQL")
	require.Equal(t, map[string]int{"openings": stored, "opening_places": 3 * stored, "events": stored},
		counts(t, st, "openings", "opening_places", "events"), "nothing half written, reads go on")
	require.NoError(t, st.writer.Exec("PRAGMA max_page_count = 1000000").Error)
	require.NoError(t, record(st, "later", "c1"), "it goes on when there is room")
	report, err := st.Verify(ctx)
	require.NoError(t, err)
	require.NoError(t, report.Err())
}

// Another program holds the write lock for longer than we wait.
func TestLockedByAnother(t *testing.T) {
	st := filled(t, 1)
	other, err := pool(st.cfg.Dir+"/"+databaseFile, forWrites, 1, st.cfg.Log)
	require.NoError(t, err)
	defer func() { require.NoError(t, closePool(other)) }()
	require.NoError(t, st.writer.Exec("PRAGMA busy_timeout = 20").Error)
	require.NoError(t, other.Transaction(func(*gorm.DB) error {
		requireKind(t, models.Busy, record(st, "o1", "c1"))
		_, err := st.Sheet(t.Context(), "c1")
		return err // reading goes on
	}))
	require.NoError(t, record(st, "o1", "c1"))
}

func TestRulesOfTheTables(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	for name, fn := range map[string]func(*Tx) error{
		"a state that is none": func(tx *Tx) error { return tx.SetCoverState(ctx, "c1", "hidden", "") },
		"a day that is none": func(tx *Tx) error {
			_, err := tx.AddOpening(ctx, openingOf("o1", "c1", "2026-1-1"), Derived{})
			return err
		},
		"a grade that is none": func(tx *Tx) error {
			_, err := tx.AddOpening(ctx, openingOf("o1", "c1", "2026-01-01"), Derived{Ri: ptr(6)})
			return err
		},
		"a unit that is none": func(tx *Tx) error {
			_, err := tx.AddReading(ctx, models.ThicknessReading{ID: "t1", Cover: "c1", Unit: "mils", EnteredAt: noon})
			return err
		},
	} {
		err := st.Write(ctx, fn)
		require.Error(t, err, name)
		require.Equal(t, models.Invalid, models.KindOf(err), "%s: %v", name, err)
	}
}

func TestLogTellsOfSlowStatementsWithoutValues(t *testing.T) {
	st, out := filled(t, 1), &bytes.Buffer{}
	every := slowConfig
	every.SlowThreshold = 1
	db := st.writer.Session(&gorm.Session{Logger: slowLog{logger.NewSlogLogger(slog.New(slog.NewTextHandler(out, nil)), every)}})
	require.NoError(t, db.Exec("UPDATE covers SET note = ? WHERE id = ?", "canary-1", "c1").Error)
	row := coverRow{ID: "c1", Component: "canary-2", State: models.InPlace, Version: 1}
	require.Error(t, db.Create(&row).Error)
	require.Contains(t, out.String(), "UPDATE covers SET note = ?")
	require.Contains(t, out.String(), "INSERT INTO")
	require.NotContains(t, out.String(), "canary")
	require.NotContains(t, out.String(), "level=ERROR", "an error is returned, not logged")
}
