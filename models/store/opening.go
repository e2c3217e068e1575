package store

import (
	"context"
	"time"

	"drylag/models"
)

type openingRow struct {
	ID         models.ID `gorm:"primaryKey"`
	Root       models.ID `gorm:"column:root_id"`
	Version    int
	Reason     string
	Outcome    string
	Cover      models.ID   `gorm:"column:cover_id"`
	Building   models.ID   `gorm:"column:building_id"`
	On         models.Date `gorm:"column:day"`
	EnteredAt  time.Time   `gorm:"serializer:millis"`
	OpenedBy   string
	Recorder   models.ID `gorm:"column:recorder_id"`
	Amends     string
	NotOpened  string
	Drips      *bool
	Label      *bool
	Places     []models.PlaceFinding `gorm:"-"`
	Moisture   string
	WaterClock *float64
	WaterShare *float64
	Blanket    string
	Mold       *bool
	Stain      string
	Metal      models.MetalFinding       `gorm:"embedded;embeddedPrefix:metal_"`
	Readings   []models.ThicknessReading `gorm:"-"`
	Dried      string
	Prepared   string
	Coated     string
	FilmUM     *float64 `gorm:"column:film_um"`
	Cured      *bool
	Closing    models.Closing  `gorm:"embedded;embeddedPrefix:closing_"`
	Materials  models.Materiel `gorm:"embedded;embeddedPrefix:used_"`
	Note       string
}

// TableName is the table of these rows.
func (openingRow) TableName() string { return "openings" }

// openingFacts are the columns that charts count.
type openingFacts struct {
	Answered bool
	Wet      bool
	Bared    bool
	Ri       *int
	AreaPct  *float64
	Quarter  string
}

// Derived is what the caller worked out from an opening for lists and charts:
// the rust grade and rusted area on the scales that it may not have been
// recorded on. nil is not known.
type Derived struct {
	Ri      *int     // 0 to 5
	AreaPct *float64 // percent
}

// Opening gives one version of an opening by its id, Missing if there is none.
func (r Reader) Opening(ctx context.Context, id models.ID) (models.Opening, error) {
	return one(r.openings(ctx, "openings", "id = ?", id))("opening")
}

// OpeningNow gives the current version of the opening with this root.
func (r Reader) OpeningNow(ctx context.Context, root models.ID) (models.Opening, error) {
	return one(r.openings(ctx, "openings_now", "root_id = ?", root))("opening")
}

// Openings gives the current versions of a cover's openings, oldest first.
func (r Reader) Openings(ctx context.Context, cover models.ID) ([]models.Opening, error) {
	return r.openings(ctx, "openings_now", "cover_id = ?", cover)
}

// OpeningVersions gives every version of one opening, oldest first.
func (r Reader) OpeningVersions(ctx context.Context, root models.ID) ([]models.Opening, error) {
	return r.openings(ctx, "openings", "root_id = ?", root)
}

// openings loads openings with their places and readings in three queries.
// table and where are fixed texts.
func (r Reader) openings(ctx context.Context, table, where string, arg any) ([]models.Opening, error) {
	var rows []openingRow
	err := r.on(ctx).Table(table).Where(where, arg).Order("day, root_id, version").Find(&rows).Error
	if err != nil {
		return nil, storeError("opening", err)
	}
	found := convert(rows, func(o openingRow) models.Opening { return models.Opening(o) })
	at := make(map[models.ID]*models.Opening, len(found))
	ids := make([]models.ID, len(found))
	for i := range found {
		ids[i] = found[i].ID
		at[ids[i]] = &found[i]
	}
	for start := 0; start < len(ids); start += chunk {
		if err := r.fillOpenings(ctx, ids[start:min(start+chunk, len(ids))], at); err != nil {
			return nil, err
		}
	}
	return found, nil
}

// fillOpenings adds places and readings.
func (r Reader) fillOpenings(ctx context.Context, ids []models.ID, at map[models.ID]*models.Opening) error {
	var places []openingPlaceRow
	err := r.on(ctx).Where("opening_id IN ?", ids).Order("opening_id, position").Find(&places).Error
	if err != nil {
		return storeError("opening", err)
	}
	for _, p := range places {
		o := at[p.Opening]
		o.Places = append(o.Places, models.PlaceFinding{Place: p.Place, Found: p.Found, Left: p.Left})
	}
	var readings []readingRecord
	err = r.on(ctx).Where("opening_id IN ?", ids).Order("opening_id, position").Find(&readings).Error
	if err != nil {
		return storeError("reading", err)
	}
	for _, x := range readings {
		o := at[x.Row.Opening]
		o.Readings = append(o.Readings, models.ThicknessReading(x.Row))
	}
	return nil
}

// one takes the single element of a list, Missing if there is none.
func one[T any](list []T, err error) func(noun string) (T, error) {
	return func(noun string) (T, error) {
		var none T
		if err == nil && len(list) == 0 {
			err = missing(noun)
		}
		if err != nil {
			return none, err
		}
		return list[0], nil
	}
}
