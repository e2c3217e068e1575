package store

import (
	"context"
	"syscall"

	"drylag/models"
)

// leastFree is the room on disk below which the store calls itself not ready:
// text records still fit, so that nobody on a ladder is turned away at once.
const leastFree = 64 << 20

// Ready tells whether a write would succeed now: the database answers, its
// guards hold, and its disk has room.
func (s *Store) Ready(ctx context.Context) error {
	var disk syscall.Statfs_t
	if err := syscall.Statfs(s.cfg.Dir, &disk); err != nil {
		return diskError(s.cfg.Dir, err)
	}
	if free := uint64(disk.Bavail) * uint64(disk.Bsize); free < leastFree {
		return models.Errorf(models.Full, "The disk of the data folder has only %d MB left.", free>>20)
	}
	return s.checkGuards(ctx)
}
