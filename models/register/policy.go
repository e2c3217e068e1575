package register

import (
	"context"

	"drylag/models"
)

// Policy is the organization's constants of judgement.
func (r *Register) Policy(ctx context.Context, a models.Actor) (models.Policy, error) {
	return models.Policy{}, errUnfinished
}

// SavePolicy changes them; every cover's score becomes stale. Only an actor who
// sees all buildings may.
func (r *Register) SavePolicy(ctx context.Context, a models.Actor, p models.Policy) (models.Policy, error) {
	return models.Policy{}, errUnfinished
}
