package store

import (
	"context"
	"time"

	"drylag/models"
)

type lookRow struct {
	ID        models.ID   `gorm:"primaryKey"`
	Cover     models.ID   `gorm:"column:cover_id"`
	Building  models.ID   `gorm:"column:building_id"`
	On        models.Date `gorm:"column:day"`
	By        string      `gorm:"column:by_name"`
	InPlace   *bool
	Places    []models.PlaceFinding `gorm:"-"`
	Drips     *bool
	Port      string
	Note      string
	EnteredAt time.Time `gorm:"serializer:millis"`
	Recorder  models.ID `gorm:"column:recorder_id"`
}

// TableName is the table of these rows.
func (lookRow) TableName() string { return "looks" }

type lookPlaceRow struct {
	Look     models.ID    `gorm:"column:look_id;primaryKey"`
	Position int          `gorm:"primaryKey;autoIncrement:false"`
	Place    models.Place `gorm:"column:place"`
	Found    models.Found `gorm:"column:as_found"`
}

// TableName is the table of these rows.
func (lookPlaceRow) TableName() string { return "look_places" }

// Looks gives the looks at a cover, oldest first.
func (r Reader) Looks(ctx context.Context, cover models.ID) ([]models.Look, error) {
	return r.looks(ctx, "cover_id = ?", cover)
}

// Look gives one look, Missing if there is none.
func (r Reader) Look(ctx context.Context, id models.ID) (models.Look, error) {
	return one(r.looks(ctx, "id = ?", id))("look")
}

// looks loads looks with their places; where is a fixed text.
func (r Reader) looks(ctx context.Context, where string, arg any) ([]models.Look, error) {
	var rows []lookRow
	if err := r.on(ctx).Where(where, arg).Order("day, id").Find(&rows).Error; err != nil {
		return nil, storeError("look", err)
	}
	found := convert(rows, func(l lookRow) models.Look { return models.Look(l) })
	at := make(map[models.ID]*models.Look, len(found))
	ids := make([]models.ID, len(found))
	for i := range found {
		ids[i] = found[i].ID
		at[ids[i]] = &found[i]
	}
	for start := 0; start < len(ids); start += chunk {
		var places []lookPlaceRow
		err := r.on(ctx).Where("look_id IN ?", ids[start:min(start+chunk, len(ids))]).
			Order("look_id, position").Find(&places).Error
		if err != nil {
			return nil, storeError("look", err)
		}
		for _, p := range places {
			at[p.Look].Places = append(at[p.Look].Places, models.PlaceFinding{Place: p.Place, Found: p.Found})
		}
	}
	return found, nil
}

// AddLook stores a look and marks the cover's score stale. Sent again it is as
// in AddOpening.
func (t *Tx) AddLook(ctx context.Context, l models.Look) (again bool, err error) {
	have, err := t.looks(ctx, "id = ?", l.ID)
	if err != nil {
		return false, err
	}
	if len(have) > 0 {
		return sameContent("look", lookContent(have[0]), lookContent(l))
	}
	row := lookRow(l)
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return false, storeError("look", err)
	}
	for i, p := range l.Places {
		row := lookPlaceRow{l.ID, i, p.Place, p.Found}
		if err := t.on(ctx).Create(&row).Error; err != nil {
			return false, storeError("look", err)
		}
	}
	return false, t.MarkStale(ctx, l.Cover)
}

// lookContent is what the person said, without what the service sets.
func lookContent(l models.Look) models.Look {
	l.Building, l.EnteredAt, l.Recorder = "", time.Time{}, ""
	places := make([]models.PlaceFinding, 0, len(l.Places))
	for _, p := range l.Places {
		places = append(places, models.PlaceFinding{Place: p.Place, Found: p.Found})
	}
	l.Places = places
	return l
}
