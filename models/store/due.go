package store

import (
	"context"

	"drylag/models"
)

// Unseen is a cover under which nobody has looked, with what its place in the
// first-look program hangs on.
type Unseen struct {
	ID       models.ID
	Worth    *float64 // as last scored, nil: not yet
	Reported bool
}

// NeverSeen gives a building's never-seen covers as last scored, and those not
// scored yet, in walking order.
func (r Reader) NeverSeen(ctx context.Context, building models.ID) ([]Unseen, error) {
	var list []Unseen
	err := r.on(ctx).Raw(`SELECT id, worth, due_rule = 'reported' AS reported FROM covers
		WHERE building_id = ? AND state IN ('in_place', 'off') AND condition IN ('never_seen', '') ORDER BY walk, id`, building).
		Scan(&list).Error
	return list, storeError("cover", err)
}

// DueSizes gives, of every cover in place or off that is due by a day, what an
// estimate of its closing needs: building, kind, size, connection, thickness,
// closure and penetrations. Everything else of the sheets is empty.
func (r Reader) DueSizes(ctx context.Context, scope *[]models.ID, dueBy models.Date) ([]models.CoverSheet, error) {
	var rows []struct {
		BuildingID   models.ID
		Kind         string
		NPS          *float64 `gorm:"column:nps"`
		Connection   string
		ThicknessMM  *float64 `gorm:"column:thickness_mm"`
		Closure      string
		Penetrations *int
	}
	q := r.on(ctx).Table("covers c").Joins("JOIN components p ON p.id = c.component_id").
		Select("c.building_id, p.kind, p.nps, p.connection, c.thickness_mm, c.closure, c.penetrations").
		Where("c.due_on <> '' AND c.due_on <= ? AND "+live, dueBy)
	err := inScope(q, "c.building_id", scope).Scan(&rows).Error
	sheets := make([]models.CoverSheet, len(rows))
	for i, x := range rows {
		sheets[i] = models.CoverSheet{
			Building:  models.Building{ID: x.BuildingID},
			Component: models.Component{Kind: x.Kind, NPS: x.NPS, Connection: x.Connection},
			Cover:     models.Cover{ThicknessMM: x.ThicknessMM, Closure: x.Closure, Penetrations: x.Penetrations},
		}
	}
	return sheets, storeError("cover", err)
}
