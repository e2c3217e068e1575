package store

import (
	"context"

	"drylag/models"
)

// CoverKey is by what a file names a cover: where it is, its tag, its label.
type CoverKey struct {
	ID    models.ID
	Room  models.ID
	Tag   string // in lower case
	Label string
}

// CoverKeys gives the keys of a building's covers in walking order; a room
// narrows to its covers.
func (r Reader) CoverKeys(ctx context.Context, building, room models.ID) ([]CoverKey, error) {
	q := r.on(ctx).Table("covers").Select("id, room_id AS room, tag_key AS tag, label").Where("building_id = ?", building)
	if room != models.None {
		q = q.Where("room_id = ?", room)
	}
	var keys []CoverKey
	err := q.Order("walk, id").Scan(&keys).Error
	return keys, storeError("cover", err)
}

// LabelOwners tells which cover has each of these labels, by the label in lower
// case; labels that no cover has are left out. At most some thousands.
func (r Reader) LabelOwners(ctx context.Context, labels []string) (map[string]models.ID, error) {
	owners := map[string]models.ID{}
	if len(labels) == 0 {
		return owners, nil
	}
	var rows []struct {
		ID       models.ID
		LabelKey string
	}
	err := r.on(ctx).Raw(`SELECT id, label_key FROM covers WHERE label_key <> '' AND label_key IN ?`, convert(labels, lower)).Scan(&rows).Error
	for _, x := range rows {
		owners[x.LabelKey] = x.ID
	}
	return owners, storeError("cover", err)
}

// EarlierOf gives the records from before drylag of these covers, by cover.
func (r Reader) EarlierOf(ctx context.Context, covers []models.ID) (map[models.ID][]models.EarlierRecord, error) {
	return r.earlierOf(ctx, covers)
}

// ReadingsOf gives the wall readings of these covers as Readings does, by cover.
func (r Reader) ReadingsOf(ctx context.Context, covers []models.ID) (map[models.ID][]models.ThicknessReading, error) {
	return r.readingsOf(ctx, covers)
}

// AddSheets inserts new covers, each on a new component of its own, in a few
// statements. Every sheet needs its room, building and ids; the answer of
// PutSheet for one of them would be the same. At most a few hundred.
func (t *Tx) AddSheets(ctx context.Context, sheets []models.CoverSheet) error {
	if len(sheets) == 0 {
		return nil
	}
	components := convert(sheets, func(s models.CoverSheet) componentRow { return componentRow(s.Component) })
	if err := t.on(ctx).Create(&components).Error; err != nil {
		return storeError("component", err)
	}
	covers := convert(sheets, func(s models.CoverSheet) coverInsert {
		s.Cover.Version = 1
		return coverInsert{coverRow(s.Cover), placeOf(s)}
	})
	return storeError("cover", t.on(ctx).Table("covers").Create(&covers).Error)
}

// coverInsert is a new cover's row with its copies of where it is.
type coverInsert struct {
	Row   coverRow   `gorm:"embedded"`
	Place coverPlace `gorm:"embedded"`
}
