package store

import (
	"context"

	"drylag/models"
)

// Unanswered gives the events of an act about things for which none of the
// answering acts has come since, oldest first. It looks at the whole log.
func (r Reader) Unanswered(ctx context.Context, scope *[]models.ID, act string, answers []string) ([]models.Event, error) {
	q := inScope(r.on(ctx), "building_id", scope).Where("act = ?", act).
		Where("NOT EXISTS (SELECT 1 FROM events a WHERE a.of_id = events.of_id AND a.seq > events.seq AND a.act IN ?)", answers)
	var rows []eventRow
	err := q.Order("seq").Find(&rows).Error
	return convert(rows, func(e eventRow) models.Event { return models.Event(e) }), storeError("event", err)
}
