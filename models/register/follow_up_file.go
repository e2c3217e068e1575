package register

import (
	"context"

	"drylag/models"
)

// FollowUpFile is one follow-up with its cover and the records that may close it.
type FollowUpFile struct {
	FollowUp models.FollowUp
	Sheet    models.CoverSheet
	Records  []models.HistoryItem // openings and looks since it was asked for, newest first
}

// FollowUpFile is everything about a follow-up.
func (r *Register) FollowUpFile(ctx context.Context, a models.Actor, id models.ID) (file FollowUpFile, err error) {
	if err := a.May(models.ActRead); err != nil {
		return file, err
	}
	f, err := r.store.FollowUp(ctx, id)
	if err != nil || !a.Sees(f.Building) {
		return file, orMissing(err, "follow-up")
	}
	file.FollowUp = f
	if file.Sheet, err = r.store.Sheet(ctx, f.Cover); err != nil {
		return file, err
	}
	history, err := r.history(ctx, f.Cover)
	asked := askedOn(f, dayIn(file.Sheet.Building))
	for _, h := range history {
		record := models.None
		switch {
		case h.Opening != nil:
			record = h.Opening.Root
		case h.Look != nil:
			record = h.Look.ID
		}
		if record != models.None && record != f.From && h.On >= asked {
			file.Records = append(file.Records, h)
		}
	}
	return file, err
}
