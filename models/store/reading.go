package store

import (
	"context"
	"time"

	"drylag/models"
)

type readingRow struct {
	ID         models.ID   `gorm:"primaryKey"`
	Cover      models.ID   `gorm:"column:cover_id"`
	Opening    models.ID   `gorm:"column:opening_id;serializer:null"`
	On         models.Date `gorm:"column:day"`
	Point      string
	Value      float64
	Unit       string
	Gauge      string
	CheckBlock *bool
	By         string    `gorm:"column:by_name"`
	EnteredAt  time.Time `gorm:"serializer:millis"`
	Recorder   models.ID `gorm:"column:recorder_id"`
}

type readingRecord struct {
	Row      readingRow `gorm:"embedded"`
	Position int
}

// TableName is the table of these rows.
func (readingRecord) TableName() string { return "thickness_readings" }

type roomReadingRow struct {
	ID        models.ID `gorm:"primaryKey"`
	Room      models.ID `gorm:"column:room_id"`
	At        time.Time `gorm:"serializer:millis"`
	TempC     float64   `gorm:"column:temp_c"`
	RH        *float64  `gorm:"column:rh"`
	DewPointC *float64  `gorm:"column:dew_point_c"`
	By        string    `gorm:"column:by_name"`
	EnteredAt time.Time `gorm:"serializer:millis"`
	Recorder  models.ID `gorm:"column:recorder_id"`
}

// TableName is the table of these rows.
func (roomReadingRow) TableName() string { return "room_readings" }

type earlierRow struct {
	ID     models.ID   `gorm:"primaryKey"`
	Cover  models.ID   `gorm:"column:cover_id"`
	On     models.Date `gorm:"column:day"`
	Answer string
	Dried  bool
	Note   string
}

// TableName is the table of these rows.
func (earlierRow) TableName() string { return "earlier_records" }

// Readings gives the wall readings of a cover's component, oldest first: those
// of current versions of openings and those read without an opening.
func (r Reader) Readings(ctx context.Context, cover models.ID) ([]models.ThicknessReading, error) {
	byCover, err := r.readingsOf(ctx, []models.ID{cover})
	return byCover[cover], err
}

func (r Reader) readingsOf(ctx context.Context, covers []models.ID) (map[models.ID][]models.ThicknessReading, error) {
	var rows []readingRecord
	err := r.on(ctx).Where("cover_id IN ?", covers).
		Where(`opening_id IS NULL OR EXISTS (SELECT 1 FROM openings_now o WHERE o.id = opening_id)`).
		Order("cover_id, day, entered_at, position, id").Find(&rows).Error
	out := map[models.ID][]models.ThicknessReading{}
	for _, x := range rows {
		out[x.Row.Cover] = append(out[x.Row.Cover], models.ThicknessReading(x.Row))
	}
	return out, storeError("reading", err)
}

// AddReading stores a wall reading made without an opening and marks the
// cover's score stale. Sent again it is as in AddOpening.
func (t *Tx) AddReading(ctx context.Context, x models.ThicknessReading) (again bool, err error) {
	clean := func(x models.ThicknessReading) models.ThicknessReading {
		x.EnteredAt, x.Recorder = time.Time{}, ""
		return x
	}
	var have []readingRecord
	if err := t.on(ctx).Where("id = ?", x.ID).Find(&have).Error; err != nil {
		return false, storeError("reading", err)
	}
	if len(have) > 0 {
		return sameContent("reading", clean(models.ThicknessReading(have[0].Row)), clean(x))
	}
	row := readingRecord{Row: readingRow(x)}
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return false, storeError("reading", err)
	}
	return false, t.MarkStale(ctx, x.Cover)
}

// RoomReadings gives the air of a room read by hand at or after an instant,
// oldest first.
func (r Reader) RoomReadings(ctx context.Context, room models.ID, since time.Time) ([]models.RoomReading, error) {
	var rows []roomReadingRow
	q := r.on(ctx).Where("room_id = ?", room)
	if !since.IsZero() {
		q = q.Where("at >= ?", since.UnixMilli())
	}
	err := q.Order("at, id").Find(&rows).Error
	return convert(rows, func(x roomReadingRow) models.RoomReading { return models.RoomReading(x) }), storeError("room reading", err)
}

// AddRoomReading stores the air of a room read by hand. Sent again it is as
// in AddOpening.
func (t *Tx) AddRoomReading(ctx context.Context, x models.RoomReading) (again bool, err error) {
	clean := func(x models.RoomReading) models.RoomReading {
		x.EnteredAt, x.Recorder, x.At = time.Time{}, "", x.At.UTC().Truncate(time.Millisecond)
		return x
	}
	var have []roomReadingRow
	if err := t.on(ctx).Where("id = ?", x.ID).Find(&have).Error; err != nil {
		return false, storeError("room reading", err)
	}
	if len(have) > 0 {
		return sameContent("room reading", clean(models.RoomReading(have[0])), clean(x))
	}
	row := roomReadingRow(x)
	return false, storeError("room reading", t.on(ctx).Create(&row).Error)
}

// EarlierRecords gives a cover's records from before drylag, oldest first.
func (r Reader) EarlierRecords(ctx context.Context, cover models.ID) ([]models.EarlierRecord, error) {
	byCover, err := r.earlierOf(ctx, []models.ID{cover})
	return byCover[cover], err
}

func (r Reader) earlierOf(ctx context.Context, covers []models.ID) (map[models.ID][]models.EarlierRecord, error) {
	var rows []earlierRow
	err := r.on(ctx).Where("cover_id IN ?", covers).Order("cover_id, day, id").Find(&rows).Error
	out := map[models.ID][]models.EarlierRecord{}
	for _, x := range rows {
		out[x.Cover] = append(out[x.Cover], models.EarlierRecord(x))
	}
	return out, storeError("earlier record", err)
}

// AddEarlier stores a record from before drylag and marks the cover's score
// stale. Sent again it is as in AddOpening.
func (t *Tx) AddEarlier(ctx context.Context, e models.EarlierRecord) (again bool, err error) {
	var have []earlierRow
	if err := t.on(ctx).Where("id = ?", e.ID).Find(&have).Error; err != nil {
		return false, storeError("earlier record", err)
	}
	if len(have) > 0 {
		return sameContent("earlier record", models.EarlierRecord(have[0]), e)
	}
	row := earlierRow(e)
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return false, storeError("earlier record", err)
	}
	return false, t.MarkStale(ctx, e.Cover)
}
