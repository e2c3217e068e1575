package register

import (
	"context"

	"drylag/models"
)

// Receipt tells what a record did. The record is stored when a Receipt comes
// back, whatever became of the score.
type Receipt struct {
	ID      models.ID // of the version stored
	Cover   models.ID
	Again   bool                // the same record had been stored before
	Pending bool                // the score could not be worked out: "score pending"
	Before  *models.ScoreChange // the score before, nil: none
	After   *models.ScoreChange // the score after, nil while pending
	State   models.CoverState   // of the cover after the record

	Asked  []models.FollowUp // follow-ups this record opened
	Closed []models.FollowUp // follow-ups this record closed
}

// RecordOpening stores one opening, with the room's air if it was read (air may
// be nil). o.ID is a UUID made where the record was begun. The same ID with the
// same content again gives the same receipt with Again set; with other content
// it is Invalid. Building, recorder, version and time of entry are set here.
func (r *Register) RecordOpening(ctx context.Context, a models.Actor, o models.Opening, air *models.RoomReading) (Receipt, error) {
	return Receipt{}, errUnfinished
}

// Opening is the current version of an opening, by the ID of any version, with
// its cover's sheet.
func (r *Register) Opening(ctx context.Context, a models.Actor, id models.ID) (models.Opening, models.CoverSheet, error) {
	return models.Opening{}, models.CoverSheet{}, errUnfinished
}

// OpeningVersions are all versions of an opening, oldest first.
func (r *Register) OpeningVersions(ctx context.Context, a models.Actor, id models.ID) ([]models.Opening, error) {
	return nil, errUnfinished
}

// AmendOpening stores a further version of an opening; the ones before stay.
// o.ID is the new version's own UUID, o.Root the opening, o.Version the version
// that it replaces (Stale if that is not the last), o.Amends the reason.
// Inspectors amend only openings that they recorded.
func (r *Register) AmendOpening(ctx context.Context, a models.Actor, o models.Opening) (Receipt, error) {
	return Receipt{}, errUnfinished
}

// RecordLook stores a look from outside. It never moves the opening clock.
func (r *Register) RecordLook(ctx context.Context, a models.Actor, l models.Look) (Receipt, error) {
	return Receipt{}, errUnfinished
}
