package store

import (
	"context"
	"time"

	"drylag/models"

	"gorm.io/gorm/clause"
)

type calendarRow struct {
	ID        models.ID `gorm:"primaryKey"`
	Owner     models.ID `gorm:"column:owner_id"`
	Building  models.ID `gorm:"column:building_id;serializer:null"`
	Hash      string
	CreatedAt time.Time `gorm:"serializer:millis;autoCreateTime:false"`
	LastRead  time.Time `gorm:"serializer:millis"`
	Revoked   bool
}

// TableName is the table of these rows.
func (calendarRow) TableName() string { return "calendars" }

// Calendars gives a person's calendar addresses, revoked ones too, the newest
// first.
func (r Reader) Calendars(ctx context.Context, owner models.ID) ([]models.Calendar, error) {
	var rows []calendarRow
	err := r.on(ctx).Where("owner_id = ?", owner).Order("created_at DESC, id DESC").Find(&rows).Error
	return convert(rows, func(c calendarRow) models.Calendar { return models.Calendar(c) }), storeError("calendar", err)
}

// CalendarByHash gives the calendar of a secret by the secret's SHA-256,
// Missing if there is none or it is revoked.
func (r Reader) CalendarByHash(ctx context.Context, hash string) (models.Calendar, error) {
	var row calendarRow
	err := r.on(ctx).Take(&row, "hash = ? AND NOT revoked", hash).Error
	return models.Calendar(row), storeError("calendar", err)
}

// PutCalendar keeps a new calendar address, or when one was last read: nothing
// else of a stored one changes.
func (t *Tx) PutCalendar(ctx context.Context, c models.Calendar) error {
	row := calendarRow(c)
	err := t.on(ctx).Clauses(clause.OnConflict{Columns: []clause.Column{{Name: "id"}}, DoUpdates: clause.AssignmentColumns([]string{"last_read"})}).
		Create(&row).Error
	return storeError("calendar", err)
}

// RevokeCalendar ends a person's own calendar address for ever; any other is
// Missing.
func (t *Tx) RevokeCalendar(ctx context.Context, owner, id models.ID) error {
	res := t.on(ctx).Exec("UPDATE calendars SET revoked = 1 WHERE id = ? AND owner_id = ?", id, owner)
	if res.Error == nil && res.RowsAffected == 0 {
		return missing("calendar")
	}
	return storeError("calendar", res.Error)
}
