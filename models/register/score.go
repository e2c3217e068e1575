package register

import (
	"context"
	"fmt"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/seal"
	"drylag/models/store"
)

// Score works out and stores the score of one cover as of today. cause is a
// word of models.ScoreChange. It is the service's own act and has no actor.
func (r *Register) Score(ctx context.Context, cover models.ID, cause string) (models.Score, error) {
	run, err := r.scoring(ctx, cause)
	if err != nil {
		return models.Score{}, err
	}
	m, err := r.store.Material(ctx, cover)
	if err != nil {
		return models.Score{}, err
	}
	scored, err := run.batch(ctx, []store.Material{m})
	if err != nil {
		return models.Score{}, err
	}
	if len(scored) == 0 {
		return models.Score{}, fmt.Errorf("cover %s: no score", cover)
	}
	return scored[0].Score, r.putScores(ctx, scored)
}

func (r *Register) putScores(ctx context.Context, scored []store.Scored) error {
	if len(scored) == 0 {
		return nil
	}
	return r.store.Write(ctx, func(tx *store.Tx) error {
		_, err := tx.PutScores(ctx, scored)
		return err
	})
}

// Rescore works out the scores of all covers afresh: what the record teaches is
// learned, openings without a prediction get one, the predictions are judged,
// then every cover is scored, in chunks. progress may be nil. It stops when ctx
// ends; what is done by then stays.
func (r *Register) Rescore(ctx context.Context, cause string, progress func(done, total int)) error {
	if _, err := r.relearn(ctx); err != nil {
		return err
	}
	_, err := r.rescore(ctx, cause, false, progress)
	return err
}

// RescoreStale works out the scores that records, imports or edits made stale.
func (r *Register) RescoreStale(ctx context.Context, cause string) (done int, err error) {
	return r.rescore(ctx, cause, true, nil)
}

// rescore streams covers through one run of scoring.
func (r *Register) rescore(ctx context.Context, cause string, onlyStale bool, progress func(done, total int)) (done int, err error) {
	total, err := r.store.ScoringCount(ctx, onlyStale)
	if err != nil || total == 0 {
		return 0, err
	}
	run, err := r.scoring(ctx, cause)
	if err != nil {
		return 0, err
	}
	run.hold = true
	err = r.store.EachScoringInput(ctx, onlyStale, func(list []store.Material) error {
		scored, err := run.batch(ctx, list)
		if err != nil {
			return err
		}
		done += len(list)
		if progress != nil {
			progress(done, total)
		}
		return r.putScores(ctx, scored)
	})
	if err != nil {
		return done, err
	}
	return done, run.held(ctx)
}

// run is one pass of scoring: what all its scores share.
type run struct {
	r      *Register
	cause  string
	policy models.Policy
	fit    *seal.Fit
	oldest *float64 // risk.Input.OldestFirst
	airs   *airs
	hold   bool                               // never-seen covers wait until all of them have their index
	wait   map[models.ID]map[models.ID]unseen // by building, by cover
	failed int
}

func (r *Register) scoring(ctx context.Context, cause string) (*run, error) {
	policy, err := r.store.Policy(ctx)
	if err != nil {
		return nil, err
	}
	fit, err := r.fleetFit(ctx)
	if err != nil {
		return nil, err
	}
	j, err := r.verdict(ctx)
	if err != nil {
		return nil, err
	}
	return &run{r: r, cause: cause, policy: policy, fit: fit, oldest: j.oldestFirst(policy), airs: r.airs(), wait: map[models.ID]map[models.ID]unseen{}}, nil
}

// batch scores covers. One that cannot be scored is logged and stays pending.
func (n *run) batch(ctx context.Context, list []store.Material) ([]store.Scored, error) {
	var out []store.Scored
	for _, m := range list {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		in, err := n.input(ctx, m)
		if err != nil {
			return nil, err
		}
		s, err := n.assess(ctx, in)
		if err != nil {
			n.fail(ctx, m, err)
			continue
		}
		if s.Condition == models.NeverSeen && n.hold {
			n.later(s)
			continue
		}
		out = append(out, store.Scored{Score: s, Mark: m.Mark, Cause: n.cause})
	}
	return out, nil
}

// fail notes a cover that could not be scored; it stays pending.
func (n *run) fail(ctx context.Context, m store.Material, err error) {
	n.failed++
	n.r.log.ErrorContext(ctx, "score failed", "cover", m.Sheet.Cover.ID, "cause", n.cause, "err", err)
}

// input is everything one score depends on.
func (n *run) input(ctx context.Context, m store.Material) (risk.Input, error) {
	air, err := n.airs.of(ctx, m.Sheet)
	if err != nil {
		return risk.Input{}, err
	}
	return risk.Input{Sheet: m.Sheet, Openings: m.Openings, Looks: m.Looks, Earlier: m.Earlier, Readings: m.Readings,
		FollowUps: m.FollowUps, Deferrals: m.Deferrals, Air: air, Fit: n.fit, OldestFirst: n.oldest, Policy: n.policy,
		Today: n.r.Today(m.Sheet.Building)}, nil
}

// assess makes one score. A never-seen cover's date hangs on its rank among the
// building's never-seen ones, so its index is worked out first.
func (n *run) assess(ctx context.Context, in risk.Input) (models.Score, error) {
	s, err := risk.Assess(in)
	if err != nil || s.Condition != models.NeverSeen {
		return n.stamp(s), err
	}
	if !n.hold {
		if in.FirstLookRank, err = n.rankOf(ctx, s); err != nil {
			return s, err
		}
		if s, err = risk.Assess(in); err != nil {
			return s, err
		}
	}
	return n.stamp(s), nil
}

func (n *run) stamp(s models.Score) models.Score {
	s.At = n.r.Now()
	return s
}
