package register

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/seal"
	"drylag/models/store"
)

// foretell keeps what the fit in force before an opening expected of it, at the
// age at which it was made. Only a fit that openings have taught, none of them
// later than this one, speaks here: the rest is left to the walk month by month.
// The record stands whatever happens here; what fails is logged.
func (r *Register) foretell(ctx context.Context, before *taught, o models.Opening) {
	if before == nil || before.N == 0 || before.Until > o.On || !o.Answered() {
		return
	}
	p, err := r.expected(ctx, before, o)
	if err == nil && p != nil {
		err = r.addPredictions(ctx, []models.Prediction{*p})
	}
	if err != nil {
		r.log.ErrorContext(ctx, "opening not foretold", "opening", o.ID, "err", err)
	}
}

// before is the fit in force before a record is stored; nil where there is none,
// or none can be read, which is logged.
func (r *Register) before(ctx context.Context) *taught {
	t, err := r.lastKept(ctx)
	if err != nil {
		r.log.ErrorContext(ctx, "fit not read", "err", err)
	}
	return t
}

func (r *Register) addPredictions(ctx context.Context, list []models.Prediction) error {
	return r.store.Write(ctx, func(tx *store.Tx) error {
		_, err := tx.AddPredictions(ctx, list)
		return err
	})
}

// expected is the prediction of one opening, nil where it ended no episode.
func (r *Register) expected(ctx context.Context, before *taught, o models.Opening) (*models.Prediction, error) {
	policy, err := r.store.Policy(ctx)
	if err != nil {
		return nil, err
	}
	m, err := r.store.Material(ctx, o.Cover)
	if err != nil {
		return nil, err
	}
	in, err := (&run{r: r, policy: policy, airs: r.airs()}).input(ctx, m)
	if err != nil {
		return nil, err
	}
	lessons, err := risk.Lessons(in)
	if err != nil {
		return nil, err
	}
	kept := sifted(lessons).taught
	i := slices.IndexFunc(kept, func(l risk.Lesson) bool { return l.Opening == o.Root })
	if i < 0 {
		return nil, nil
	}
	p := before.body.expects(kept[i])
	p.Fit, p.Made = before.Version, r.Now()
	return &p, nil
}

// expects is what a fit says of a lesson, with the yardsticks beside it.
func (b fitBody) expects(l risk.Lesson) models.Prediction {
	u := l.Years()
	at := b.Fit.Predict(l.Covariates, u)
	return models.Prediction{Opening: l.Opening, Cover: l.Cover, Building: l.Building, On: l.On, Age: u,
		P: at.P, Lo: at.Lo, Hi: at.Hi, Eta: at.Eta, Base: float64(b.Fit.Wet) / float64(b.Fit.N),
		ByAge: b.ByAge.Predict(seal.Covariates{}, u).P, Expert: seal.Expert(b.Fit.Prior).Predict(l.Covariates, u).P}
}

// walkMonths keeps a prediction for each opening before today that has none,
// such as those of an imported history, from the openings before its month.
func (r *Register) walkMonths(ctx context.Context) error {
	list, err := r.store.UnpredictedOpenings(ctx, models.DateOf(r.Now(), time.UTC))
	if err != nil || len(list) == 0 {
		return err
	}
	lessons, err := r.lessons(ctx)
	if err != nil {
		return err
	}
	set, err := r.store.LatestPriors(ctx)
	if err != nil {
		return err
	}
	taught := sifted(lessons).taught
	from, wanted := firstOf(taught, list)
	if len(wanted) == 0 {
		return nil
	}
	r.do(Doing{What: "looking back month by month", Total: len(wanted)})
	defer r.do(Doing{})
	said, err := seal.Backtest(priorOf(set), datedLessons(taught), from)
	if err != nil {
		return err
	}
	var out []models.Prediction
	for _, f := range said {
		if l, ok := wanted[f.ID]; ok {
			out = append(out, r.walked(l, f))
		}
	}
	return r.addPredictions(ctx, out)
}

