package register

import (
	"context"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// FindSession is what the server kept for a browser, found by the hash of the
// browser's token; found is false where there is none or its time is over.
func (r *Register) FindSession(ctx context.Context, hash string) (content []byte, found bool, err error) {
	s, err := r.store.Session(ctx, hash, r.Now())
	if models.KindOf(err) == models.Missing {
		return nil, false, nil
	}
	return s.Data, err == nil, err
}

// KeepSession stores what the server keeps for a browser until its time is over.
func (r *Register) KeepSession(ctx context.Context, hash string, content []byte, until time.Time) error {
	return r.store.Write(ctx, func(tx *store.Tx) error {
		return tx.PutSession(ctx, store.Session{Hash: hash, Data: content, Expires: until})
	})
}

// DropSession forgets a browser; one that is not there is no error.
func (r *Register) DropSession(ctx context.Context, hash string) error {
	return r.store.Write(ctx, func(tx *store.Tx) error { return tx.EndSession(ctx, hash) })
}

// Ready tells whether records can be kept now.
func (r *Register) Ready(ctx context.Context) error { return r.store.Ready(ctx) }
