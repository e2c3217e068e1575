package store

import (
	"context"

	"drylag/models"
)

type buildingRow struct {
	ID               models.ID `gorm:"primaryKey"`
	Name             string
	TimeZone         string
	Currency         string
	YearBuilt        *int
	AsbestosRegister string
	AltitudeM        *float64 `gorm:"column:altitude_m"`
	LaborRate        *float64
	TapePrice        *float64
	COP              *float64 `gorm:"column:cop"`
	Tariff           *float64
	TonHourCost      *float64
	LimitYears       *float64
	FirstLookYears   *float64
	Note             string
	Version          int
}

// TableName is the table of these rows.
func (buildingRow) TableName() string { return "buildings" }

type roomRow struct {
	ID       models.ID `gorm:"primaryKey"`
	Building models.ID `gorm:"column:building_id"`
	Name     string
	Kind     string
	TempC    *float64 `gorm:"column:temp_c"`
	Order    int      `gorm:"column:position"`
	Note     string
	Version  int
}

// TableName is the table of these rows.
func (roomRow) TableName() string { return "rooms" }

type loopRow struct {
	ID       models.ID `gorm:"primaryKey"`
	Building models.ID `gorm:"column:building_id"`
	Name     string
	Kind     string
	SupplyC  *float64      `gorm:"column:supply_c"`
	ReturnC  *float64      `gorm:"column:return_c"`
	HotC     *float64      `gorm:"column:hot_c"`
	Hot      models.Season `gorm:"embedded;embeddedPrefix:hot_"`
	Stopped  models.Season `gorm:"embedded;embeddedPrefix:stopped_"`
	Version  int
}

// TableName is the table of these rows.
func (loopRow) TableName() string { return "loops" }

// Buildings gives the buildings in scope by name; a nil scope is all of them.
func (r Reader) Buildings(ctx context.Context, scope *[]models.ID) ([]models.Building, error) {
	var rows []buildingRow
	err := inScope(r.on(ctx), "id", scope).Order("lower(name), id").Find(&rows).Error
	return convert(rows, func(b buildingRow) models.Building { return models.Building(b) }), storeError("building", err)
}

// Building gives one building, Missing if there is none.
func (r Reader) Building(ctx context.Context, id models.ID) (models.Building, error) {
	var row buildingRow
	err := r.on(ctx).Take(&row, "id = ?", id).Error
	return models.Building(row), storeError("building", err)
}

// Rooms gives the rooms of a building in walking order.
func (r Reader) Rooms(ctx context.Context, building models.ID) ([]models.Room, error) {
	var rows []roomRow
	err := r.on(ctx).Where("building_id = ?", building).Order("position, lower(name), id").Find(&rows).Error
	return convert(rows, func(x roomRow) models.Room { return models.Room(x) }), storeError("room", err)
}

// Room gives one room, Missing if there is none.
func (r Reader) Room(ctx context.Context, id models.ID) (models.Room, error) {
	var row roomRow
	err := r.on(ctx).Take(&row, "id = ?", id).Error
	return models.Room(row), storeError("room", err)
}

// Loops gives the loops of a building by name.
func (r Reader) Loops(ctx context.Context, building models.ID) ([]models.Loop, error) {
	var rows []loopRow
	err := r.on(ctx).Where("building_id = ?", building).Order("lower(name), id").Find(&rows).Error
	return convert(rows, func(x loopRow) models.Loop { return models.Loop(x) }), storeError("loop", err)
}

// Loop gives one loop, Missing if there is none.
func (r Reader) Loop(ctx context.Context, id models.ID) (models.Loop, error) {
	var row loopRow
	err := r.on(ctx).Take(&row, "id = ?", id).Error
	return models.Loop(row), storeError("loop", err)
}

// PutBuilding writes a building. Version 0 is a new one; any other version
// must be the stored one, else the error is Stale. The answer carries the new
// version. A changed name moves the building's covers in the walking order.
func (t *Tx) PutBuilding(ctx context.Context, b models.Building) (models.Building, error) {
	row := buildingRow(b)
	if err := t.put(ctx, "building", &row, row.ID, &row.Version); err != nil {
		return models.Building{}, err
	}
	return models.Building(row), t.copyPlaces(ctx, "c.building_id = ?", row.ID)
}

// PutRoom writes a room; versions as in PutBuilding.
func (t *Tx) PutRoom(ctx context.Context, room models.Room) (models.Room, error) {
	row := roomRow(room)
	if err := t.put(ctx, "room", &row, row.ID, &row.Version); err != nil {
		return models.Room{}, err
	}
	return models.Room(row), t.copyPlaces(ctx, "c.room_id = ?", row.ID)
}

// PutLoop writes a loop; versions as in PutBuilding.
func (t *Tx) PutLoop(ctx context.Context, l models.Loop) (models.Loop, error) {
	row := loopRow(l)
	err := t.put(ctx, "loop", &row, row.ID, &row.Version)
	return models.Loop(row), err
}
