package store

import (
	"context"
	"encoding/json"
	"math"
	"time"

	"drylag/models"
)

type scoreRow struct {
	CoverID models.ID `gorm:"primaryKey"`
	At      time.Time `gorm:"serializer:millis"`
	Method  string
	Fit     string
	Body    string
}

// TableName is the table of these rows.
func (scoreRow) TableName() string { return "scores" }

// scoreColumns are the columns of a score by which lists sort and filter.
type scoreColumns struct {
	ScoredMark int
	ScoreOn    models.Date
	Condition  models.WetCondition
	PWet       float64
	PWetLo     float64
	PWetHi     float64
	Risk       int
	DueOn      models.Date
	DueRule    models.DueRule
	DueWhy     string
	WindowOn   models.Date
	Action     models.Action
	Overdue    bool
	Worth      float64
	Minutes    float64
	Sweat      int
}

type changeRow struct {
	ID      int64     `gorm:"primaryKey"`
	CoverID models.ID `gorm:"column:cover_id"`
	At      time.Time `gorm:"serializer:millis"`
	Risk    int
	PWet    float64
	DueOn   models.Date
	Action  models.Action
	Rule    models.DueRule
	Cause   string
	Method  string
	Fit     string
}

// TableName is the table of these rows.
func (changeRow) TableName() string { return "score_changes" }

// Scored is a new score with the mark of the inputs that it was made from and
// why it was made ("opening", "new day" ...).
type Scored struct {
	Score models.Score
	Mark  int // Material.Mark
	Cause string
}

// Score gives a cover's score as last worked out, Missing while there is
// none. Stale tells whether its inputs have changed since.
func (r Reader) Score(ctx context.Context, cover models.ID) (models.Score, error) {
	var row scoreRow
	if err := r.on(ctx).Take(&row, "cover_id = ?", cover).Error; err != nil {
		return models.Score{}, storeError("score", err)
	}
	var s models.Score
	if err := json.Unmarshal([]byte(row.Body), &s); err != nil {
		return models.Score{}, storeError("score", err)
	}
	return s, nil
}

// Stale tells whether a cover's score is older than its inputs.
func (r Reader) Stale(ctx context.Context, cover models.ID) (bool, error) {
	var stale []bool
	err := r.on(ctx).Raw("SELECT score_stale FROM covers WHERE id = ?", cover).Scan(&stale).Error
	if err == nil && len(stale) == 0 {
		return false, missing("cover")
	}
	return err == nil && stale[0], storeError("cover", err)
}

// ScoreChanges gives the steps in a cover's history of scores, newest first.
func (r Reader) ScoreChanges(ctx context.Context, cover models.ID) ([]models.ScoreChange, error) {
	var rows []changeRow
	err := r.on(ctx).Where("cover_id = ?", cover).Order("id DESC").Find(&rows).Error
	return convert(rows, changeRow.change), storeError("score", err)
}

func (c changeRow) change() models.ScoreChange {
	return models.ScoreChange{At: c.At, Risk: c.Risk, PWet: c.PWet, DueOn: c.DueOn, Action: c.Action,
		Rule: c.Rule, Cause: c.Cause, Method: c.Method, Fit: c.Fit}
}

// PutScores stores new scores and adds a step to a cover's history where a
// person would notice one: another action, rule, date, risk, method or fit, or
// five points of P(wet). A cover whose inputs changed after the score's mark
// stays stale. It answers the number of steps.
func (t *Tx) PutScores(ctx context.Context, scored []Scored) (steps int, err error) {
	last, err := t.lastChanges(ctx, scored)
	if err != nil {
		return 0, err
	}
	for _, s := range scored {
		if err := t.putScore(ctx, s); err != nil {
			return steps, err
		}
		before, had := last[s.Score.Cover]
		step := changeOf(s)
		if had && !noticed(before, step) {
			continue
		}
		if err := t.on(ctx).Create(&step).Error; err != nil {
			return steps, storeError("score", err)
		}
		steps++
	}
	return steps, nil
}

// PutScore stores one new score; see PutScores.
func (t *Tx) PutScore(ctx context.Context, s Scored) error {
	_, err := t.PutScores(ctx, []Scored{s})
	return err
}

