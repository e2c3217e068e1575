package register

import (
	"context"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/store"
)

// Rounds lists the rounds that touch the actor's buildings, the one that begins
// last first, without their stops. Drafts and withdrawn rounds are for who may
// plan; a crew sees its published rounds only.
func (r *Register) Rounds(ctx context.Context, a models.Actor) ([]models.Round, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	list, err := r.store.Rounds(ctx, scopeOf(a), statesFor(a)...)
	if err != nil {
		return nil, err
	}
	for i := range list {
		cutRound(a, &list[i])
	}
	return list, nil
}

// statesFor are the states of rounds that a role sees, none for all of them.
func statesFor(a models.Actor) []models.RoundState {
	switch {
	case models.May(a.Role, models.ActRound):
		return nil
	case a.Role == models.Crew:
		return []models.RoundState{models.RoundPublished}
	}
	return []models.RoundState{models.RoundPublished, models.RoundClosed}
}

// roundSeen reads a round that the actor may see: of his role's states, with at
// least one building in scope. It is not cut yet.
func roundSeen(ctx context.Context, rd store.Reader, a models.Actor, id models.ID) (models.Round, error) {
	rn, err := rd.Round(ctx, id)
	if err != nil {
		return models.Round{}, err
	}
	states := statesFor(a)
	if len(states) > 0 && !slices.Contains(states, rn.State) || !slices.ContainsFunc(rn.Order.Buildings, a.Sees) {
		return models.Round{}, missing("round")
	}
	return rn, nil
}

// roundOwn reads a round for an act on it: all of its buildings must be the
// actor's, and its state one of those wanted.
func roundOwn(ctx context.Context, rd store.Reader, a models.Actor, id models.ID, states ...models.RoundState) (models.Round, error) {
	rn, err := roundSeen(ctx, rd, a, id)
	if err != nil {
		return models.Round{}, err
	}
	if !sees(a, rn.Order.Buildings) {
		return models.Round{}, models.Errorf(models.Denied, "This round goes to buildings that are not yours: somebody who sees them all can change it.")
	}
	if len(states) > 0 && !slices.Contains(states, rn.State) {
		return models.Round{}, models.Errorf(models.Conflict, "This round is %s: that can no longer be done.", models.RoundStates.Say(string(rn.State)))
	}
	return rn, nil
}

// sees tells whether all buildings are the actor's.
func sees(a models.Actor, buildings []models.ID) bool {
	return !slices.ContainsFunc(buildings, func(b models.ID) bool { return !a.Sees(b) })
}

// cutRound takes out of a round what names other buildings' covers. It tells
// whether nothing had to go.
func cutRound(a models.Actor, rn *models.Round) bool {
	if sees(a, rn.Order.Buildings) {
		return true
	}
	o := &rn.Order
	o.Buildings = kept(o.Buildings, a.Sees)
	o.Travel = kept(o.Travel, func(p models.RoundPlace) bool { return a.Sees(p.ID) })
	o.SetUp = nil // of rooms, which could be anybody's
	o.Pins = kept(o.Pins, func(p models.RoundPin) bool { return a.Sees(p.Building) })
	rn.Stops = kept(rn.Stops, func(s models.RoundStop) bool { return a.Sees(s.Building) })
	own := map[models.ID]bool{}
	for _, s := range rn.Stops {
		own[s.Cover] = true
	}
	o.Windows = slices.Clone(o.Windows)
	for i := range o.Windows {
		o.Windows[i].Covers = kept(o.Windows[i].Covers, func(c models.ID) bool { return own[c] })
	}
	if rn.Result != nil {
		cut := cutResult(a, *rn.Result)
		rn.Result = &cut
	}
	return false
}

// cutResult is a plan's result without other buildings' covers.
func cutResult(a models.Actor, res models.RoundResult) models.RoundResult {
	res.LeftOut = kept(res.LeftOut, func(l models.LeftOut) bool { return a.Sees(l.Building) })
	if res.Account == nil {
		return res
	}
	acc := *res.Account
	own := func(l models.AccountLine) bool { return a.Sees(l.Building) }
	acc.Skipped, acc.Left, acc.Replaced = kept(acc.Skipped, own), kept(acc.Left, own), kept(acc.Replaced, own)
	res.Account = &acc
	return res
}

// kept are the elements that pass, in a list of their own.
func kept[T any](list []T, ok func(T) bool) []T {
	out := make([]T, 0, len(list))
	for _, x := range list {
		if ok(x) {
			out = append(out, x)
		}
	}
	return out
}

// SaveRound adds a draft (Version 0) or changes the name and the order of one:
// Stale if it was changed meanwhile. An order that asks for something else than
// the plan was made for takes the plan away.
func (r *Register) SaveRound(ctx context.Context, a models.Actor, rn models.Round) (saved models.Round, err error) {
	if err := a.May(models.ActRound); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		next, old, err := r.draft(ctx, tx, a, rn)
		if err != nil {
			return err
		}
		next.Name = strings.TrimSpace(rn.Name)
		if next.Order, err = r.checkOrder(ctx, tx, a, old.Order, rn.Order); err != nil {
			return err
		}
		if err := next.Validate(); err != nil {
			return err
		}
		if jsonOf(next.Order) != jsonOf(old.Order) {
			next.Result, next.Stops, next.Fit = nil, nil, ""
		}
		if saved, err = tx.PutRound(ctx, next); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, savedAct(old), "round", saved.ID, models.None, changes(orderOf(old), orderOf(saved))))
	})
	return saved, err
}

// draft is the round to be written, from what is stored or begun afresh, and
// what was stored.
func (r *Register) draft(ctx context.Context, tx *store.Tx, a models.Actor, rn models.Round) (next, old models.Round, err error) {
	if rn.Version != 0 {
		old, err = roundOwn(ctx, tx.Reader, a, rn.ID, models.RoundDraft)
		next = old
		next.Version = rn.Version
		return next, old, err
	}
	if rn.ID == models.None {
		rn.ID = r.newID()
	}
	have, err := known(second(tx.Round(ctx, rn.ID)))
	if err != nil || have {
		return next, old, orNeedsVersion(err)
	}
	return models.Round{ID: rn.ID, State: models.RoundDraft, By: a.ID, ByName: a.Name, CreatedAt: r.Now()}, old, nil
}

func second[T any](_ T, err error) error { return err }

func orNeedsVersion(err error) error {
	if err != nil {
		return err
	}
	return needVersion("round", 0)
}

func savedAct(old models.Round) string {
	if old.Version == 0 {
		return "round begun"
	}
	return "round changed"
}

// orderOf is what the log keeps of a round: no free text but its name.
func orderOf(rn models.Round) any {
	return struct {
		Name  string
		State models.RoundState
		Order models.RoundOrder
	}{rn.Name, rn.State, rn.Order}
}
