package register

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/seal"
	"drylag/models/store"
)

// history records openings of both covers, a few months apart, on their days.
func (w *world) history(n int) {
	w.t.Helper()
	for i := range n {
		on := models.Date("2025-01-15").AddDays(40 * i)
		o := soundDry(w.cover[i%2], on)
		if i%3 == 1 {
			o.Moisture = "wet"
		}
		_, err := w.RecordOpening(w.ctx, w.admin, o, nil)
		require.NoError(w.t, err)
	}
}

// again is the service started anew over the same record.
func (w *world) again() *Register {
	return New(w.store, Options{Now: w.clock.now, NewID: newID})
}

func TestAFitIsKeptAndLoadedNotLearnedAfresh(t *testing.T) {
	w := newWorld(t)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	w.history(8)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	f, err := w.Learned(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, []int{8, 3, 0}, []int{f.Kept.N, f.Kept.Wet, f.Kept.Rejected})
	require.Equal(t, models.Date("2025-10-22"), f.Kept.Until)
	require.Len(t, f.Versions, 2)
	require.Equal(t, []string{"openings", "start"}, []string{f.Versions[0].Cause, f.Versions[1].Cause})

	score, err := w.store.Score(w.ctx, w.cover[0].Cover.ID)
	require.NoError(t, err)
	require.Equal(t, f.Kept.Version, score.Fit, "a score names the version that made it")
	old, err := w.LearnedVersion(w.ctx, w.admin, f.Versions[1].Version)
	require.NoError(t, err)
	require.Zero(t, old.Kept.N)
	_, err = w.LearnedVersion(w.ctx, w.admin, "none")
	require.Equal(t, models.Missing, kind(err))

	later := w.again()
	got, err := later.fleetFit(w.ctx)
	require.NoError(t, err)
	require.Equal(t, f.Kept.Version, got.Version)
	cov := seal.Covariates{Seal: seal.Poor, Building: string(w.building[0].ID)}
	require.Equal(t, w.fleet.taught.body.Fit.Predict(cov, 1.7), got.Predict(cov, 1.7), "to the last bit")
	require.NoError(t, later.Rescore(w.ctx, "new day", nil))
	list, err := later.Fits(w.ctx, w.admin)
	require.NoError(t, err)
	require.Len(t, list, 2, "nothing changed, nothing learned")
}

// What an amendment takes back teaches no more.
func TestAnAmendmentIsLearnedFrom(t *testing.T) {
	w := newWorld(t)
	o := soundDry(w.cover[0], "2026-02-01")
	_, err := w.RecordOpening(w.ctx, w.admin, o, nil)
	require.NoError(t, err)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	o.ID, o.Root, o.Version, o.Amends = newID(), o.ID, 1, "it was wet"
	o.Moisture = "wet"
	_, err = w.AmendOpening(w.ctx, w.admin, o)
	require.NoError(t, err)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	f, err := w.Learned(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, []int{1, 1}, []int{f.Kept.N, f.Kept.Wet})
}

func TestEachOpeningIsForetoldOnceByTheFitBefore(t *testing.T) {
	w := newWorld(t)
	w.history(8)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	walked, err := w.Predictions(w.ctx, w.admin, "")
	require.NoError(t, err)
	require.Len(t, walked.Rows, 8, "a history without predictions is walked")
	for _, p := range walked.Rows {
		require.True(t, p.Walked(), p.Fit)
	}
	first := walked.Rows[0]
	require.Equal(t, models.ByMonth+"2025-01", first.Fit)
	require.InDelta(t, first.Expert, first.P, 1e-6, "nothing was known then")
	require.Equal(t, first.Expert, first.Base)
	require.InDelta(t, 1.0/3, walked.Rows[3].Base, 1e-12, "one of three was wet before")

	before := w.fleet.taught
	o := soundDry(w.cover[0], "2026-11-20")
	_, err = w.RecordOpening(w.ctx, w.admin, o, nil)
	require.NoError(t, err)
	p, err := w.store.PredictionOf(w.ctx, o.ID)
	require.NoError(t, err)
	require.Equal(t, before.Version, p.Fit)
	require.InDelta(t, 3.0/8, p.Base, 1e-12)
	require.InDelta(t, models.Date("2026-11-20").YearsSince("2025-09-12"), p.Age, 1e-9)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	same, err := w.store.PredictionOf(w.ctx, o.ID)
	require.NoError(t, err)
	require.Equal(t, p, same, "no later fit scores it again")

	late := soundDry(w.cover[1], "2025-10-30") // older than what was learned: left to the walk
	_, err = w.RecordOpening(w.ctx, w.admin, late, nil)
	require.NoError(t, err)
	_, err = w.store.PredictionOf(w.ctx, late.ID)
	require.Equal(t, models.Missing, kind(err))
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	p, err = w.store.PredictionOf(w.ctx, late.ID)
	require.NoError(t, err)
	require.True(t, p.Walked())

	mine, err := w.Predictions(w.ctx, w.engineer, "")
	require.NoError(t, err)
	require.Len(t, mine.Rows, 5, "those of the own building")
	_, err = w.Predictions(w.ctx, w.engineer, late.ID)
	require.Equal(t, models.Missing, kind(err))
}

