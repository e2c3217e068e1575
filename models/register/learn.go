package register

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/seal"
	"drylag/models/store"
)

// fleet holds what the fleet's openings have taught.
type fleet struct {
	learning sync.Mutex // held while it is learned afresh

	mu     sync.Mutex
	taught *taught // nil: not read yet
	judged *judged // nil: not judged yet
	mark   int64   // store.Taught when it was last learned
	at     time.Time
	doing  Doing
}

// Doing is what the service is learning right now.
type Doing struct {
	What        string // "" nothing
	Done, Total int
	Failed      string    // why the last try found no fit, "" it did
	FailedAt    time.Time // when
}

// taught is a kept fit with what belongs to it.
type taught struct {
	models.LearnedFit // without Body
	body              fitBody
}

// fitBody is LearnedFit.Body.
type fitBody struct {
	Base    string   // version by method, prior and episodes alone
	Fit     seal.Fit // its Version is that of the LearnedFit
	ByAge   seal.Fit // the yardstick that knows the age alone
	LeftOut []LeftOut
	Groups  []TaughtGroup
}

// LeftOut is a record that taught nothing, and why.
type LeftOut struct {
	Building, Cover models.ID
	Tag             string
	Opening         models.ID // root, None: an earlier record
	On              models.Date
	Why             string
}

// mostLeftOut are listed with a fit; the count is of all.
const mostLeftOut = 500

// fleetFit is the wetness fit in force: the one kept last, or, before the first,
// one learned now.
func (r *Register) fleetFit(ctx context.Context) (*seal.Fit, error) {
	t, err := r.inForce(ctx)
	if err != nil {
		return nil, err
	}
	return &t.body.Fit, nil
}

