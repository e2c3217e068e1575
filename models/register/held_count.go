package register

import (
	"context"
	"sync"

	"drylag/models"
)

// waiting are the buildings of the records that are held, one for each record.
// Every page asks for their number, and finding them goes through the whole
// log: so they are kept until one comes or goes.
type waiting struct {
	mu    sync.Mutex
	known bool
	in    []models.ID // None: the record is of no cover
}

// forget is called after a transaction that may have changed them.
func (w *waiting) forget() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.known = false
}

// HeldCount is how many records wait for the actor; none for who does not
// decide about them.
func (r *Register) HeldCount(ctx context.Context, a models.Actor) (int, error) {
	if a.May(models.ActRegister) != nil {
		return 0, nil
	}
	in, err := r.heldIn(ctx)
	n := 0
	for _, b := range in {
		if a.Sees(b) {
			n++
		}
	}
	return n, err
}

func (r *Register) heldIn(ctx context.Context) ([]models.ID, error) {
	w := &r.waiting
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.known {
		return w.in, nil
	}
	events, err := r.store.Unanswered(ctx, nil, actHeld, []string{actReleased, actRejected})
	if err != nil {
		return nil, err
	}
	w.known, w.in = true, nil
	for _, e := range events {
		w.in = append(w.in, e.Building)
	}
	return w.in, nil
}