func TestPriorsChangeWhatIsLearnedAndGoBack(t *testing.T) {
	w := newWorld(t)
	w.history(4)
	require.NoError(t, w.Keep(w.ctx))
	ships := w.fleet.taught.Version
	set := models.PriorSet{Why: "tape here is old", Rows: []models.PriorRow{{Column: "seal_poor", Mean: 2, SD: 0.2}}}
	saved, err := w.SavePriors(w.ctx, w.admin, set)
	require.NoError(t, err)
	require.Equal(t, 1, saved.Version)
	_, err = w.SavePriors(w.ctx, w.admin, set)
	require.Equal(t, models.Stale, kind(err))
	require.NoError(t, w.Keep(w.ctx))
	require.Equal(t, "priors", w.fleet.taught.Cause)
	require.NotEqual(t, ships, w.fleet.taught.Version)
	file, err := w.Priors(w.ctx, w.engineer)
	require.NoError(t, err)
	for _, line := range file.Rows {
		require.Equal(t, line.Column == "seal_poor", line.Changed(), line.Column)
	}

	_, err = w.SavePriors(w.ctx, w.admin, models.PriorSet{Version: 1, Why: "back to what ships"})
	require.NoError(t, err)
	require.NoError(t, w.Keep(w.ctx))
	require.Equal(t, ships+"-2", w.fleet.taught.Version, "what comes back is a version of its own, and the latest")
	got, err := w.again().fleetFit(w.ctx)
	require.NoError(t, err)
	require.Equal(t, ships+"-2", got.Version)

	for name, c := range map[string]struct {
		set  models.PriorSet
		who  models.Actor
		want models.Kind
	}{
		"no reason":      {models.PriorSet{Version: 2, Rows: set.Rows}, w.admin, models.Invalid},
		"no such factor": {models.PriorSet{Version: 2, Why: "x", Rows: []models.PriorRow{{Column: "moon", Mean: 1, SD: 1}}}, w.admin, models.Invalid},
		"twice":          {models.PriorSet{Version: 2, Why: "x", Rows: append(set.Rows, set.Rows...)}, w.admin, models.Invalid},
		"some buildings": {models.PriorSet{Version: 2, Why: "x"}, w.engineer, models.Denied},
		"an inspector":   {models.PriorSet{Version: 2, Why: "x"}, w.inspector, models.Denied},
	} {
		_, err := w.SavePriors(w.ctx, c.who, c.set)
		require.Equal(t, c.want, kind(err), name)
	}
}

