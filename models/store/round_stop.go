package store

import (
	"context"
	"slices"

	"drylag/models"

	"gorm.io/gorm/clause"
)

type stopRow struct {
	Round    models.ID `gorm:"column:round_id;primaryKey"`
	Cover    models.ID `gorm:"column:cover_id;primaryKey"`
	Building models.ID `gorm:"column:building_id"`
	Room     models.ID `gorm:"column:room_id"`
	Shift    string
	Position int
	Must     bool
	Reason   string
	Benefit  float64
	Minutes  int
	Use      models.Supplies `gorm:"embedded;embeddedPrefix:use_"`
	PWet     float64
	Risk     int
	Opening  models.ID `gorm:"column:opening_id;serializer:null"`
	Skipped  string
	Replaced bool
}

// TableName is the table of these rows.
func (stopRow) TableName() string { return "round_stops" }

// stopRecord is a stop with what lists of stops read of its shift.
type stopRecord struct {
	Row       stopRow `gorm:"embedded"`
	Day       models.Date
	Inspector models.ID `gorm:"column:inspector_id"`
}

// TableName is the table of these rows.
func (stopRecord) TableName() string { return "round_stops" }

// undone are the stops that wait for a visit, in the words of the index
// round_stops_open.
const undone = "opening_id IS NULL AND skipped = '' AND replaced = 0"

// stops gives stops in the order of visits. where is a fixed text.
func (r Reader) stops(ctx context.Context, where string, args ...any) ([]models.RoundStop, error) {
	var rows []stopRow
	err := r.on(ctx).Raw("SELECT s.* FROM round_stops s WHERE "+where+" ORDER BY s.day, s.shift, s.position, s.round_id, s.cover_id", args...).
		Scan(&rows).Error
	return convert(rows, func(s stopRow) models.RoundStop { return models.RoundStop(s) }), storeError("stop", err)
}

// StopFilter narrows a list of open stops. Empty fields do not narrow.
type StopFilter struct {
	Cover     models.ID
	Inspector models.ID    // whose shifts, and the shifts of nobody in particular
	Scope     *[]models.ID // buildings allowed; nil: all
}

// OpenStops gives the stops of published rounds that still wait for a visit, in
// the order of days, shifts and visits.
func (r Reader) OpenStops(ctx context.Context, f StopFilter) ([]models.RoundStop, error) {
	sql, args := openStops(f)
	return r.stops(ctx, sql, args...)
}

// openStops is the condition of OpenStops with its arguments.
func openStops(f StopFilter) (string, []any) {
	var q query
	q.and(undone)
	q.and("s.round_id IN (SELECT id FROM rounds WHERE state = 'published')")
	if f.Cover != models.None {
		q.and("s.cover_id = ?", f.Cover)
	}
	if f.Inspector != models.None {
		q.and("s.inspector_id IN ('', ?)", f.Inspector)
	}
	if f.Scope != nil {
		q.and("s.building_id IN ?", append([]models.ID{models.None}, *f.Scope...))
	}
	return q.text()[len(" WHERE "):], q.args
}

// putStops writes the plan's stops over those of a round that was in a state
// before; see PutRound.
func (t *Tx) putStops(ctx context.Context, r models.Round, before models.RoundState) error {
	sweep := "DELETE FROM round_stops WHERE round_id = ? AND " + undone
	if before == models.RoundPublished {
		sweep = "UPDATE round_stops SET replaced = 1 WHERE round_id = ? AND " + undone
	}
	if err := t.on(ctx).Exec(sweep, r.ID).Error; err != nil {
		return storeError("stop", err)
	}
	stored, err := t.stops(ctx, "s.round_id = ?", r.ID)
	if err != nil {
		return err
	}
	done := map[models.ID]bool{}
	for _, s := range stored {
		done[s.Cover] = s.Done()
	}
	var rows []stopRecord
	for _, s := range r.Stops {
		if done[s.Cover] || s.Replaced {
			continue
		}
		i := slices.IndexFunc(r.Order.Shifts, func(x models.RoundShift) bool { return x.ID == s.Shift })
		if i < 0 {
			return models.Errorf(models.Invalid, "A stop is in the shift %q, which this round has not.", s.Shift)
		}
		s.Round, s.Opening, s.Skipped = r.ID, models.None, ""
		rows = append(rows, stopRecord{stopRow(s), r.Order.Shifts[i].Day, r.Order.Shifts[i].Inspector})
	}
	for part := range slices.Chunk(rows, chunk) {
		if err := t.on(ctx).Clauses(clause.OnConflict{UpdateAll: true}).Create(&part).Error; err != nil {
			return storeError("stop", err)
		}
	}
	return nil
}

// AnswerStop says what came of a stop of a published round: the record that
// answers it, by its root, or why it was passed over; exactly one of them. The
// same answer again changes nothing. A stop that was passed over can still be
// opened; once it is, another answer is Conflict.
func (t *Tx) AnswerStop(ctx context.Context, round, cover, opening models.ID, skipped string) error {
	if (opening == models.None) == (skipped == "") {
		return models.Errorf(models.Invalid, "A stop is either opened or passed over for a reason.")
	}
	var row roundRow
	if err := t.on(ctx).Select("state").Take(&row, "id = ?", round).Error; err != nil {
		return storeError("round", err)
	}
	if row.State != models.RoundPublished {
		return models.Errorf(models.Conflict, "This round is not open: it is %s.", models.RoundStates.Say(string(row.State)))
	}
	stop, err := one(t.stops(ctx, "s.round_id = ? AND s.cover_id = ?", round, cover))("stop")
	switch {
	case err != nil:
		return err
	case stop.Opening == opening && stop.Skipped == skipped:
		return nil
	case stop.Opening != models.None:
		return models.Errorf(models.Conflict, "This cover has already been opened in this round.")
	}
	err = t.on(ctx).Exec("UPDATE round_stops SET opening_id = NULLIF(?, ''), skipped = ? WHERE round_id = ? AND cover_id = ?",
		opening, skipped, round, cover).Error
	return storeError("stop", err)
}
