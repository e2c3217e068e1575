package register

import (
	"context"
	"math"
	"slices"

	"drylag/models"
	"drylag/models/seal"
	"drylag/models/store"
)

// PriorFile is the expert's judgement in force and how it came about.
type PriorFile struct {
	Version int // 0: what ships
	Rows    []PriorLine
	Sets    []models.PriorSet // newest first
}

// PriorLine is what is believed of one column, beside what ships.
type PriorLine struct {
	models.PriorRow
	ShipMean, ShipSD float64
}

// Changed tells whether somebody changed the line.
func (l PriorLine) Changed() bool {
	return math.Abs(l.Mean-l.ShipMean) > 1e-12 || math.Abs(l.SD-l.ShipSD) > 1e-12
}

// Priors is the expert's judgement behind the wetness model.
func (r *Register) Priors(ctx context.Context, a models.Actor) (PriorFile, error) {
	var f PriorFile
	if err := a.May(models.ActTrend); err != nil {
		return f, err
	}
	sets, err := r.store.PriorSets(ctx)
	if err != nil {
		return f, err
	}
	f.Sets = sets
	var set models.PriorSet
	if len(sets) > 0 {
		set = sets[0]
	}
	f.Version = set.Version
	now := priorOf(set)
	for i, c := range seal.Default().Columns {
		f.Rows = append(f.Rows, PriorLine{models.PriorRow{Column: c.Name, Mean: now.Columns[i].Mean, SD: now.Columns[i].SD}, c.Mean, c.SD})
	}
	return f, nil
}

// SavePriors keeps the expert's judgement as a further version: set.Version is
// the one that was looked at, its Rows what differs from what ships, none of
// them: back to what ships. The keeper is asked to learn afresh from them. Only an actor
// who sees all buildings may.
func (r *Register) SavePriors(ctx context.Context, a models.Actor, set models.PriorSet) (saved models.PriorSet, err error) {
	if err := a.May(models.ActPolicy); err != nil {
		return saved, err
	}
	if !a.All {
		return saved, models.Errorf(models.Denied, "The priors hold for all buildings: only somebody who sees them all may change them.")
	}
	if err := faultsOf(set.Validate(), knownColumns(set.Rows)); err != nil {
		return saved, err
	}
	set.By, set.ByName, set.At = a.ID, a.Name, r.Now()
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		if saved, err = tx.AddPriors(ctx, set); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "priors changed", "priors", models.None, models.None,
			map[string]any{"version": saved.Version, "why": saved.Why, "rows": saved.Rows}))
	})
	if err == nil {
		r.pass.ask("priors")
	}
	return saved, err
}

// knownColumns refuses a column that the model does not have, and one named twice.
func knownColumns(rows []models.PriorRow) error {
	var f models.Faults
	seen := map[string]bool{}
	for _, row := range rows {
		known := slices.ContainsFunc(seal.Default().Columns, func(c seal.Column) bool { return c.Name == row.Column })
		switch {
		case !known:
			f.Add("mean_"+row.Column, "is no factor of the model")
		case seen[row.Column]:
			f.Add("mean_"+row.Column, "is there twice")
		}
		seen[row.Column] = true
	}
	return f.Err()
}
