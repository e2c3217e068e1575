package register

import (
	"context"
	"errors"
	"sync"
	"time"

	"drylag/models"
)

// backupEvery is how old the newest backup may become.
const backupEvery = 24 * time.Hour

// keeper remembers what Keep last did.
type keeper struct {
	mu     sync.Mutex
	scored models.Date // day, in UTC, on which every cover was last scored
	mark   int64       // store.Taught at the last look
}

// service is the account under which the service itself acts.
var service = models.Actor{ID: "service", Name: "drylag", Login: "drylag", Role: models.Admin, All: true}

// Keep looks after the record between people's acts: each day, and when somebody
// asks for it, every cover is scored afresh, pending scores are worked out, and
// the newest backup is never
// older than a day. One failing does not keep the others from being tried.
// Calls wait for each other.
func (r *Register) Keep(ctx context.Context) error {
	r.keeper.mu.Lock()
	defer r.keeper.mu.Unlock()
	return errors.Join(r.keepScores(ctx), r.keepBackup(ctx))
}

func (r *Register) keepScores(ctx context.Context) error {
	today := models.DateOf(r.Now(), time.UTC)
	cause, asked := r.pass.wanted()
	if today == r.keeper.scored && !asked {
		return r.keepLearning(ctx)
	}
	if !asked {
		cause = "new day"
	}
	scoring := r.pass.begin(ctx, cause, r.Now())
	if err := r.pass.end(r.Rescore(scoring, cause, r.pass.progress), r.Now()); err != nil {
		return err
	}
	r.keeper.scored = today
	return nil
}

func (r *Register) keepBackup(ctx context.Context) error {
	list, err := r.Backups(ctx, service)
	if err != nil {
		return err
	}
	if len(list) > 0 && r.Now().Sub(list[0].At) < backupEvery {
		return nil
	}
	_, err = r.Backup(ctx, service)
	return err
}
