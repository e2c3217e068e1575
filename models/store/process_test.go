package store

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
	"gorm.io/gorm"
)

// This test binary starts itself again as another process that does one of
// these on a data folder.
const (
	childEnv   = "DRYLAG_STORE_CHILD"
	childHold  = "hold"  // opens the record and waits
	childOpen  = "open"  // says ready, then opens the record and waits
	childWrite = "write" // records openings until it is killed
)

func TestMain(m *testing.M) {
	var err error
	switch os.Getenv(childEnv) {
	case "":
		os.Exit(m.Run())
	case childHold:
		err = hold(os.Args[1], "", "ready")
	case childOpen:
		err = hold(os.Args[1], "ready", "open")
	case childWrite:
		err = writeUntilKilled(os.Args[1], os.Args[2])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// child starts this binary as another process and waits until it says ready.
func child(t *testing.T, what string, args ...string) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), childEnv+"="+what)
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = in.Close() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "ready\n", line)
	return cmd
}

// kill ends a child as kill -9 does.
func kill(t *testing.T, cmd *exec.Cmd) {
	t.Helper()
	require.NoError(t, cmd.Process.Kill())
	require.ErrorContains(t, cmd.Wait(), "killed")
}

// hold opens the record and waits for the end of its input. What it says
// before and after opening may be nothing.
func hold(dir, before, after string) error {
	if before != "" {
		fmt.Println(before)
	}
	st, err := Open(context.Background(), testConfig(dir))
	if err != nil {
		return err
	}
	fmt.Println(after)
	_, err = io.Copy(io.Discard, os.Stdin)
	return firstError(err, st.Close())
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// TestSecondProcessIsRefused: two processes never write one record, and a
// killed one leaves it free.
func TestSecondProcessIsRefused(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, st.Close())
	cmd := child(t, childHold, dir)
	_, err = Open(t.Context(), testConfig(dir))
	requireKind(t, models.Busy, err)
	require.ErrorContains(t, err, fmt.Sprintf("process %d", cmd.Process.Pid))
	kill(t, cmd)
	st, err = Open(t.Context(), testConfig(dir))
	require.NoError(t, err)
	require.NoError(t, st.Close())
}

const (
	writers    = 8
	eachWrites = 25
)

// writeUntilKilled records 200 openings from 8 goroutines. The id of each goes
// into the log, and the log to disk, once Write has said that it is stored.
func writeUntilKilled(dir, round string) error {
	st, err := Open(context.Background(), testConfig(dir))
	if err != nil {
		return err
	}
	log, err := os.OpenFile(ackLog(dir), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	fmt.Println("ready")
	var mu sync.Mutex
	errs := make([]error, writers)
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range eachWrites {
				id := models.ID(fmt.Sprintf("o-%s-%d-%d", round, w, i))
				if errs[w] = record(st, id, coverID(1+i%3)); errs[w] != nil {
					return
				}
				mu.Lock()
				_, errs[w] = fmt.Fprintln(log, id)
				if errs[w] == nil {
					errs[w] = log.Sync()
				}
				mu.Unlock()
				if errs[w] != nil {
					return
				}
			}
		})
	}
	wg.Wait()
	if err := firstError(errs...); err != nil {
		return err
	}
	_, err = io.Copy(io.Discard, os.Stdin) // all stored: wait for the end
	return err
}

func ackLog(dir string) string { return filepath.Join(dir, "acknowledged.log") }

// record stores an opening with its answer and its event, as register does.
func record(st *Store, id, cover models.ID) error {
	ctx := context.Background()
	return st.Write(ctx, func(tx *Tx) error {
		if _, err := tx.AddOpening(ctx, openingOf(id, cover, "2026-11-20"), Derived{Ri: ptr(2)}); err != nil {
			return err
		}
		if err := tx.AddAnswer(ctx, Answer{User: "u1", Key: string(id), Status: 201, At: noon}); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, models.Event{At: noon, Act: "opening recorded", Subject: "opening", Of: id, Building: "b1"})
	})
}

func acknowledged(t *testing.T, dir string) []models.ID {
	t.Helper()
	b, err := os.ReadFile(ackLog(dir))
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(t, err)
	var ids []models.ID
	for line := range strings.Lines(string(b)) {
		if id, whole := strings.CutSuffix(line, "\n"); whole {
			ids = append(ids, models.ID(id))
		}
	}
	return ids
}

