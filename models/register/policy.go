package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// Policy is the organization's constants of judgement.
func (r *Register) Policy(ctx context.Context, a models.Actor) (models.Policy, error) {
	if err := a.May(models.ActRead); err != nil {
		return models.Policy{}, err
	}
	return r.store.Policy(ctx)
}

// SavePolicy changes them; the keeper is woken to score every cover afresh. Only
// an actor who sees all buildings may. Version is
// the one that was looked at; it is 0 until somebody has changed the policy.
func (r *Register) SavePolicy(ctx context.Context, a models.Actor, p models.Policy) (saved models.Policy, err error) {
	if err := a.May(models.ActPolicy); err != nil {
		return saved, err
	}
	if !a.All {
		return saved, models.Errorf(models.Denied, "The policy holds for all buildings: only somebody who sees them all may change it.")
	}
	if err := p.Validate(); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.Policy(ctx)
		if err != nil {
			return err
		}
		if saved, err = tx.PutPolicy(ctx, p); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "policy changed", "policy", models.None, models.None, changes(old, saved)))
	})
	if err == nil {
		r.pass.ask("policy")
	}
	return saved, err
}
