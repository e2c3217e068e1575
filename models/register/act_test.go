package register

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestFollowUpsCloseOnlyByARecord(t *testing.T) {
	w := newWorld(t)
	s := w.cover[0]
	stopped := models.Opening{ID: newID(), Cover: s.Cover.ID, On: "2026-11-25", OpenedBy: "Ben", Reason: "periodic", Outcome: "stopped"}
	rc, err := w.RecordOpening(w.ctx, w.inspector, stopped, nil)
	require.NoError(t, err)
	require.Equal(t, models.LookNow, rc.After.Action, "due now")
	f := rc.Asked[0]
	require.Equal(t, "engineer", f.Kind)

	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, newID(), "looked at it")
	require.ErrorContains(t, err, "record: A follow-up closes only by")
	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, rc.ID, "looked at it")
	require.ErrorContains(t, err, "the record that asked for it")
	old := soundDry(s, "2026-11-01")
	_, err = w.RecordOpening(w.ctx, w.inspector, old, nil)
	require.NoError(t, err)
	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, old.ID, "looked at it")
	require.ErrorContains(t, err, "before this was asked for")
	other := cleanLook(w.cover[1], "2026-11-25")
	_, err = w.RecordLook(w.ctx, w.admin, other)
	require.NoError(t, err)
	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, other.ID, "looked at it")
	require.ErrorContains(t, err, "of its cover")

	look := cleanLook(s, "2026-11-25")
	_, err = w.RecordLook(w.ctx, w.engineer, look)
	require.NoError(t, err)
	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, look.ID, " ")
	require.ErrorContains(t, err, "why: ")
	f, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, look.ID, "scale only, wall is sound")
	require.NoError(t, err)
	require.False(t, f.Open())
	_, err = w.CloseFollowUp(w.ctx, w.engineer, f.ID, look.ID, "again")
	require.Equal(t, models.Conflict, kind(err))

	byHand, err := w.OpenFollowUp(w.ctx, w.engineer, models.FollowUp{Cover: s.Cover.ID, Kind: "reading", Why: "first reading wanted", By: "2026-12-25", ID: "mine", Opener: "somebody"})
	require.NoError(t, err)
	require.NotEqual(t, models.ID("mine"), byHand.ID)
	require.Equal(t, w.engineer.ID, byHand.Opener)
	rows, err := w.FollowUps(w.ctx, w.inspector, FollowUpFilter{})
	require.NoError(t, err)
	require.Len(t, rows, 1)
	require.Equal(t, "V-1", rows[0].Tag)
	reading := models.ThicknessReading{ID: newID(), On: "2026-11-25", By: "Ben", Point: "6 o'clock", Value: 7.1, Unit: "mm"}
	rc, err = w.RecordThickness(w.ctx, w.inspector, s.Cover.ID, []models.ThicknessReading{reading})
	require.NoError(t, err)
	require.Equal(t, byHand.ID, rc.Closed[0].ID)
	again, err := w.RecordThickness(w.ctx, w.inspector, s.Cover.ID, []models.ThicknessReading{reading})
	require.NoError(t, err)
	require.True(t, again.Again)
	reading.ID, reading.On = newID(), "2027-01-01"
	_, err = w.RecordThickness(w.ctx, w.inspector, s.Cover.ID, []models.ThicknessReading{reading})
	require.Equal(t, models.Invalid, kind(err))
}

func TestPutOffOnce(t *testing.T) {
	w := newWorld(t)
	second := w.addCover(0, "V-2")
	covers := []models.ID{w.cover[0].Cover.ID, second.Cover.ID}
	score, err := w.Score(w.ctx, covers[0], "new day")
	require.NoError(t, err)
	_, err = w.Score(w.ctx, covers[1], "new day")
	require.NoError(t, err)
	from := max(score.Due.On, "2026-11-25")

	_, err = w.PutOff(w.ctx, w.engineer, covers, from.AddDays(91), "shutdown in spring")
	require.ErrorContains(t, err, "V-1: the latest day is ")
	require.ErrorContains(t, err, "V-2: the latest day is ", "all at once")
	_, err = w.PutOff(w.ctx, w.engineer, covers, from.AddDays(60), "")
	require.ErrorContains(t, err, "reason: ")
	moved, err := w.PutOff(w.ctx, w.engineer, covers, from.AddDays(60), "shutdown in spring")
	require.NoError(t, err)
	require.Equal(t, covers, moved)
	file, err := w.CoverFile(w.ctx, w.engineer, covers[0])
	require.NoError(t, err)
	require.Equal(t, from.AddDays(60), file.Score.PutOffTo)
	require.Equal(t, "shutdown in spring", file.History[0].Deferral.Reason)

	w.clock.turn(24 * time.Hour)
	_, err = w.PutOff(w.ctx, w.engineer, covers[:1], from.AddDays(80), "again")
	require.ErrorContains(t, err, "has been put off once already")
	off := cleanLook(second, "2026-11-26")
	*off.InPlace = false
	_, err = w.RecordLook(w.ctx, w.inspector, off)
	require.NoError(t, err)
	_, err = w.PutOff(w.ctx, w.engineer, covers[1:], from.AddDays(80), "later")
	require.ErrorContains(t, err, "V-2: the cover is off")
}

