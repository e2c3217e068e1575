package register

import (
	"context"

	"drylag/models"
)

// Covers is one page of the covers that match the filter, within the actor's
// buildings.
func (r *Register) Covers(ctx context.Context, a models.Actor, f models.CoverFilter) (models.CoverPage, error) {
	return models.CoverPage{}, errUnfinished
}

// Cover is one cover with the component, room, loop and building it stands on.
func (r *Register) Cover(ctx context.Context, a models.Actor, id models.ID) (models.CoverSheet, error) {
	return models.CoverSheet{}, errUnfinished
}

// CoverByLabel finds a cover by the code printed on it.
func (r *Register) CoverByLabel(ctx context.Context, a models.Actor, label string) (models.CoverSheet, error) {
	return models.CoverSheet{}, errUnfinished
}

// CoverFile is everything the record holds about one cover.
func (r *Register) CoverFile(ctx context.Context, a models.Actor, id models.ID) (models.CoverFile, error) {
	return models.CoverFile{}, errUnfinished
}

// SaveCover adds a cover with its component (Cover.Version 0) or changes them.
// The building and room must be in the actor's scope, the loop in that building.
// State and OffSince of a cover that is there change only by records, except
// that planned, replaced and retired may be set.
func (r *Register) SaveCover(ctx context.Context, a models.Actor, s models.CoverSheet) (models.CoverSheet, error) {
	return models.CoverSheet{}, errUnfinished
}
