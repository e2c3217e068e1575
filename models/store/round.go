package store

import (
	"context"
	"time"

	"drylag/models"
)

type roundRow struct {
	ID          models.ID `gorm:"primaryKey"`
	Name        string
	State       models.RoundState
	VariantOf   models.ID           `gorm:"serializer:null"`
	Order       models.RoundOrder   `gorm:"column:asked;serializer:json"`
	Result      *models.RoundResult `gorm:"serializer:json"`
	Stops       []models.RoundStop  `gorm:"-"`
	Fit         string
	By          models.ID `gorm:"column:by_id"`
	ByName      string
	CreatedAt   time.Time `gorm:"serializer:millis;autoCreateTime:false"`
	PublishedAt time.Time `gorm:"serializer:millis"`
	ClosedAt    time.Time `gorm:"serializer:millis"`
	Version     int
}

// TableName is the table of these rows.
func (roundRow) TableName() string { return "rounds" }

type roundRecord struct {
	Row  roundRow    `gorm:"embedded"`
	From models.Date `gorm:"column:from_day"`
	To   models.Date `gorm:"column:to_day"`
}

// TableName is the table of these rows.
func (roundRecord) TableName() string { return "rounds" }

type roundBuildingRow struct {
	RoundID    models.ID `gorm:"primaryKey"`
	BuildingID models.ID `gorm:"primaryKey"`
}

// TableName is the table of these rows.
func (roundBuildingRow) TableName() string { return "round_buildings" }

// Rounds gives the rounds in these states (none: in any) of which at least one
// building is in scope, without their stops, the one that begins last first.
// What a round says of buildings outside the scope is the caller's to leave out.
func (r Reader) Rounds(ctx context.Context, scope *[]models.ID, states ...models.RoundState) ([]models.Round, error) {
	q := r.on(ctx)
	if scope != nil {
		q = q.Where("id IN (?)", inScope(r.on(ctx).Table("round_buildings").Select("round_id"), "building_id", scope))
	}
	if len(states) > 0 {
		q = q.Where("state IN ?", states)
	}
	var rows []roundRow
	err := q.Order("from_day DESC, created_at DESC, id").Find(&rows).Error
	return convert(rows, func(x roundRow) models.Round { return models.Round(x) }), storeError("round", err)
}

// Round gives a round with its stops in the order of its shifts, those that a
// later plan has replaced too. It is Missing if there is none.
func (r Reader) Round(ctx context.Context, id models.ID) (models.Round, error) {
	var row roundRow
	if err := r.on(ctx).Take(&row, "id = ?", id).Error; err != nil {
		return models.Round{}, storeError("round", err)
	}
	var err error
	row.Stops, err = r.stops(ctx, "s.round_id = ?", id)
	return models.Round(row), err
}

// OpenRoundOf gives the round that a building is in now, without its stops: the
// one published last. It is Missing if none is.
func (r Reader) OpenRoundOf(ctx context.Context, building models.ID) (models.Round, error) {
	var row roundRow
	err := r.on(ctx).Where("state = ? AND id IN (SELECT round_id FROM round_buildings WHERE building_id = ?)", models.RoundPublished, building).
		Order("published_at DESC, id DESC").Take(&row).Error
	return models.Round(row), storeError("round", err)
}

// PutRound writes a round with its stops; versions as in PutBuilding. It is
// Conflict once the round is closed. The answer is the round as stored.
//
// The stops are those of the plan: a stop that is done keeps its row whatever
// the plan says, and answers come by AnswerStop only. Of a published round the
// other stops that are no longer in the plan stay, marked as replaced; of any
// other round they go.
func (t *Tx) PutRound(ctx context.Context, r models.Round) (models.Round, error) {
	if r.Version == 0 {
		if err := t.putRoundRow(ctx, r); err != nil {
			return models.Round{}, err
		}
		if err := t.putRoundParts(ctx, r, models.RoundDraft); err != nil {
			return models.Round{}, err
		}
		return t.Round(ctx, r.ID)
	}
	var states []models.RoundState
	err := t.on(ctx).Raw("SELECT state FROM rounds WHERE id = ?", r.ID).Scan(&states).Error
	before, err := one(states, storeError("round", err))("round")
	if err != nil {
		return models.Round{}, err
	}
	if before == models.RoundClosed {
		return models.Round{}, models.Errorf(models.Conflict, "This round is closed: it stays as it is.")
	}
	if err := t.putRoundParts(ctx, r, before); err != nil { // first: a closed round takes no stops
		return models.Round{}, err
	}
	if err := t.putRoundRow(ctx, r); err != nil {
		return models.Round{}, err
	}
	return t.Round(ctx, r.ID)
}

func (t *Tx) putRoundRow(ctx context.Context, r models.Round) error {
	row := roundRecord{roundRow(r), r.Order.From, r.Order.To}
	return t.put(ctx, "round", &row, row.Row.ID, &row.Row.Version)
}

// putRoundParts writes the buildings and stops of a round that was in a state
// before.
func (t *Tx) putRoundParts(ctx context.Context, r models.Round, before models.RoundState) error {
	if err := t.on(ctx).Exec("DELETE FROM round_buildings WHERE round_id = ?", r.ID).Error; err != nil {
		return storeError("round", err)
	}
	var rows []roundBuildingRow
	seen := map[models.ID]bool{}
	for _, b := range r.Order.Buildings {
		if !seen[b] {
			rows = append(rows, roundBuildingRow{r.ID, b})
		}
		seen[b] = true
	}
	if len(rows) > 0 {
		if err := t.on(ctx).Create(&rows).Error; err != nil {
			return storeError("round", err)
		}
	}
	return t.putStops(ctx, r, before)
}
