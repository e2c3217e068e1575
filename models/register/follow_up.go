package register

import (
	"context"

	"drylag/models"
)

// FollowUpFilter narrows a list of follow-ups. Empty fields do not narrow.
type FollowUpFilter struct {
	Building models.ID
	Cover    models.ID
	Kind     string // models.FollowUpKinds
	Closed   bool   // closed ones too
	Limit    int    // 0: 200
}

// FollowUpRow is one follow-up with the cover it is about.
type FollowUpRow struct {
	models.FollowUp
	Tag, Title   string // of the component
	Room         models.ID
	RoomName     string
	BuildingName string
}

// FollowUps lists what findings still need, the earliest day first.
func (r *Register) FollowUps(ctx context.Context, a models.Actor, f FollowUpFilter) ([]FollowUpRow, error) {
	return nil, errUnfinished
}

// OpenFollowUp opens a follow-up by hand; Kind, Cover, Why and By are the caller's.
func (r *Register) OpenFollowUp(ctx context.Context, a models.Actor, f models.FollowUp) (models.FollowUp, error) {
	return models.FollowUp{}, errUnfinished
}

// CloseFollowUp closes a follow-up by an opening or look of the same cover made
// since it was opened; why says how the record answers it.
func (r *Register) CloseFollowUp(ctx context.Context, a models.Actor, id, record models.ID, why string) (models.FollowUp, error) {
	return models.FollowUp{}, errUnfinished
}

// PutOff puts the due dates of covers off, each once, at most
// models.MaxDeferralDays, all with one reason. It gives the covers whose date
// moved; one that may not be put off again fails the whole act and is named.
func (r *Register) PutOff(ctx context.Context, a models.Actor, covers []models.ID, until models.Date, reason string) ([]models.ID, error) {
	return nil, errUnfinished
}
