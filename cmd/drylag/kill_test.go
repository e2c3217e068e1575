package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// What the killed service is written to with: so many writers, each with so
// many openings in a round, each on a cover of its own.
const (
	killRounds   = 3
	killWriters  = 8
	killEach     = 25 // 200 openings in a round
	killPassword = "a cold valve at noon"
)

// killed is a service of its own process that is killed and started again on one
// folder, and what it acknowledged.
type killed struct {
	t      *testing.T
	binary string
	dir    string
	covers []models.ID
	client *http.Client // stays logged in: sessions outlive the process

	cmd    *exec.Cmd
	base   string
	errOut *output

	mu    sync.Mutex
	sent  map[models.ID]models.ID // opening to cover, acknowledged or not
	acked map[models.ID]bool
}

// TestKilledWhileServing: with kill -9 at any moment of 200 concurrent writes no
// opening that was acknowledged over HTTP is lost, and sending all of them again
// doubles none.
func TestKilledWhileServing(t *testing.T) {
	k := newKilled(t)
	const seed = 20261125
	rng := rand.New(rand.NewPCG(seed, 0))
	for round := range killRounds {
		k.start()
		k.login()
		before := len(k.acked)
		k.writeUntilKilled(round, 1+rng.IntN(killWriters*killEach/4))
		require.Less(t, len(k.acked)-before, killWriters*killEach, "the kill came too late to show anything")
		k.start()
		k.requireOnce(k.acked)
		k.stop()
	}
	k.start()
	all := map[models.ID]bool{}
	for id, cover := range k.sent {
		require.Equal(t, http.StatusCreated, k.post(id, cover), "sent again: %s", id)
		all[id] = true
	}
	k.requireOnce(all)
	require.Equal(t, len(all), k.count(), "none is doubled")
	k.stop()
	var out, errOut output
	require.Equal(t, exitDone, run(t.Context(), []string{"verify", "--dir", k.dir}, &out, &errOut), "%s%s", &out, &errOut)
}

// newKilled builds the program and fills a folder with what it needs.
func newKilled(t *testing.T) *killed {
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	k := &killed{t: t, binary: filepath.Join(t.TempDir(), "drylag"), dir: filepath.Join(t.TempDir(), "data"),
		client: &http.Client{Jar: jar, Timeout: 20 * time.Second}, sent: map[models.ID]models.ID{}, acked: map[models.ID]bool{}}
	built, err := exec.CommandContext(t.Context(), "go", "build", "-o", k.binary, ".").CombinedOutput()
	require.NoError(t, err, "%s", built)
	var out, errOut output
	require.Equal(t, exitDone, run(t.Context(), []string{"init", "--dir", k.dir}, &out, &errOut), "%s", &errOut)
	token := regexp.MustCompile(`key=(\S+)`).FindStringSubmatch(out.String())
	require.NotNil(t, token, "%s", &out)
	h, err := openHouse(t.Context(), k.dir, newLog(io.Discard, false))
	require.NoError(t, err)
	defer func() { require.NoError(t, h.close()) }()
	_, err = h.register.Setup(t.Context(), token[1], "ada", "Ada Admin", killPassword)
	require.NoError(t, err)
	k.covers = coversFor(t, h)
	return k
}

// coversFor makes a cover for each writer.
func coversFor(t *testing.T, h *house) []models.ID {
	t.Helper()
	b, err := h.register.SaveBuilding(t.Context(), operator(), models.Building{Name: "North Hall", TimeZone: "UTC"})
	require.NoError(t, err)
	room, err := h.register.SaveRoom(t.Context(), operator(), models.Room{Building: b.ID, Name: "Cellar"})
	require.NoError(t, err)
	var out []models.ID
	for w := range killWriters {
		s, err := h.register.SaveCover(t.Context(), operator(), models.CoverSheet{Cover: models.Cover{State: models.InPlace},
			Component: models.Component{Room: room.ID, Tag: fmt.Sprintf("V-%d", w+1), Kind: "gate_valve"}})
		require.NoError(t, err)
		out = append(out, s.Cover.ID)
	}
	return out
}

// start runs the program on the folder and waits until it serves.
func (k *killed) start() {
	k.t.Helper()
	var out output
	k.errOut = new(output)
	k.cmd = exec.Command(k.binary, "serve", "--addr", "127.0.0.1:0", "--dir", k.dir)
	k.cmd.Stdout, k.cmd.Stderr = &out, k.errOut
	require.NoError(k.t, k.cmd.Start())
	cmd := k.cmd
	k.t.Cleanup(func() { _ = cmd.Process.Kill() })
	address := regexp.MustCompile(`http://[0-9.:]+`)
	require.Eventually(k.t, func() bool { return address.MatchString(out.String()) }, time.Minute, 5*time.Millisecond, "%s", k.errOut)
	k.base = address.FindString(out.String())
}

