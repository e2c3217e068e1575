package store

import (
	"bytes"
	"context"
	"encoding/json"
	"strconv"
	"time"

	"drylag/models"
)

type openingPlaceRow struct {
	Opening  models.ID    `gorm:"column:opening_id;primaryKey"`
	Position int          `gorm:"primaryKey;autoIncrement:false"`
	Place    models.Place `gorm:"column:place"`
	Found    models.Found `gorm:"column:as_found"`
	Left     models.Left  `gorm:"column:as_left"`
}

// TableName is the table of these rows.
func (openingPlaceRow) TableName() string { return "opening_places" }

// AddOpening stores one version of an opening with its places and readings,
// renews the cover's last-opening columns and marks its score stale.
//
// A first version has Version 1 and Root equal to ID; an amendment has a new
// ID, the same Root and the next Version, else it is Stale. Readings have
// their own ids.
//
// Sent again under the same ID with the same content it stores nothing and
// answers again = true; with other content it is Invalid. What the service
// itself sets (building, time of entry, recorder, ids of readings) is not content.
func (t *Tx) AddOpening(ctx context.Context, o models.Opening, d Derived) (again bool, err error) {
	again, err = t.storedOpening(ctx, o)
	if again || err != nil {
		return again, err
	}
	if err := t.checkVersion(ctx, o); err != nil {
		return false, err
	}
	row := struct {
		Row   openingRow   `gorm:"embedded"`
		Facts openingFacts `gorm:"embedded"`
	}{openingRow(o), openingFacts{Answered: o.Answered(), Wet: o.Wet(), Bared: o.Opened(), Ri: d.Ri, AreaPct: d.AreaPct, Quarter: o.On.Quarter()}}
	if err := t.on(ctx).Table("openings").Create(&row).Error; err != nil {
		return false, storeError("opening", err)
	}
	if err := t.addFindings(ctx, o); err != nil {
		return false, err
	}
	if err := t.copyLastOpening(ctx, o.Cover); err != nil {
		return false, err
	}
	return false, t.MarkStale(ctx, o.Cover)
}

// storedOpening tells whether this very opening is already stored.
func (t *Tx) storedOpening(ctx context.Context, o models.Opening) (bool, error) {
	have, err := t.openings(ctx, "openings", "id = ?", o.ID)
	if err != nil || len(have) == 0 {
		return false, err
	}
	return sameContent("opening", openingContent(have[0]), openingContent(o))
}

// checkVersion holds versions of one opening to 1, 2, 3 ... on one cover.
func (t *Tx) checkVersion(ctx context.Context, o models.Opening) error {
	if o.ID == models.None || o.Version < 1 || (o.Version == 1) != (o.Root == o.ID) {
		return models.Errorf(models.Invalid, "An opening needs its id, and a first version is its own root.")
	}
	if o.Version == 1 {
		return nil
	}
	before, err := t.OpeningNow(ctx, o.Root)
	switch {
	case err != nil:
		return err
	case before.Cover != o.Cover:
		return models.Errorf(models.Invalid, "An amendment stays on its cover: this opening is of another one.")
	case before.Version != o.Version-1:
		return models.Errorf(models.Stale, "This opening has been amended meanwhile. Look at it again and repeat your change.")
	}
	return nil
}

func (t *Tx) addFindings(ctx context.Context, o models.Opening) error {
	var places []openingPlaceRow
	for i, p := range o.Places {
		places = append(places, openingPlaceRow{o.ID, i, p.Place, p.Found, p.Left})
	}
	var readings []readingRecord
	for i, r := range o.Readings {
		r.Cover, r.Opening = o.Cover, o.ID
		readings = append(readings, readingRecord{readingRow(r), i})
	}
	if len(places) > 0 {
		if err := t.on(ctx).Create(&places).Error; err != nil {
			return storeError("place", err)
		}
	}
	if len(readings) > 0 {
		return storeError("reading", t.on(ctx).Create(&readings).Error)
	}
	return nil
}

// copyLastOpening renews a cover's copies of its last opening: the current
// version of the latest day on which the metal was bared.
func (t *Tx) copyLastOpening(ctx context.Context, cover models.ID) error {
	var last struct {
		Root         models.ID `gorm:"column:root_id"`
		Day          models.Date
		Answered     bool
		Wet          bool
		MetalScale   string
		MetalGrade   string
		AreaPct      *float64
		MetalAreaPct *float64
	}
	err := t.on(ctx).Raw(`SELECT root_id, day, answered, wet, metal_scale, metal_grade, area_pct, metal_area_pct
		FROM openings_now WHERE cover_id = ? AND bared ORDER BY day DESC, root_id DESC LIMIT 1`, cover).Scan(&last).Error
	if err != nil {
		return storeError("opening", err)
	}
	var wet *bool
	if last.Answered {
		wet = &last.Wet
	}
	err = t.on(ctx).Exec(`UPDATE covers SET last_opening_root = NULLIF(?, ''), last_opened = ?, last_wet = ?, last_rust = ?, last_area = ?
		WHERE id = ?`, last.Root, last.Day, wet, rustSaid(last.MetalScale, last.MetalGrade, last.MetalAreaPct), last.AreaPct, cover).Error
	return storeError("cover", err)
}

// rustSaid is a grade as it was recorded, with its scale: "Ri 2", "D610 6".
func rustSaid(scale, grade string, areaPct *float64) string {
	switch {
	case scale == "ri":
		return grade
	case scale == "d610":
		return "D610 " + grade
	case scale == "iso8501":
		return "ISO 8501-1 " + grade
	case scale == "area" && areaPct != nil:
		return strconv.FormatFloat(*areaPct, 'g', -1, 64) + " %"
	}
	return ""
}

// openingContent is what the person said, without what the service sets.
func openingContent(o models.Opening) models.Opening {
	o.Building, o.EnteredAt, o.Recorder = "", time.Time{}, ""
	o.Places = append([]models.PlaceFinding{}, o.Places...)
	o.Readings = append([]models.ThicknessReading{}, o.Readings...)
	for i := range o.Readings {
		r := &o.Readings[i]
		r.ID, r.Cover, r.Opening, r.Recorder, r.EnteredAt = "", "", "", "", time.Time{}
	}
	return o
}

// sameContent compares a record with the stored one of the same id: true if
// they say the same, Invalid if not.
func sameContent(noun string, stored, sent any) (bool, error) {
	a, err := json.Marshal(stored)
	if err != nil {
		return false, storeError(noun, err)
	}
	b, err := json.Marshal(sent)
	if err != nil {
		return false, models.Errorf(models.Invalid, "The %s holds something that is not a number.", noun)
	}
	if !bytes.Equal(a, b) {
		return false, models.Errorf(models.Invalid, "This %s is already recorded with other content. Amend it instead.", noun)
	}
	return true, nil
}