// The keeper learns once no record came in since it looked last, an hour at most.
func TestTheKeeperLearnsWhenItIsQuiet(t *testing.T) {
	w := newWorld(t)
	w.history(2)
	require.NoError(t, w.Keep(w.ctx))
	n := func() int { return w.fleet.taught.N }
	require.Equal(t, 2, n())
	day := models.Date("2026-05-01")
	record := func() {
		day = day.AddDays(10)
		_, err := w.RecordOpening(w.ctx, w.admin, soundDry(w.cover[0], day), nil)
		require.NoError(t, err)
		w.clock.turn(10 * time.Minute)
		require.NoError(t, w.Keep(w.ctx))
	}
	record()
	record()
	require.Equal(t, 2, n(), "records are coming in")
	require.NoError(t, w.Keep(w.ctx))
	require.Equal(t, 4, n(), "quiet")
	for range 6 {
		record()
	}
	require.Greater(t, n(), 4, "an hour of records")
	changes, err := w.store.ScoreChanges(w.ctx, w.cover[1].Cover.ID)
	require.NoError(t, err)
	require.Equal(t, "learned", changes[0].Cause)
	require.Equal(t, w.fleet.taught.Version, changes[0].Fit)
}

func TestWithoutAFitTheLastOneStaysAndItIsSaid(t *testing.T) {
	w := newWorld(t)
	w.history(3)
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	good := w.fleet.taught.Version
	require.NoError(t, w.noFit(w.ctx, seal.Default(), 3, errors.New("no mode found")))
	f, err := w.Learned(w.ctx, w.inspector)
	require.NoError(t, err)
	require.Equal(t, good, f.Kept.Version)
	require.Equal(t, "no mode found", f.Doing.Failed)
	require.Equal(t, []string{string(w.building[0].ID)}, keys(f.Names), "no name of another building")

	fresh := newWorld(t)
	require.NoError(t, fresh.noFit(fresh.ctx, seal.Default(), 0, errors.New("no mode found")))
	fit, err := fresh.fleetFit(fresh.ctx)
	require.NoError(t, err)
	require.Equal(t, seal.Expert(seal.Default()).Theta, fit.Theta)
}

func keys[V any](m map[string]V) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	return out
}

// Where the predictions do not hold, covers fall due by their age alone.
func TestOldestFirstWhereThePredictionsDoNotHold(t *testing.T) {
	w := newWorld(t)
	var roots []models.ID
	for i := range 110 {
		o := soundDry(w.cover[0], models.Date("2025-02-01").AddDays(4*i))
		if i%2 == 0 {
			o.Moisture = "wet"
		}
		_, err := w.RecordOpening(w.ctx, w.admin, o, nil)
		require.NoError(t, err)
		roots = append(roots, o.ID)
	}
	require.NoError(t, w.store.Write(w.ctx, func(tx *store.Tx) error { // said with certainty, and wrong every time
		var list []models.Prediction
		for i, root := range roots {
			p := models.Prediction{Opening: root, Cover: w.cover[0].Cover.ID, Building: w.building[0].ID, On: models.Date("2025-02-01").AddDays(4 * i),
				Age: 1.5, P: 0.05, Base: 0.5, ByAge: 0.5, Expert: 0.5, Fit: "f", Made: w.Now()}
			if i%2 == 1 {
				p.P = 0.95
			}
			list = append(list, p)
		}
		_, err := tx.AddPredictions(w.ctx, list)
		return err
	}))
	require.NoError(t, w.Rescore(w.ctx, "new day", nil))
	f, err := w.Learned(w.ctx, w.admin)
	require.NoError(t, err)
	require.Equal(t, seal.Fails, f.Judgment.Verdict)
	require.Equal(t, 18.0, f.Months)
	s, err := w.store.Score(w.ctx, w.cover[1].Cover.ID)
	require.NoError(t, err)
	require.Equal(t, models.RuleWorth, s.Due.Rule)
	require.Equal(t, models.Date("2024-11-25").AddYears(1.5), s.Due.On)
	require.Contains(t, s.Due.Why, "oldest first: 18 months")
	require.InDelta(t, models.Date("2026-11-25").YearsSince("2024-11-25")/1.5, s.W, 1e-9)

	p := models.DefaultPolicy()
	p.FleetIntervalMonths = new(36.0)
	_, err = w.SavePolicy(w.ctx, w.admin, p)
	require.NoError(t, err)
	_, err = w.RescoreStale(w.ctx, "policy")
	require.NoError(t, err)
	s, err = w.store.Score(w.ctx, w.cover[1].Cover.ID)
	require.NoError(t, err)
	require.Equal(t, models.Date("2024-11-25").AddYears(3), s.Due.On, "the owner's own")
}