func TestEditsSayWhichVersionTheyChange(t *testing.T) {
	w := newWorld(t)
	rm := w.room[0]
	rm.Name = "Chiller room"
	changed, err := w.SaveRoom(w.ctx, w.engineer, rm)
	require.NoError(t, err)
	require.Equal(t, 2, changed.Version)
	_, err = w.SaveRoom(w.ctx, w.engineer, rm)
	require.Equal(t, models.Stale, kind(err))
	rm.Version = 0
	_, err = w.SaveRoom(w.ctx, w.engineer, rm)
	require.Equal(t, models.NeedsVersion, kind(err))
	_, err = w.SaveRoom(w.ctx, w.engineer, models.Room{Building: w.building[0].ID, Name: "chiller ROOM"})
	require.ErrorContains(t, err, "name: There is already a room")
	_, err = w.SaveBuilding(w.ctx, w.engineer, models.Building{Name: "East", TimeZone: "UTC"})
	require.Equal(t, models.Denied, kind(err), "who sees some buildings adds none")

	s := w.cover[0]
	s.Cover.State, s.Cover.OffSince = models.Off, "2026-01-01"
	s.Component.Where, s.Cover.Label = "by the door", "DL-1"
	s, err = w.SaveCover(w.ctx, w.engineer, s)
	require.NoError(t, err)
	require.Equal(t, models.InPlace, s.Cover.State, "only a record says that it is off")
	twin := models.CoverSheet{Component: s.Component, Cover: models.Cover{State: models.InPlace, Label: "dl-1"}}
	twin.Component.ID = models.None
	_, err = w.SaveCover(w.ctx, w.engineer, twin)
	require.ErrorContains(t, err, "label: This label is on another cover")
	s.Component.Loop = w.loop[1].ID
	_, err = w.SaveCover(w.ctx, w.engineer, s)
	require.ErrorContains(t, err, "loop: This loop is not in the building")
	events, err := w.Events(w.ctx, w.admin, EventFilter{Of: s.Cover.ID, Limit: 1})
	require.NoError(t, err)
	require.Equal(t, "cover changed", events[0].Act)
	require.Contains(t, events[0].Detail, `"Where":["","by the door"]`)
}

func TestRescoreCountsAndStops(t *testing.T) {
	w := newWorld(t)
	w.addCover(0, "V-2")
	var seen []int
	require.NoError(t, w.Rescore(w.ctx, "new day", func(done, total int) { seen = append(seen, done, total) }))
	require.Equal(t, []int{3, 3}, seen)
	page, err := w.Covers(w.ctx, w.admin, models.CoverFilter{})
	require.NoError(t, err)
	for _, c := range page.Rows {
		require.True(t, c.Scored, c.Tag)
	}
	_, err = w.SavePolicy(w.ctx, w.admin, models.DefaultPolicy())
	require.NoError(t, err)
	m, err := w.Morning(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, 3, m.Pending)
	ctx, cancel := context.WithCancel(w.ctx)
	cancel()
	require.Error(t, w.Rescore(ctx, "new day", nil))
	n, err := w.RescoreStale(w.ctx, "policy")
	require.NoError(t, err)
	require.Equal(t, 3, n)
	m, err = w.Morning(w.ctx, w.admin)
	require.NoError(t, err)
	require.Zero(t, m.Pending)
}

func TestFirstLooksAreSpreadByRank(t *testing.T) {
	w := newWorld(t)
	text := "Building,Room,Tag,Kind,Closure\n"
	for _, row := range []string{"A-1,pump,straps", "A-2,flange pair,tape", "A-3,flange pair,tape", "A-4,flange pair,tape"} {
		text += "North Wing,Cellar," + row + "\n"
	}
	w.bring("covers", text, nil)
	due := map[string]models.Date{}
	page, err := w.Covers(w.ctx, w.engineer, models.CoverFilter{Condition: string(models.NeverSeen)})
	require.NoError(t, err)
	for _, c := range page.Rows {
		due[c.Tag] = c.DueOn
		require.Equal(t, models.RuleFirstLook, c.Rule)
	}
	require.Equal(t, models.Date("2026-11-25").AddYears(3*0.25), due["A-1"], "the worst first, a quarter into the program")
	require.Less(t, due["A-2"], due["A-3"], "equal ones in walking order")
	require.Less(t, due["A-3"], due["A-4"])
	require.Equal(t, models.Date("2026-11-25").AddYears(3), due["A-4"], "the last one ends the program of 3 years")

	before := due["A-4"]
	s := w.coverOf("A-4")
	_, err = w.Score(w.ctx, s.Cover.ID, "new day")
	require.NoError(t, err)
	require.Equal(t, before, w.row("A-4").DueOn, "one score alone has the same rank")
}

