package store

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"time"

	"drylag/models"
)

type climateRow struct {
	ID         models.ID `gorm:"primaryKey"`
	BuildingID models.ID
	RoomID     models.ID `gorm:"serializer:null"`
	Source     string
	Name       string
	StartAt    time.Time `gorm:"serializer:millis"`
	UTCOffsetH float64   `gorm:"column:utc_offset_h"`
	AltitudeM  float64   `gorm:"column:altitude_m"`
	Hours      int
	Gaps       string
	ImportedAt time.Time `gorm:"serializer:millis"`
	ImporterID models.ID
	SHA256     string `gorm:"column:sha256"`
	Series     []byte
}

// TableName is the table of these rows.
func (climateRow) TableName() string { return "climates" }

// Climates gives a building's weather and its rooms' loggers without their
// hours, newest import first. A room narrows to that room's loggers.
func (r Reader) Climates(ctx context.Context, building, room models.ID) ([]models.HourlyClimate, error) {
	q := r.on(ctx).Omit("series").Where("building_id = ?", building)
	if room != models.None {
		q = q.Where("room_id = ?", room)
	}
	var rows []climateRow
	if err := q.Order("imported_at DESC, id DESC").Find(&rows).Error; err != nil {
		return nil, storeError("climate", err)
	}
	list := make([]models.HourlyClimate, len(rows))
	for i, row := range rows {
		c, err := row.climate()
		if err != nil {
			return nil, storeError("climate", err)
		}
		list[i] = c
	}
	return list, nil
}

// Climate gives one climate with its hours, Missing if there is none.
func (r Reader) Climate(ctx context.Context, id models.ID) (models.HourlyClimate, error) {
	var row climateRow
	if err := r.on(ctx).Take(&row, "id = ?", id).Error; err != nil {
		return models.HourlyClimate{}, storeError("climate", err)
	}
	c, err := row.climate()
	return c, storeError("climate", err)
}

// AddClimate stores a climate and marks the scores of its building or room
// stale. The same file (SHA256) for the same building and room again stores
// nothing and answers again = true.
func (t *Tx) AddClimate(ctx context.Context, c models.HourlyClimate) (again bool, err error) {
	var n int64
	err = t.on(ctx).Model(&climateRow{}).
		Where("building_id = ? AND COALESCE(room_id, '') = ? AND sha256 = ?", c.Building, c.Room, c.SHA256).Count(&n).Error
	if err != nil || n > 0 {
		return n > 0, storeError("climate", err)
	}
	series, err := packSeries(c.TempC, c.DewPointC)
	if err != nil {
		return false, err
	}
	gaps, err := json.Marshal(c.Gaps)
	if err != nil {
		return false, storeError("climate", err)
	}
	row := climateRow{
		ID: c.ID, BuildingID: c.Building, RoomID: c.Room, Source: c.Source, Name: c.Name, StartAt: c.Start,
		UTCOffsetH: c.UTCOffsetH, AltitudeM: c.AltitudeM, Hours: len(c.TempC), Gaps: string(gaps),
		ImportedAt: c.ImportedAt, ImporterID: c.Importer, SHA256: c.SHA256, Series: series,
	}
	if err := t.on(ctx).Create(&row).Error; err != nil {
		return false, storeError("climate", err)
	}
	if c.Room != models.None {
		return false, t.MarkStaleRoom(ctx, c.Room)
	}
	return false, t.MarkStaleBuilding(ctx, c.Building)
}

func (row climateRow) climate() (models.HourlyClimate, error) {
	c := models.HourlyClimate{
		ID: row.ID, Building: row.BuildingID, Room: row.RoomID, Source: row.Source, Name: row.Name, Start: row.StartAt,
		UTCOffsetH: row.UTCOffsetH, AltitudeM: row.AltitudeM, ImportedAt: row.ImportedAt, Importer: row.ImporterID,
		SHA256: row.SHA256,
	}
	if err := json.Unmarshal([]byte(row.Gaps), &c.Gaps); err != nil {
		return c, fmt.Errorf("climate %s: gaps: %w", row.ID, err)
	}
	if row.Series == nil {
		return c, nil
	}
	if len(row.Series) != 16*row.Hours {
		return c, fmt.Errorf("climate %s: %d bytes for %d hours", row.ID, len(row.Series), row.Hours)
	}
	c.TempC, c.DewPointC = unpackSeries(row.Series)
	return c, nil
}

// packSeries writes air and dew point as little-endian float64 pairs.
func packSeries(air, dew []float64) ([]byte, error) {
	if len(air) != len(dew) || len(air) == 0 {
		return nil, models.Errorf(models.Invalid, "A climate needs an air temperature and a dew point for each hour.")
	}
	b := make([]byte, 0, 16*len(air))
	for i := range air {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(air[i]))
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(dew[i]))
	}
	return b, nil
}

// unpackSeries is the inverse of packSeries.
func unpackSeries(b []byte) (air, dew []float64) {
	for ; len(b) >= 16; b = b[16:] {
		air = append(air, math.Float64frombits(binary.LittleEndian.Uint64(b)))
		dew = append(dew, math.Float64frombits(binary.LittleEndian.Uint64(b[8:])))
	}
	return air, dew
}