func (r *Register) inForce(ctx context.Context) (*taught, error) {
	r.fleet.mu.Lock()
	t := r.fleet.taught
	r.fleet.mu.Unlock()
	if t != nil {
		return t, nil
	}
	kept, err := found(r.store.LatestFit(ctx))
	if err != nil {
		return nil, err
	}
	if kept == nil {
		_, err := r.learn(ctx)
		if err != nil {
			return nil, err
		}
		return r.lastTaught(), nil
	}
	t, err = read(*kept)
	if err != nil {
		return nil, err
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	if r.fleet.taught == nil {
		r.fleet.taught = t
	}
	return r.fleet.taught, nil
}

func (r *Register) lastTaught() *taught {
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	return r.fleet.taught
}

func read(kept models.LearnedFit) (*taught, error) {
	t := taught{LearnedFit: kept}
	if err := json.Unmarshal([]byte(kept.Body), &t.body); err != nil {
		return nil, fmt.Errorf("fit %s: %w", kept.Version, err)
	}
	t.Body, t.body.Fit.Version = "", kept.Version
	return &t, nil
}

// learn fits the wetness model to all episodes on record by the priors in
// force, and keeps the fit as a version of its own. Where neither records nor
// priors changed the last one stays, as it does where no fit is found: that is
// logged and said on the page, not an error. fresh tells that a fit was kept.
func (r *Register) learn(ctx context.Context) (fresh bool, err error) {
	r.fleet.learning.Lock()
	defer r.fleet.learning.Unlock()
	defer r.do(Doing{})
	r.do(Doing{What: "reading the record"})
	if err := r.markLearned(ctx); err != nil {
		return false, err
	}
	lessons, err := r.lessons(ctx)
	if err != nil {
		return false, err
	}
	set, err := r.store.LatestPriors(ctx)
	if err != nil {
		return false, err
	}
	last, err := r.lastKept(ctx)
	if err != nil {
		return false, err
	}
	l := sifted(lessons)
	prior := priorOf(set)
	base := seal.VersionOf(prior, l.episodes)
	if last != nil && last.body.Base == base {
		return false, nil
	}
	r.do(Doing{What: "learning", Total: len(l.episodes)})
	t, err := l.learn(prior)
	if err != nil {
		return false, r.noFit(ctx, prior, len(l.episodes), err)
	}
	t.body.Base, t.At, t.Priors, t.Cause = base, r.Now(), set.Version, causeOf(last, set.Version)
	return true, r.keepFit(ctx, t)
}

// relearn learns, foretells what nobody foretold and judges it.
func (r *Register) relearn(ctx context.Context) (fresh bool, err error) {
	if fresh, err = r.learn(ctx); err != nil {
		return fresh, err
	}
	if err := r.walkMonths(ctx); err != nil {
		return fresh, err
	}
	_, err = r.judge(ctx)
	return fresh, err
}

// causeOf says why a fit was learned.
func causeOf(last *taught, priors int) string {
	switch {
	case last == nil:
		return "start"
	case last.Priors != priors:
		return "priors"
	}
	return "openings"
}

func (r *Register) lastKept(ctx context.Context) (*taught, error) {
	if t := r.lastTaught(); t != nil {
		return t, nil
	}
	kept, err := found(r.store.LatestFit(ctx))
	if err != nil || kept == nil {
		return nil, err
	}
	return read(*kept)
}

// noFit keeps what was in force, else the priors alone, and says so.
func (r *Register) noFit(ctx context.Context, p seal.Prior, n int, err error) error {
	r.log.ErrorContext(ctx, "wetness model not learned", "episodes", n, "err", err)
	last, readErr := r.lastKept(ctx)
	if readErr != nil {
		return readErr
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	if last == nil {
		last = &taught{body: fitBody{Fit: seal.Expert(p), ByAge: seal.Expert(ageAlone(p))}}
		last.Version, last.At, last.Cause = last.body.Fit.Version, r.Now(), "start"
	}
	r.fleet.taught = last
	r.fleet.doing.Failed, r.fleet.doing.FailedAt = err.Error(), r.Now()
	return nil
}

// keepFit stores a fit. A version that was there before comes back under a
// number, so that the latest is the one in force.
func (r *Register) keepFit(ctx context.Context, t *taught) error {
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		for i := 1; ; i++ {
			t.Version = t.body.Base
			if i > 1 {
				t.Version = fmt.Sprintf("%s-%d", t.body.Base, i)
			}
			t.body.Fit.Version = t.Version
			kept := t.LearnedFit
			kept.Body = jsonOf(t.body)
			if again, err := tx.AddFit(ctx, kept); err != nil || !again {
				return err
			}
		}
	})
	if err != nil {
		return err
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	r.fleet.taught, r.fleet.doing.Failed = t, ""
	return nil
}

// do says what is going on; the last failure stays.
func (r *Register) do(d Doing) {
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	d.Failed, d.FailedAt = r.fleet.doing.Failed, r.fleet.doing.FailedAt
	r.fleet.doing = d
}

// lessons are what all covers' records teach.
func (r *Register) lessons(ctx context.Context) ([]risk.Lesson, error) {
	policy, err := r.store.Policy(ctx)
	if err != nil {
		return nil, err
	}
	n := &run{r: r, policy: policy, airs: r.airs()}
	var out []risk.Lesson
	err = r.store.EachScoringInput(ctx, false, func(list []store.Material) error {
		for _, m := range list {
			if len(m.Openings)+len(m.Earlier) == 0 {
				continue
			}
			in, err := n.input(ctx, m)
			if err != nil {
				return err
			}
			taught, err := risk.Lessons(in)
			if err != nil {
				r.log.ErrorContext(ctx, "not learned from", "cover", m.Sheet.Cover.ID, "err", err)
				continue
			}
			out = append(out, taught...)
		}
		return nil
	})
	return out, err
}

// lessonList are lessons parted into what teaches and what does not.
type lessonList struct {
	taught   []risk.Lesson
	episodes []seal.Episode // of taught
	leftOut  []LeftOut      // newest first
}

func sifted(lessons []risk.Lesson) lessonList {
	var l lessonList
	var whole []risk.Lesson
	for _, x := range lessons {
		if x.LeftOut != "" {
			l.leave(x, x.LeftOut)
			continue
		}
		whole = append(whole, x)
	}
	episodes := make([]seal.Episode, len(whole))
	for i, x := range whole {
		episodes[i] = x.Episode
	}
	var rejected []seal.Rejected
	l.episodes, rejected = seal.Sift(episodes)
	away := map[int]bool{}
	for _, x := range rejected {
		away[x.At] = true
		l.leave(whole[x.At], x.Reason.Error())
	}
	for i, x := range whole {
		if !away[i] {
			l.taught = append(l.taught, x)
		}
	}
	slices.SortStableFunc(l.leftOut, func(a, b LeftOut) int { return b.On.DaysSince(a.On) })
	return l
}

func (l *lessonList) leave(x risk.Lesson, why string) {
	l.leftOut = append(l.leftOut, LeftOut{x.Building, x.Cover, x.Tag, x.Opening, x.On, why})
}

// learn finds the fit and its yardstick.
func (l lessonList) learn(p seal.Prior) (*taught, error) {
	fit, err := seal.Learn(p, l.episodes, seal.Options{})
	if err != nil {
		return nil, err
	}
	byAge, err := seal.Learn(ageAlone(p), l.episodes, seal.Options{})
	if err != nil {
		return nil, err
	}
	t := taught{body: fitBody{Fit: fit, ByAge: byAge, LeftOut: l.leftOut[:min(len(l.leftOut), mostLeftOut)], Groups: groupsOf(l.episodes)}}
	t.N, t.Wet, t.Rejected = fit.N, fit.Wet, len(l.leftOut)
	for _, x := range l.taught {
		t.Until = max(t.Until, x.On)
	}
	return &t, nil
}

// ageAlone is the prior of the model that knows nothing but the age.
func ageAlone(p seal.Prior) seal.Prior {
	p = p.Only("intercept")
	p.Spread = 0
	return p
}

// priorOf is what ships, with the rows of a set over it.
func priorOf(set models.PriorSet) seal.Prior {
	p := seal.Default()
	for _, row := range set.Rows {
		p = p.With(seal.Column{Name: row.Column, Mean: row.Mean, SD: row.SD})
	}
	return p
}