func (t *Tx) putScore(ctx context.Context, s Scored) error {
	body, err := json.Marshal(s.Score)
	if err != nil {
		return models.Errorf(models.Invalid, "The score of cover %s holds something that is not a number.", s.Score.Cover)
	}
	row := scoreRow{s.Score.Cover, s.Score.At, s.Score.Method, s.Score.Fit, string(body)}
	if err := t.on(ctx).Save(&row).Error; err != nil {
		return storeError("score", err)
	}
	columns := columnsOf(s)
	res := t.on(ctx).Table("covers").Where("id = ?", s.Score.Cover).Select("*").Updates(&columns)
	return storeError("cover", res.Error)
}

func columnsOf(x Scored) scoreColumns {
	s := x.Score
	return scoreColumns{
		ScoredMark: x.Mark, ScoreOn: s.On, Condition: s.Condition,
		PWet: s.PWet.Mid, PWetLo: s.PWet.Lo, PWetHi: s.PWet.Hi, Risk: s.Risk,
		DueOn: s.Due.On, DueRule: s.Due.Rule, DueWhy: s.Due.Why, WindowOn: s.Window,
		Action: s.Action, Overdue: s.Overdue, Worth: s.W, Minutes: s.Minutes, Sweat: monthBits(s.SweatMonths),
	}
}

func changeOf(x Scored) changeRow {
	s := x.Score
	return changeRow{CoverID: s.Cover, At: s.At, Risk: s.Risk, PWet: s.PWet.Mid, DueOn: s.Due.On,
		Action: s.Action, Rule: s.Due.Rule, Cause: x.Cause, Method: s.Method, Fit: s.Fit}
}

// noticed tells whether the step from a to b is worth a line of history.
func noticed(a, b changeRow) bool {
	moved := math.Abs(a.PWet-b.PWet) >= 0.05
	a.ID, a.At, a.Cause, a.PWet = b.ID, b.At, b.Cause, b.PWet
	return moved || a != b
}

// lastChanges gives the newest step of each cover.
func (t *Tx) lastChanges(ctx context.Context, scored []Scored) (map[models.ID]changeRow, error) {
	last := map[models.ID]changeRow{}
	for start := 0; start < len(scored); start += chunk {
		part := scored[start:min(start+chunk, len(scored))]
		ids := convert(part, func(s Scored) models.ID { return s.Score.Cover })
		var rows []changeRow
		err := t.on(ctx).Raw(`SELECT h.* FROM covers c JOIN score_changes h ON h.id =
			(SELECT MAX(n.id) FROM score_changes n WHERE n.cover_id = c.id) WHERE c.id IN ?`, ids).Scan(&rows).Error
		if err != nil {
			return nil, storeError("score", err)
		}
		for _, row := range rows {
			last[row.CoverID] = row
		}
	}
	return last, nil
}

// MarkStale says that the inputs of these covers' scores have changed.
func (t *Tx) MarkStale(ctx context.Context, covers ...models.ID) error {
	for start := 0; start < len(covers); start += chunk {
		err := t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE id IN ?",
			covers[start:min(start+chunk, len(covers))]).Error
		if err != nil {
			return storeError("cover", err)
		}
	}
	return nil
}

// MarkStaleRoom says so of every cover in a room.
func (t *Tx) MarkStaleRoom(ctx context.Context, room models.ID) error {
	return storeError("cover", t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE room_id = ?", room).Error)
}

// MarkStaleBuilding says so of every cover in a building.
func (t *Tx) MarkStaleBuilding(ctx context.Context, building models.ID) error {
	return storeError("cover", t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE building_id = ?", building).Error)
}

// MarkStaleLoop says so of every cover on a loop.
func (t *Tx) MarkStaleLoop(ctx context.Context, loop models.ID) error {
	return storeError("cover", t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE loop_id = ?", loop).Error)
}

// MarkStaleAll says so of every cover: another policy, fit or method.
func (t *Tx) MarkStaleAll(ctx context.Context) error {
	return storeError("cover", t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE id <> ''").Error)
}