// firstOf are the lessons of openings without a prediction, by the ID of the
// episode, and the day of the first.
func firstOf(taught []risk.Lesson, list []store.Unpredicted) (from models.Date, wanted map[string]risk.Lesson) {
	open := map[models.ID]bool{}
	for _, u := range list {
		open[u.Opening] = true
	}
	wanted = map[string]risk.Lesson{}
	for _, l := range taught {
		if !open[l.Opening] {
			continue
		}
		wanted[l.ID] = l
		if from == "" || l.On < from {
			from = l.On
		}
	}
	return from, wanted
}

func datedLessons(taught []risk.Lesson) []seal.Dated {
	out := make([]seal.Dated, len(taught))
	for i, l := range taught {
		out[i] = seal.Dated{Episode: l.Episode, On: l.On}
	}
	return out
}

// walked is a prediction of the walk. Where nothing was opened before, the
// expert takes the place of the share found wet, so that it counts neither for
// nor against.
func (r *Register) walked(l risk.Lesson, f seal.Foretold) models.Prediction {
	p := models.Prediction{Opening: l.Opening, Cover: l.Cover, Building: l.Building, On: l.On, Age: f.Age,
		P: f.P, Lo: f.Lo, Hi: f.Hi, Eta: f.Eta, ByAge: *f.AgeOnly, Expert: *f.Expert, Base: *f.Expert,
		Fit: models.ByMonth + f.Round, Made: r.Now()}
	if f.Base != nil {
		p.Base = *f.Base
	}
	return p
}

// judgedYears are the years of predictions by which trust is judged.
const judgedYears = 2

// judged is what the predictions of the last years show.
type judged struct {
	on models.Date
	seal.Judgment
	walked int
	months int // the fleet's median time between openings, 0: too few to tell
}

// judge weighs the stored predictions of the last two years.
func (r *Register) judge(ctx context.Context) (*judged, error) {
	today := models.DateOf(r.Now(), time.UTC)
	list, err := r.store.Predictions(ctx, today.AddYears(-judgedYears), nil)
	if err != nil {
		return nil, err
	}
	pick := rand.New(rand.NewPCG(1, 2)).IntN // the same draws each time
	j := &judged{on: today, Judgment: seal.Judge(scoredOf(list), pick)}
	for _, p := range list {
		if p.Walked() {
			j.walked++
		}
	}
	if len(list) >= fewIntervals {
		ages := make([]float64, len(list))
		for i, p := range list {
			ages[i] = p.Age
		}
		slices.Sort(ages)
		j.months = int(12*ages[len(ages)/2] + 0.5)
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	r.fleet.judged = j
	return j, nil
}

// fewIntervals is the count of openings below which their median interval tells
// nothing; FleetIntervalMonths then holds (judgement).
const (
	fewIntervals        = 5
	FleetIntervalMonths = 24
)

// scoredOf are predictions as they are judged: openings of one round, or of one
// month where there was none, share their luck.
func scoredOf(list []models.Prediction) []seal.Scored {
	out := make([]seal.Scored, len(list))
	for i, p := range list {
		round := string(p.Round)
		if p.Round == models.None {
			round = string(p.On[:min(7, len(p.On))])
		}
		out[i] = seal.Scored{P: p.P, Wet: p.Wet, Base: &p.Base, AgeOnly: &p.ByAge, Expert: &p.Expert, Round: round, Building: string(p.Building)}
	}
	return out
}

// verdict is the last judgment, made now if there is none.
func (r *Register) verdict(ctx context.Context) (*judged, error) {
	r.fleet.mu.Lock()
	j := r.fleet.judged
	r.fleet.mu.Unlock()
	if j != nil {
		return j, nil
	}
	return r.judge(ctx)
}

// interval is the time between openings, in months, while the predictions do
// not hold: the owner's, else the fleet's median, else what ships.
func (j *judged) interval(p models.Policy) float64 {
	switch {
	case p.FleetIntervalMonths != nil:
		return *p.FleetIntervalMonths
	case j.months > 0:
		return float64(j.months)
	}
	return FleetIntervalMonths
}

// oldestFirst is what risk.Input.OldestFirst holds: nil unless the predictions
// do not hold.
func (j *judged) oldestFirst(p models.Policy) *float64 {
	if j.Verdict != seal.Fails {
		return nil
	}
	return new(j.interval(p) / 12)
}
