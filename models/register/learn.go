package register

import (
	"context"

	"drylag/models/risk"
	"drylag/models/seal"
	"drylag/models/store"
)

// fleetFit is what the fleet's openings have taught, learned now if it has not
// been since the service began.
func (r *Register) fleetFit(ctx context.Context) (*seal.Fit, error) {
	r.fleet.mu.Lock()
	fit := r.fleet.fit
	r.fleet.mu.Unlock()
	if fit != nil {
		return fit, nil
	}
	if err := r.learn(ctx); err != nil {
		return nil, err
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	return r.fleet.fit, nil
}

// learn fits the wetness model to all episodes on record. Where no fit is found
// the last one stays, else the expert prior: that is logged, not an error.
func (r *Register) learn(ctx context.Context) error {
	episodes, err := r.episodes(ctx)
	if err != nil {
		return err
	}
	kept, rejected := seal.Sift(episodes)
	for _, x := range rejected {
		r.log.WarnContext(ctx, "episode not learned from", "episode", x.Episode.ID, "reason", x.Reason.Error())
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	fit, err := seal.Learn(seal.Default(), kept, seal.Options{})
	switch {
	case err == nil:
		r.fleet.fit = &fit
	case r.fleet.fit == nil:
		expert := seal.Expert(seal.Default())
		r.fleet.fit = &expert
		fallthrough
	default:
		r.log.ErrorContext(ctx, "wetness model not learned", "episodes", len(kept), "err", err)
	}
	return nil
}

// episodes are what all covers' records teach.
func (r *Register) episodes(ctx context.Context) ([]seal.Episode, error) {
	policy, err := r.store.Policy(ctx)
	if err != nil {
		return nil, err
	}
	n := &run{r: r, policy: policy, airs: r.airs()}
	var out []seal.Episode
	err = r.store.EachScoringInput(ctx, false, func(list []store.Material) error {
		for _, m := range list {
			if len(m.Openings)+len(m.Earlier) == 0 {
				continue
			}
			in, err := n.input(ctx, m)
			if err != nil {
				return err
			}
			out = append(out, risk.Episodes(in)...)
		}
		return nil
	})
	return out, err
}
