package register

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"drylag/models"
	"drylag/models/risk"
	"drylag/models/seal"
	"drylag/models/store"
)

// fleet holds what the fleet's openings have taught, from one Rescore to the next.
type fleet struct {
	mu  sync.Mutex
	fit *seal.Fit
}

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

// Rescore works out the scores of all covers afresh: the fleet's fit is learned
// anew, then every cover is scored, in chunks. progress may be nil. It stops
// when ctx ends; what is done by then stays.
func (r *Register) Rescore(ctx context.Context, cause string, progress func(done, total int)) error {
	if err := r.learn(ctx); err != nil {
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
	airs   *airs
	hold   bool                               // never-seen covers wait until all of them have their index
	wait   map[models.ID]map[models.ID]unseen // by building, by cover
	failed int
}

// unseen is a never-seen cover with what its place in the first-look program
// hangs on: reported ones first, then by the index, then by the way one walks.
type unseen struct {
	id       models.ID
	w        float64
	reported bool
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
	return &run{r: r, cause: cause, policy: policy, fit: fit, airs: r.airs(), wait: map[models.ID]map[models.ID]unseen{}}, nil
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
		FollowUps: m.FollowUps, Deferrals: m.Deferrals, Air: air, Fit: n.fit, Policy: n.policy,
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

// later keeps a never-seen cover until all of them have their index.
func (n *run) later(s models.Score) {
	if n.wait[s.Building] == nil {
		n.wait[s.Building] = map[models.ID]unseen{}
	}
	n.wait[s.Building][s.Cover] = unseenOf(s)
}

func unseenOf(s models.Score) unseen {
	return unseen{s.Cover, s.W, s.Due.Rule == models.RuleReported}
}

// ranked lists a building's never-seen covers in the order of the first-look
// program: those just worked out, and the others as last scored.
func (n *run) ranked(ctx context.Context, building models.ID, fresh map[models.ID]unseen) ([]unseen, error) {
	list, err := n.r.store.NeverSeen(ctx, building)
	if err != nil {
		return nil, err
	}
	var out []unseen
	listed := map[models.ID]bool{}
	for _, x := range list { // in walking order, which settles ties
		listed[x.ID] = true
		if f, ok := fresh[x.ID]; ok {
			out = append(out, f)
		} else if x.Worth != nil {
			out = append(out, unseen{x.ID, *x.Worth, x.Reported})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(fresh)) {
		if !listed[id] {
			out = append(out, fresh[id])
		}
	}
	slices.SortStableFunc(out, func(x, y unseen) int {
		if x.reported != y.reported {
			return cmp.Compare(toInt(y.reported), toInt(x.reported))
		}
		return cmp.Compare(y.w, x.w)
	})
	return out, nil
}

func toInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// rankOf is the share of a building's never-seen covers that come before this one.
func (n *run) rankOf(ctx context.Context, s models.Score) (float64, error) {
	list, err := n.ranked(ctx, s.Building, map[models.ID]unseen{s.Cover: unseenOf(s)})
	for i, x := range list {
		if x.id == s.Cover {
			return float64(i) / float64(len(list)), nil
		}
	}
	return 0, err
}

// held scores the never-seen covers that waited for each other's index.
func (n *run) held(ctx context.Context) error {
	for building, fresh := range n.wait {
		list, err := n.ranked(ctx, building, fresh)
		if err != nil {
			return err
		}
		rank := map[models.ID]float64{}
		var ids []models.ID
		for i, x := range list {
			if _, ok := fresh[x.id]; ok {
				rank[x.id] = float64(i) / float64(len(list))
				ids = append(ids, x.id)
			}
		}
		for start := 0; start < len(ids); start += heldChunk {
			if err := n.heldPart(ctx, ids[start:min(start+heldChunk, len(ids))], rank); err != nil {
				return err
			}
		}
	}
	if n.failed > 0 {
		n.r.log.WarnContext(ctx, "scores pending", "covers", n.failed, "cause", n.cause)
	}
	return nil
}

const heldChunk = 200

// heldPart scores some covers of known rank.
func (n *run) heldPart(ctx context.Context, ids []models.ID, rank map[models.ID]float64) error {
	materials, err := n.r.store.Materials(ctx, ids)
	if err != nil {
		return err
	}
	// In walking order of rooms, so that each room's air is prepared once.
	slices.SortStableFunc(materials, func(x, y store.Material) int {
		return strings.Compare(string(x.Sheet.Room.ID), string(y.Sheet.Room.ID))
	})
	var out []store.Scored
	for _, m := range materials {
		in, err := n.input(ctx, m)
		if err != nil {
			return err
		}
		in.FirstLookRank = rank[m.Sheet.Cover.ID]
		s, err := risk.Assess(in)
		if err != nil {
			n.fail(ctx, m, err)
			continue
		}
		out = append(out, store.Scored{Score: n.stamp(s), Mark: m.Mark, Cause: n.cause})
	}
	return n.r.putScores(ctx, out)
}
