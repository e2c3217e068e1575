package store

import (
	"context"
	"time"

	"drylag/models"
)

type followUpRow struct {
	ID        models.ID `gorm:"primaryKey"`
	Cover     models.ID `gorm:"column:cover_id"`
	Building  models.ID `gorm:"column:building_id"`
	Kind      string
	Why       string
	From      models.ID   `gorm:"column:from_id;serializer:null"`
	By        models.Date `gorm:"column:by_day"`
	OpenedAt  time.Time   `gorm:"serializer:millis"`
	Opener    models.ID   `gorm:"column:opener_id"`
	ClosedBy  models.ID   `gorm:"column:closed_by;serializer:null"`
	ClosedAt  time.Time   `gorm:"serializer:millis"`
	ClosedWhy string
}

// TableName is the table of these rows.
func (followUpRow) TableName() string { return "follow_ups" }

type deferralRow struct {
	ID        models.ID   `gorm:"primaryKey"`
	Cover     models.ID   `gorm:"column:cover_id"`
	DueOn     models.Date `gorm:"column:due_on"`
	Until     models.Date `gorm:"column:until_day"`
	Reason    string
	By        models.ID `gorm:"column:by_id"`
	EnteredAt time.Time `gorm:"serializer:millis"`
}

// TableName is the table of these rows.
func (deferralRow) TableName() string { return "deferrals" }

// FollowUpFilter narrows a list of follow-ups. Empty fields do not narrow.
type FollowUpFilter struct {
	Cover    models.ID
	Building models.ID
	Kind     string
	OpenOnly bool
	Scope    *[]models.ID // buildings allowed; nil: all
	Limit    int          // 0: all
}

// FollowUps gives follow-ups, the earliest date first.
func (r Reader) FollowUps(ctx context.Context, f FollowUpFilter) ([]models.FollowUp, error) {
	q := inScope(r.on(ctx), "building_id", f.Scope)
	if f.Cover != models.None {
		q = q.Where("cover_id = ?", f.Cover)
	}
	if f.Building != models.None {
		q = q.Where("building_id = ?", f.Building)
	}
	if f.Kind != "" {
		q = q.Where("kind = ?", f.Kind)
	}
	if f.OpenOnly {
		q = q.Where("closed_at IS NULL")
	}
	if f.Limit > 0 {
		q = q.Limit(f.Limit)
	}
	var rows []followUpRow
	err := q.Order("by_day, id").Find(&rows).Error
	return convert(rows, func(x followUpRow) models.FollowUp { return models.FollowUp(x) }), storeError("follow-up", err)
}

// FollowUp gives one follow-up, Missing if there is none.
func (r Reader) FollowUp(ctx context.Context, id models.ID) (models.FollowUp, error) {
	var row followUpRow
	err := r.on(ctx).Take(&row, "id = ?", id).Error
	return models.FollowUp(row), storeError("follow-up", err)
}

// AddFollowUp stores a new follow-up and marks the cover's score stale.
func (t *Tx) AddFollowUp(ctx context.Context, f models.FollowUp) error {
	row := followUpRow(f)
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return storeError("follow-up", err)
	}
	return t.MarkStale(ctx, f.Cover)
}

// CloseFollowUp closes an open follow-up by the record that settles it and
// marks the cover's score stale. It is Conflict if it is already closed.
func (t *Tx) CloseFollowUp(ctx context.Context, id, record models.ID, at time.Time, why string) error {
	f, err := t.FollowUp(ctx, id)
	if err != nil {
		return err
	}
	if !f.Open() {
		return models.Errorf(models.Conflict, "This follow-up is already closed.")
	}
	f.ClosedBy, f.ClosedAt, f.ClosedWhy = record, at, why
	row := followUpRow(f)
	err = t.on(ctx).Model(&row).Select("closed_by", "closed_at", "closed_why").Updates(&row).Error
	if err != nil {
		return storeError("follow-up", err)
	}
	return t.MarkStale(ctx, f.Cover)
}

// Deferrals gives how a cover's due dates were put off, oldest first.
func (r Reader) Deferrals(ctx context.Context, cover models.ID) ([]models.Deferral, error) {
	byCover, err := r.deferralsOf(ctx, []models.ID{cover})
	return byCover[cover], err
}

func (r Reader) deferralsOf(ctx context.Context, covers []models.ID) (map[models.ID][]models.Deferral, error) {
	var rows []deferralRow
	err := r.on(ctx).Where("cover_id IN ?", covers).Order("cover_id, entered_at, id").Find(&rows).Error
	out := map[models.ID][]models.Deferral{}
	for _, x := range rows {
		out[x.Cover] = append(out[x.Cover], models.Deferral(x))
	}
	return out, storeError("deferral", err)
}

// AddDeferral stores that a due date is put off and marks the cover's score
// stale. Sent again it is as in AddOpening.
func (t *Tx) AddDeferral(ctx context.Context, d models.Deferral) (again bool, err error) {
	var have []deferralRow
	if err := t.on(ctx).Where("id = ?", d.ID).Find(&have).Error; err != nil {
		return false, storeError("deferral", err)
	}
	if len(have) > 0 {
		before := models.Deferral(have[0])
		before.EnteredAt, d.EnteredAt = time.Time{}, time.Time{}
		return sameContent("deferral", before, d)
	}
	row := deferralRow(d)
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return false, storeError("deferral", err)
	}
	return false, t.MarkStale(ctx, d.Cover)
}