// TestKilledWhileWriting: whatever the moment of kill -9, what was
// acknowledged is there once, and what is there is whole.
func TestKilledWhileWriting(t *testing.T) {
	dir := t.TempDir()
	st, err := Create(t.Context(), testConfig(dir))
	require.NoError(t, err)
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, 3) })
	require.NoError(t, st.Close())

	const seed = 20261125
	rng := rand.New(rand.NewPCG(seed, 0))
	cutShort := 0
	for round := range 8 {
		before := len(acknowledged(t, dir))
		after := before + 1 + rng.IntN(writers*eachWrites-1)
		cmd := child(t, childWrite, dir, fmt.Sprint(round))
		for len(acknowledged(t, dir)) < after {
			time.Sleep(time.Millisecond)
		}
		time.Sleep(time.Duration(rng.IntN(2000)) * time.Microsecond)
		kill(t, cmd)
		acked := acknowledged(t, dir)
		if len(acked) < before+writers*eachWrites {
			cutShort++
		}
		checkAcknowledged(t, dir, acked)
	}
	require.Greater(t, cutShort, 4, "the kills came too late to show anything")
}

func checkAcknowledged(t *testing.T, dir string, acked []models.ID) {
	t.Helper()
	st, err := Open(t.Context(), testConfig(dir))
	require.NoError(t, err)
	defer st.Close()
	report, err := st.Verify(t.Context())
	require.NoError(t, err)
	require.NoError(t, report.Err())
	var rows []models.ID
	require.NoError(t, st.db.Raw("SELECT id FROM openings").Scan(&rows).Error)
	times := map[models.ID]int{}
	for _, id := range rows {
		times[id]++
	}
	for _, id := range acked {
		require.Equal(t, 1, times[id], "acknowledged opening %s", id)
	}
	n := counts(t, st, "openings", "opening_places", "thickness_readings", "answers", "events")
	require.Equal(t, map[string]int{"openings": len(rows), "opening_places": 3 * len(rows), "thickness_readings": 2 * len(rows),
		"answers": len(rows), "events": len(rows)}, n, "all of an opening or nothing")
}

// TestTransactionsTakeTheLockFirst: with 8 connections that all write, as
// several processes would, 800 transactions that read before they write wait
// for each other. Without immediate transactions 345 of 800 failed (measured).
func TestTransactionsTakeTheLockFirst(t *testing.T) {
	st := filled(t, 1)
	db, err := pool(filepath.Join(st.cfg.Dir, databaseFile), forWrites, writers, st.cfg.Log)
	require.NoError(t, err)
	defer func() { require.NoError(t, closePool(db)) }()
	failed := make([]error, writers)
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := 0; i < 100 && failed[w] == nil; i++ {
				failed[w] = db.Transaction(func(tx *gorm.DB) error {
					var marks int
					if err := tx.Raw("SELECT marks FROM covers WHERE id = 'c1'").Scan(&marks).Error; err != nil {
						return err
					}
					return tx.Exec("UPDATE covers SET marks = ? WHERE id = 'c1'", marks+1).Error
				})
			}
		})
	}
	wg.Wait()
	require.NoError(t, firstError(failed...))
	m, err := st.Material(t.Context(), "c1")
	require.NoError(t, err)
	require.Equal(t, 801, m.Mark, "no update is lost")
}

// TestManyWritersAtOnce: 8 goroutines of one process, 100 openings each.
func TestManyWritersAtOnce(t *testing.T) {
	st := filled(t, 3)
	failed := make([]error, writers)
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range 100 {
				id := models.ID(fmt.Sprintf("o-%d-%d", w, i))
				if err := record(st, id, coverID(1+i%3)); err != nil {
					failed[w] = err
					return
				}
				if _, err := st.Opening(context.Background(), id); err != nil {
					failed[w] = fmt.Errorf("read back: %w", err)
					return
				}
			}
		})
	}
	wg.Wait()
	require.NoError(t, firstError(failed...))
	require.Equal(t, map[string]int{"openings": 800, "events": 800}, counts(t, st, "openings", "events"))
	report, err := st.Verify(t.Context())
	require.NoError(t, err)
	require.NoError(t, report.Err())
}
