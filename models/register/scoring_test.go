package register

import (
	"context"
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// woken tells whether the keeper has been woken, and takes the signal.
func (w *world) woken() bool {
	select {
	case <-w.Wake():
		return true
	default:
		return false
	}
}

func TestScoringIsAskedForAndSeen(t *testing.T) {
	w := newWorld(t)
	require.NoError(t, w.Keep(w.ctx), "the day's pass")
	p, err := w.Scoring(w.ctx, w.engineer)
	require.NoError(t, err)
	require.Equal(t, "new day", p.Cause)
	require.False(t, p.Running || p.Asked || p.Failed)
	require.Equal(t, p.Total, p.Done)
	require.Positive(t, p.Total)
	require.False(t, w.woken())

	_, err = w.Scoring(w.ctx, w.inspector)
	require.Equal(t, models.Denied, kind(err))
	require.Equal(t, models.Denied, kind(w.ScoreAll(w.ctx, w.inspector)))
	require.Equal(t, models.Conflict, kind(w.StopScoring(w.ctx, w.engineer)), "none runs")

	require.NoError(t, w.ScoreAll(w.ctx, w.engineer))
	require.NoError(t, w.ScoreAll(w.ctx, w.engineer), "twice is once")
	require.True(t, w.woken())
	p, err = w.Scoring(w.ctx, w.engineer)
	require.NoError(t, err)
	require.True(t, p.Asked)
	require.NoError(t, w.Keep(w.ctx))
	p, err = w.Scoring(w.ctx, w.engineer)
	require.NoError(t, err)
	require.Equal(t, "asked for", p.Cause)
	require.False(t, p.Asked || p.Running)
	require.Equal(t, p.Total, p.Done)
}

func TestAChangedConstantWakesTheKeeper(t *testing.T) {
	w := newWorld(t)
	require.NoError(t, w.Keep(w.ctx))
	p, err := w.Policy(w.ctx, w.admin)
	require.NoError(t, err)
	p.LimitYears = 7
	_, err = w.SavePolicy(w.ctx, w.admin, p)
	require.NoError(t, err)
	require.True(t, w.woken())
	s, err := w.Scoring(w.ctx, w.admin)
	require.NoError(t, err)
	require.True(t, s.Asked)
	require.Equal(t, "policy", s.Cause)
}

func TestAStoppedPassKeepsWhatIsDone(t *testing.T) {
	p := newPass()
	ctx := p.begin(context.Background(), "policy", time.Unix(0, 0))
	p.progress(40, 100)
	require.True(t, p.halt("Ada"))
	require.Error(t, ctx.Err(), "the pass is told to stop")
	require.NoError(t, p.end(ctx.Err(), time.Unix(0, 0)), "a person's stop is no failure")
	require.False(t, p.halt("Ada"), "it has ended")
	require.Equal(t, "Ada", p.state.Stopped)
	require.Equal(t, 40, p.state.Done)

	ctx = p.begin(context.Background(), "new day", time.Unix(0, 0))
	require.NoError(t, ctx.Err())
	require.ErrorIs(t, p.end(context.DeadlineExceeded, time.Unix(0, 0)), context.DeadlineExceeded)
	require.True(t, p.state.Failed, "tried again the next time")
}
