package register

import (
	"context"
	"time"
)

// learnEvery is how long a stream of new records can put learning off.
const learnEvery = time.Hour

// keepLearning learns what new records teach and scores every cover by it. It
// waits until no record has come in since the last look, an hour at most; new
// priors do not wait. With nothing new, the stale scores are worked out.
func (r *Register) keepLearning(ctx context.Context) error {
	due, err := r.dueToLearn(ctx)
	if err != nil {
		return err
	}
	fresh := false
	if due {
		if fresh, err = r.relearn(ctx); err != nil {
			return err
		}
	}
	if !fresh {
		_, err := r.RescoreStale(ctx, "record")
		return err
	}
	scoring := r.pass.begin(ctx, "learned", r.Now())
	_, err = r.rescore(scoring, "learned", false, r.pass.progress)
	return r.pass.end(err, r.Now())
}

func (r *Register) dueToLearn(ctx context.Context) (bool, error) {
	mark, err := r.store.Taught(ctx)
	if err != nil {
		return false, err
	}
	set, err := r.store.LatestPriors(ctx)
	if err != nil {
		return false, err
	}
	quiet := mark == r.keeper.mark
	r.keeper.mark = mark
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	if t := r.fleet.taught; t != nil && t.Priors != set.Version && r.fleet.doing.Failed == "" {
		return true, nil
	}
	return mark != r.fleet.mark && (quiet || r.Now().Sub(r.fleet.at) >= learnEvery), nil
}

// markLearned notes up to which record it is learned.
func (r *Register) markLearned(ctx context.Context) error {
	mark, err := r.store.Taught(ctx)
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	r.fleet.mark, r.fleet.at = mark, r.Now()
	return err
}
