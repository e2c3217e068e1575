package store

import (
	"context"
	"slices"
	"time"

	"drylag/models"
)

type predictionRow struct {
	Opening  models.ID   `gorm:"column:opening_id;primaryKey"`
	Cover    models.ID   `gorm:"column:cover_id"`
	Building models.ID   `gorm:"column:building_id"`
	Round    models.ID   `gorm:"column:round_id;serializer:null"`
	On       models.Date `gorm:"column:day"`
	Age      float64
	P        float64
	Lo, Hi   float64
	Eta      float64
	Base     float64
	ByAge    float64
	Expert   float64
	Fit      string
	Made     time.Time `gorm:"serializer:millis"`
	Wet      bool      `gorm:"->"` // of the opening, never written here
}

// TableName is the table of these rows.
func (predictionRow) TableName() string { return "predictions" }

// predictionsOf is what Predictions reads. answered is false of a version that
// says neither wet nor dry, such as one that takes the opening back.
const predictionsOf = "SELECT p.*, o.wet FROM predictions p JOIN openings_now o ON o.root_id = p.opening_id WHERE o.answered"

// Predictions gives what was expected of the openings since a day in the
// buildings of a scope, with what the current version of each has found,
// oldest first. An opening whose current version says neither wet nor dry is
// left out.
func (r Reader) Predictions(ctx context.Context, since models.Date, scope *[]models.ID) ([]models.Prediction, error) {
	q := query{args: []any{since}}
	sql := predictionsOf + " AND p.day >= ?"
	if scope != nil {
		if len(*scope) == 0 {
			return nil, nil
		}
		sql, q.args = sql+" AND p.building_id IN ?", append(q.args, *scope)
	}
	var rows []predictionRow
	err := r.on(ctx).Raw(sql+" ORDER BY p.day, p.opening_id", q.args...).Scan(&rows).Error
	return convert(rows, func(p predictionRow) models.Prediction { return models.Prediction(p) }), storeError("prediction", err)
}

// PredictionOf gives what was expected of one opening, by its root, Missing
// where nothing was; Wet is not read.
func (r Reader) PredictionOf(ctx context.Context, root models.ID) (models.Prediction, error) {
	var rows []predictionRow
	err := r.on(ctx).Raw("SELECT p.* FROM predictions p WHERE p.opening_id = ?", root).Scan(&rows).Error
	return one(convert(rows, func(p predictionRow) models.Prediction { return models.Prediction(p) }), err)("prediction")
}

// PredictionPage gives at most limit of what Predictions gives, from the one
// after a day and an opening on.
func (r Reader) PredictionPage(ctx context.Context, after models.Date, opening models.ID, limit int, scope *[]models.ID) ([]models.Prediction, error) {
	q := query{args: []any{after, opening}}
	sql := predictionsOf + " AND (p.day, p.opening_id) > (?, ?)"
	if scope != nil {
		if len(*scope) == 0 {
			return nil, nil
		}
		sql, q.args = sql+" AND p.building_id IN ?", append(q.args, *scope)
	}
	var rows []predictionRow
	err := r.on(ctx).Raw(sql+" ORDER BY p.day, p.opening_id LIMIT ?", append(q.args, limit)...).Scan(&rows).Error
	return convert(rows, func(p predictionRow) models.Prediction { return models.Prediction(p) }), storeError("prediction", err)
}

// AddPredictions keeps what was expected of openings, by the root of each. It
// is kept once: of an opening that has one already nothing changes, and its
// root is among the answer.
func (t *Tx) AddPredictions(ctx context.Context, list []models.Prediction) (again []models.ID, err error) {
	have, err := t.predicted(ctx, list)
	if err != nil {
		return nil, err
	}
	var rows []predictionRow
	for _, p := range list {
		if have[p.Opening] {
			again = append(again, p.Opening)
			continue
		}
		have[p.Opening] = true
		rows = append(rows, predictionRow(p))
	}
	for part := range slices.Chunk(rows, chunk) {
		if err := t.on(ctx).Create(&part).Error; err != nil {
			return nil, storeError("prediction", err)
		}
	}
	return again, nil
}

// predicted tells which openings of a list have a prediction.
func (t *Tx) predicted(ctx context.Context, list []models.Prediction) (map[models.ID]bool, error) {
	have := map[models.ID]bool{}
	for part := range slices.Chunk(list, chunk) {
		var ids []models.ID
		roots := convert(part, func(p models.Prediction) models.ID { return p.Opening })
		err := t.on(ctx).Raw("SELECT opening_id FROM predictions WHERE opening_id IN ?", roots).Scan(&ids).Error
		if err != nil {
			return nil, storeError("prediction", err)
		}
		for _, id := range ids {
			have[id] = true
		}
	}
	return have, nil
}

// Unpredicted is an opening of which nothing was expected yet.
type Unpredicted struct {
	Opening  models.ID   `gorm:"column:root_id"` // its root
	Cover    models.ID   `gorm:"column:cover_id"`
	Building models.ID   `gorm:"column:building_id"`
	On       models.Date `gorm:"column:day"`
}

// UnpredictedOpenings gives the openings before a day that say wet or dry and
// have no prediction, oldest first.
func (r Reader) UnpredictedOpenings(ctx context.Context, before models.Date) ([]Unpredicted, error) {
	var list []Unpredicted
	err := r.on(ctx).Raw(`SELECT o.root_id, o.cover_id, o.building_id, o.day FROM openings_now o
		WHERE o.answered AND o.day < ? AND NOT EXISTS (SELECT 1 FROM predictions p WHERE p.opening_id = o.root_id)
		ORDER BY o.day, o.root_id`, before).Scan(&list).Error
	return list, storeError("opening", err)
}
