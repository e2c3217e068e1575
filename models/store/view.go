package store

import (
	"context"

	"drylag/models"
)

type savedViewRow struct {
	ID     models.ID `gorm:"primaryKey"`
	Owner  models.ID `gorm:"column:owner_id"`
	Name   string
	Query  string
	Shared bool
}

// TableName is the table of these rows.
func (savedViewRow) TableName() string { return "saved_views" }

// SavedViews gives the selections that a person has kept and those that others
// share, by name.
func (r Reader) SavedViews(ctx context.Context, owner models.ID) ([]models.SavedView, error) {
	var rows []savedViewRow
	err := r.on(ctx).Where("owner_id = ? OR shared", owner).Order("lower(name), id").Find(&rows).Error
	return convert(rows, func(v savedViewRow) models.SavedView { return models.SavedView(v) }), storeError("selection", err)
}

// PutSavedView keeps a selection, new or changed. It is Missing if the id is
// another person's, Conflict if the person has another one of that name.
func (t *Tx) PutSavedView(ctx context.Context, v models.SavedView) error {
	var owners []models.ID
	if err := t.on(ctx).Raw("SELECT owner_id FROM saved_views WHERE id = ?", v.ID).Scan(&owners).Error; err != nil {
		return storeError("selection", err)
	}
	row := savedViewRow(v)
	switch {
	case len(owners) == 0:
		return storeError("selection", t.on(ctx).Create(&row).Error)
	case owners[0] != v.Owner:
		return missing("selection")
	}
	return storeError("selection", t.on(ctx).Select("*").Updates(&row).Error)
}

// DeleteSavedView removes a person's own selection; any other is Missing.
func (t *Tx) DeleteSavedView(ctx context.Context, owner, id models.ID) error {
	res := t.on(ctx).Where("id = ? AND owner_id = ?", id, owner).Delete(&savedViewRow{})
	if res.Error == nil && res.RowsAffected == 0 {
		return missing("selection")
	}
	return storeError("selection", res.Error)
}