// stop ends the program as an operator does.
func (k *killed) stop() {
	k.t.Helper()
	k.client.CloseIdleConnections()
	require.NoError(k.t, k.cmd.Process.Signal(os.Interrupt))
	require.NoError(k.t, k.cmd.Wait(), "%s", k.errOut)
}

// login logs in once; the session is in the folder and outlives every kill.
func (k *killed) login() {
	k.t.Helper()
	r, err := k.client.Get(k.base + "/api/v1/me")
	require.NoError(k.t, err)
	require.NoError(k.t, r.Body.Close())
	if r.StatusCode == http.StatusOK {
		return
	}
	require.Empty(k.t, k.acked, "the session was lost")
	r, err = k.client.PostForm(k.base+"/login", url.Values{"login": {"ada"}, "password": {killPassword}})
	require.NoError(k.t, err)
	require.NoError(k.t, r.Body.Close())
	require.Equal(k.t, http.StatusOK, r.StatusCode)
}

// writeUntilKilled posts openings from all writers at once and kills the program
// as soon as so many are acknowledged.
func (k *killed) writeUntilKilled(round, after int) {
	k.t.Helper()
	var acked atomic.Int64
	enough, over := make(chan struct{}), make(chan struct{})
	var wg sync.WaitGroup
	for w, cover := range k.covers {
		wg.Go(func() {
			for i := range killEach {
				id := models.ID(fmt.Sprintf("0192f0c0-%04x-7000-8%03x-%012x", round, w, i))
				k.note(id, cover, false)
				if k.post(id, cover) != http.StatusCreated {
					return // the program is gone
				}
				k.note(id, cover, true)
				if acked.Add(1) == int64(after) {
					close(enough)
				}
			}
		})
	}
	go func() {
		wg.Wait()
		close(over)
	}()
	select {
	case <-enough:
	case <-over:
		require.Fail(k.t, "the writers ended by themselves", "%s", k.errOut)
	}
	require.NoError(k.t, k.cmd.Process.Kill())
	require.ErrorContains(k.t, k.cmd.Wait(), "killed", "%s", k.errOut)
	<-over
}

func (k *killed) note(id, cover models.ID, acked bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.sent[id] = cover
	if acked {
		k.acked[id] = true
	}
}

// post sends one opening under its ID and gives the status, 0 where no answer
// came.
func (k *killed) post(id, cover models.ID) int {
	on := models.DateOf(time.Now(), time.UTC).AddDays(-2)
	body := fmt.Sprintf(`{"cover_id":"%s","outcome":"opened","reason":"periodic","on":"%s","opened_by":"Ada","moisture":"dry","blanket":"dry",
		"rust_scale":"ri","rust_grade":"Ri 1","closing_cover":"same","closing_metal":"dry","closing_blanket":"dry","closing_water":"running",
		"places":[{"place":"long_seam","left":"renewed"},{"place":"near_end","left":"renewed"},{"place":"far_end","left":"renewed"},
		{"place":"edges_corners","left":"renewed"},{"place":"facing","left":"undisturbed"}]}`, cover, on)
	r, err := http.NewRequestWithContext(context.Background(), http.MethodPost, k.base+"/api/v1/openings", strings.NewReader(body))
	if err != nil {
		return 0
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", string(id))
	answer, err := k.client.Do(r)
	if err != nil {
		return 0
	}
	_, err = io.Copy(io.Discard, answer.Body)
	if err = errors.Join(err, answer.Body.Close()); err != nil {
		return 0
	}
	return answer.StatusCode
}

// times is how often each opening is on record, over all covers.
func (k *killed) times() map[models.ID]int {
	k.t.Helper()
	out := map[models.ID]int{}
	for _, cover := range k.covers {
		r, err := k.client.Get(k.base + "/api/v1/covers/" + string(cover) + "/file")
		require.NoError(k.t, err)
		var file struct {
			Openings []struct {
				ID models.ID `json:"id"`
			} `json:"openings"`
		}
		require.NoError(k.t, json.NewDecoder(r.Body).Decode(&file))
		require.NoError(k.t, r.Body.Close())
		for _, o := range file.Openings {
			out[o.ID]++
		}
	}
	return out
}

// requireOnce holds that each of the openings is there exactly once.
func (k *killed) requireOnce(ids map[models.ID]bool) {
	k.t.Helper()
	times := k.times()
	for id := range ids {
		require.Equal(k.t, 1, times[id], "acknowledged opening %s", id)
	}
}

// count is how many openings are on record.
func (k *killed) count() (n int) {
	k.t.Helper()
	for _, times := range k.times() {
		n += times
	}
	return n
}
