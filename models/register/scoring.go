package register

import (
	"context"
	"sync"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// pass is the scoring of the whole fleet: at most one runs, in the keeper.
type pass struct {
	mu    sync.Mutex
	state models.Scoring
	stop  context.CancelFunc // of the one that runs
	wake  chan struct{}
}

func newPass() *pass { return &pass{wake: make(chan struct{}, 1)} }

// ask wants a pass; one that runs already is not ended, another follows it.
func (p *pass) ask(cause string) {
	p.mu.Lock()
	p.state.Asked = true
	if !p.state.Running {
		p.state.Cause = cause
	}
	p.mu.Unlock()
	select {
	case p.wake <- struct{}{}:
	default: // the keeper has been woken already
	}
}

// wanted tells whether somebody asked for a pass.
func (p *pass) wanted() (cause string, asked bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.state.Cause, p.state.Asked
}

func (p *pass) begin(ctx context.Context, cause string, at time.Time) context.Context {
	ctx, stop := context.WithCancel(ctx)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.state, p.stop = models.Scoring{Running: true, Cause: cause, Began: at}, stop
	return ctx
}

func (p *pass) progress(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.state.Done, p.state.Total = done, total
}

// end closes the pass. One that was stopped by a person has not failed.
func (p *pass) end(err error, at time.Time) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stop()
	p.stop, p.state.Running, p.state.Ended = nil, false, at
	if p.state.Stopped != "" {
		return nil
	}
	p.state.Failed = err != nil
	return err
}

// halt stops the pass that runs in a person's name; false: none runs.
func (p *pass) halt(name string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.stop == nil {
		return false
	}
	p.state.Stopped, p.state.Asked = name, false
	p.stop()
	return true
}

// Wake is signaled when the keeper has something to do before its time.
func (r *Register) Wake() <-chan struct{} { return r.pass.wake }

// Scoring is how far the scoring of the fleet has come.
func (r *Register) Scoring(_ context.Context, a models.Actor) (models.Scoring, error) {
	if err := a.May(models.ActPolicy); err != nil {
		return models.Scoring{}, err
	}
	r.pass.mu.Lock()
	defer r.pass.mu.Unlock()
	return r.pass.state, nil
}

// ScoreAll asks the keeper to score the whole fleet afresh.
func (r *Register) ScoreAll(ctx context.Context, a models.Actor) error {
	if err := r.scoringEvent(ctx, a, "scoring asked for"); err != nil {
		return err
	}
	r.pass.ask("asked for")
	return nil
}

// StopScoring stops the pass that runs: what is scored stays, the other covers
// keep their scores until the next day's pass. It is Conflict if none runs.
func (r *Register) StopScoring(ctx context.Context, a models.Actor) error {
	if err := a.May(models.ActPolicy); err != nil {
		return err
	}
	if !r.pass.halt(a.Name) {
		return models.Errorf(models.Conflict, "The scoring has ended already.")
	}
	return r.scoringEvent(ctx, a, "scoring stopped")
}

func (r *Register) scoringEvent(ctx context.Context, a models.Actor, act string) error {
	if err := a.May(models.ActPolicy); err != nil {
		return err
	}
	return r.store.Write(ctx, func(tx *store.Tx) error {
		return tx.AppendEvent(ctx, r.event(a, act, "scores", models.None, models.None, nil))
	})
}
