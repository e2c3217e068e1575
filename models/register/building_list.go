package register

import (
	"context"
	"fmt"

	"drylag/models"
	"drylag/models/risk"
)

// Buildings lists the actor's buildings with the owner's numbers, by name.
// Money is left out for who may not see trends.
func (r *Register) Buildings(ctx context.Context, a models.Actor) ([]models.BuildingNumbers, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	list, err := r.numbers(ctx, a, scopeOf(a))
	if a.May(models.ActTrend) != nil {
		for i := range list {
			list[i].Clear.Money = nil
		}
	}
	return list, err
}

// numbers are the owner's numbers of buildings, with tape and money.
func (r *Register) numbers(ctx context.Context, a models.Actor, scope *[]models.ID) ([]models.BuildingNumbers, error) {
	dueBy, err := r.roundEnd(ctx, a)
	if err != nil {
		return nil, err
	}
	list, err := r.store.Numbers(ctx, scope, dueBy)
	if err != nil {
		return nil, err
	}
	due, err := r.store.DueSizes(ctx, scope, dueBy)
	if err != nil {
		return nil, err
	}
	tape := map[models.ID]float64{}
	for _, s := range due {
		again, err := risk.Reclosing(s, risk.Remake{})
		if err != nil {
			return nil, fmt.Errorf("tape of cover %s: %w", s.Cover.ID, err)
		}
		tape[s.Building.ID] += again.TapeM.Value
	}
	for i := range list {
		list[i].Clear = priced(list[i].Clear, tape[list[i].Building.ID], list[i].Building)
	}
	return list, nil
}

// priced adds tape, and money where the building's own rates are known.
func priced(c models.Clearance, tape float64, b models.Building) models.Clearance {
	c.TapeM = tape
	if b.LaborRate != nil && b.TapePrice != nil {
		money := c.Hours**b.LaborRate + tape**b.TapePrice
		c.Money = &money
	}
	return c
}

// roundEnd is the last day of the span that counts as this round.
func (r *Register) roundEnd(ctx context.Context, a models.Actor) (models.Date, error) {
	p, err := r.store.Policy(ctx)
	if err != nil {
		return "", err
	}
	today, err := r.todayOf(ctx, a)
	return today.AddDays(p.RoundDays), err
}

// todayOf is the day it is in the actor's first building by name, in UTC where
// he has none: one day for lists that span buildings.
func (r *Register) todayOf(ctx context.Context, a models.Actor) (models.Date, error) {
	list, err := r.store.Buildings(ctx, scopeOf(a))
	if err != nil {
		return "", err
	}
	if len(list) == 0 {
		return r.Today(models.Building{}), nil
	}
	return r.Today(list[0]), nil
}

// Rooms lists a building's rooms in walking order with their counts.
func (r *Register) Rooms(ctx context.Context, a models.Actor, id models.ID) ([]models.RoomRow, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	if _, err := building(ctx, r.store.Reader, a, id); err != nil {
		return nil, err
	}
	dueBy, err := r.roundEnd(ctx, a)
	if err != nil {
		return nil, err
	}
	return r.store.RoomRows(ctx, id, dueBy)
}

// Trend is a building over the years, in numbers and in sentences.
func (r *Register) Trend(ctx context.Context, a models.Actor, id models.ID) (t models.BuildingTrend, err error) {
	if err := a.May(models.ActTrend); err != nil {
		return t, err
	}
	if _, err := building(ctx, r.store.Reader, a, id); err != nil {
		return t, err
	}
	numbers, err := r.numbers(ctx, a, &[]models.ID{id})
	if err != nil || len(numbers) == 0 {
		return t, orMissing(err, "building")
	}
	t.Numbers = numbers[0]
	if t.Quarters, err = r.store.WetByQuarter(ctx, id); err != nil {
		return t, err
	}
	for i, q := range t.Quarters {
		t.Quarters[i].Share = wilson(q.Wet, q.Opened)
	}
	if t.Years, err = r.store.GradesByYear(ctx, id); err != nil {
		return t, err
	}
	if t.Places, err = r.store.PlaceCounts(ctx, id); err != nil {
		return t, err
	}
	t.Sentences = trendSentences(t, a.Units)
	return t, nil
}

// BuildingNames lists the buildings that the actor sees, by name, for choosing one.
func (r *Register) BuildingNames(ctx context.Context, a models.Actor) ([]models.Building, error) {
	if err := a.May(models.ActRead); err != nil {
		return nil, err
	}
	return r.store.Buildings(ctx, scopeOf(a))
}