func TestTrendOfABuilding(t *testing.T) {
	w := newWorld(t)
	rate, price := 60.0, 2.0
	w.building[0].LaborRate, w.building[0].TapePrice = &rate, &price
	var err error
	w.building[0], err = w.SaveBuilding(w.ctx, w.engineer, w.building[0])
	require.NoError(t, err)
	_, err = w.RecordOpening(w.ctx, w.inspector, wetLeftWet(w.cover[0], "2026-11-25"), nil)
	require.NoError(t, err)
	tr, err := w.Trend(w.ctx, w.engineer, w.building[0].ID)
	require.NoError(t, err)
	n := tr.Numbers
	require.Equal(t, []int{1, 0, 1, 0, 1}, []int{n.Covers, n.Off, n.WetOpen, n.NeverSeen, n.Due})
	require.InDelta(t, 35*1.5/60, n.Clear.Hours, 1e-9, "a valve of NPS 6 on a ladder")
	require.InDelta(t, n.Clear.Hours*60+n.Clear.TapeM*2, *n.Clear.Money, 1e-9)
	require.Equal(t, models.WetQuarter{Quarter: "2026 Q4", Opened: 1, Wet: 1, Share: wilson(1, 1)}, tr.Quarters[0])
	require.Equal(t, [6]int{0, 0, 0, 1, 0, 0}, tr.Years[0].Ri)
	require.Contains(t, tr.Sentences, "1 cover was found wet and is not yet put right.")
	require.Contains(t, strings.Join(tr.Sentences, " "), "is not the share wet of all covers")
	crew := models.Actor{ID: newID(), Role: models.Crew, Buildings: []models.ID{w.building[0].ID}}
	list, err := w.Buildings(w.ctx, crew)
	require.NoError(t, err)
	require.Nil(t, list[0].Clear.Money, "a crew sees no money")
}

func TestBackupsAreKeptAndPruned(t *testing.T) {
	w := newWorld(t)
	for range BackupsKept + 2 {
		made, err := w.Backup(w.ctx, w.admin)
		require.NoError(t, err)
		require.False(t, made.Verified.IsZero())
		w.clock.turn(24 * time.Hour)
	}
	list, err := w.Backups(w.ctx, w.admin)
	require.NoError(t, err)
	require.Len(t, list, BackupsKept)
	require.Equal(t, "20261210T150100Z.db", list[0].Name, "newest first")
	require.Equal(t, time.Date(2026, 12, 10, 15, 1, 0, 0, time.UTC), list[0].Verified)
	again, err := w.VerifyBackup(w.ctx, w.admin, list[3].Name)
	require.NoError(t, err)
	require.Equal(t, w.Now(), again.Verified)
	_, err = w.VerifyBackup(w.ctx, w.admin, "../drylag.db")
	require.Equal(t, models.Missing, kind(err))

	path := w.store.BackupPath(list[3].Name)
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	b[len(b)/2] ^= 1
	require.NoError(t, os.WriteFile(path, b, 0o600))
	_, err = w.VerifyBackup(w.ctx, w.admin, list[3].Name)
	require.Equal(t, models.Conflict, kind(err))
}

// Somebody with the file in hand, past every guard, changes what was found.
func TestVerifyNamesAChangedOpening(t *testing.T) {
	if _, err := exec.LookPath("sqlite3"); err != nil {
		t.Skip("no sqlite3 here")
	}
	w := newWorld(t)
	o := wetLeftWet(w.cover[0], "2026-11-25")
	o.Readings = []models.ThicknessReading{{Point: "6 o'clock", Value: 0.28, Unit: "in"}}
	_, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	_, err = w.RecordLook(w.ctx, w.inspector, cleanLook(w.cover[0], "2026-11-25"))
	require.NoError(t, err)
	h, err := w.Verify(w.ctx, w.admin)
	require.NoError(t, err)
	require.True(t, h.OK, h.Findings)

	db := filepath.Join(filepath.Dir(filepath.Dir(w.store.BackupPath("x"))), "drylag.db")
	out, err := exec.Command("sqlite3", db, "DROP TRIGGER openings_no_update; UPDATE openings SET moisture = 'dry';").CombinedOutput()
	require.NoError(t, err, string(out))
	h, err = w.Verify(w.ctx, w.admin)
	require.NoError(t, err)
	require.False(t, h.OK)
	require.Contains(t, strings.Join(h.Findings, "; "), "opening "+string(o.ID)+" has been changed")
}

func TestTheRecordStandsWhenItsScoreFails(t *testing.T) {
	w := newWorld(t)
	o := soundDry(w.cover[0], "2026-11-25")
	_, err := w.Score(w.ctx, o.Cover, "new day")
	require.NoError(t, err)
	w.clock.turn(time.Minute)
	w.fleet.taught.body.Fit.Theta[0] = math.NaN() // a fit that has gone wrong
	rc, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	require.True(t, rc.Pending)
	require.Nil(t, rc.After)
	require.NotNil(t, rc.Before)
	again, err := w.RecordOpening(w.ctx, w.inspector, o, nil)
	require.NoError(t, err)
	require.True(t, again.Again && again.Pending)
	list, err := w.store.Openings(w.ctx, o.Cover)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil), "learning afresh mends it")
	m, err := w.Morning(w.ctx, w.admin)
	require.NoError(t, err)
	require.Zero(t, m.Pending)
}
