package store

import (
	"context"
	"slices"

	"drylag/models"

	"gorm.io/gorm"
)

type componentRow struct {
	ID            models.ID `gorm:"primaryKey"`
	Room          models.ID `gorm:"column:room_id"`
	Loop          models.ID `gorm:"column:loop_id;serializer:null"`
	Tag           string
	Kind          string
	NPS           *float64 `gorm:"column:nps"`
	Material      string
	Connection    string
	Side          string
	ServiceC      *float64 `gorm:"column:service_c"`
	PressureBar   *float64
	NominalWallMM *float64 `gorm:"column:nominal_wall_mm"`
	Schedule      string
	Class         int
	Where         string `gorm:"column:location"`
	Height        *float64
	Access        string
	People        int
	Permit        string
	Flow          string
	Order         int `gorm:"column:position"`
	Below         string
	Spare         string
	Without       string
	Pools         bool
	Note          string
}

// TableName is the table of these rows.
func (componentRow) TableName() string { return "components" }

type coverRow struct {
	ID            models.ID `gorm:"primaryKey"`
	Component     models.ID `gorm:"column:component_id"`
	Label         string
	State         models.CoverState
	Insulation    string
	ThicknessMM   *float64 `gorm:"column:thickness_mm"`
	Conductivity  *float64
	Facing        string
	PermeancePerm *float64
	Closure       string
	Penetrations  *int
	SeamClock     *float64
	SightPort     bool
	Inhibitor     string
	Pattern       string
	Fitted        models.Date
	Since         models.Date
	CoatedOn      models.Date
	CoatQuality   string
	Note          string
	OffSince      models.Date
	Version       int
}

// TableName is the table of these rows.
func (coverRow) TableName() string { return "covers" }

// Sheet gives a cover with everything it stands on, Missing if there is none.
func (r Reader) Sheet(ctx context.Context, cover models.ID) (models.CoverSheet, error) {
	sheets, err := r.Sheets(ctx, []models.ID{cover})
	if err == nil && len(sheets) == 0 {
		err = missing("cover")
	}
	if err != nil {
		return models.CoverSheet{}, err
	}
	return sheets[0], nil
}

// SheetByLabel finds a cover by the label printed on it, in any case.
func (r Reader) SheetByLabel(ctx context.Context, label string) (models.CoverSheet, error) {
	return r.sheetWhere(ctx, "label_key <> '' AND label_key = ?", lower(label))
}

// SheetsByTag gives the covers on the components of a building whose tag is
// tag, in any case; replaced and retired covers too.
func (r Reader) SheetsByTag(ctx context.Context, building models.ID, tag string) ([]models.CoverSheet, error) {
	var ids []models.ID
	err := r.on(ctx).Table("covers").Where("building_id = ? AND tag_key = ?", building, lower(tag)).
		Order("walk, id").Pluck("id", &ids).Error
	if err != nil {
		return nil, storeError("cover", err)
	}
	return r.Sheets(ctx, ids)
}

func (r Reader) sheetWhere(ctx context.Context, where string, arg any) (models.CoverSheet, error) {
	var row coverRow
	if err := r.on(ctx).Select("id").Where(where, arg).Take(&row).Error; err != nil {
		return models.CoverSheet{}, storeError("cover", err)
	}
	return r.Sheet(ctx, row.ID)
}

// Sheets gives covers with everything they stand on, in the order of ids, in
// five queries for up to two thousand; unknown ids are left out.
func (r Reader) Sheets(ctx context.Context, ids []models.ID) ([]models.CoverSheet, error) {
	covers, err := byID(r.on(ctx), ids, func(c coverRow) models.ID { return c.ID })
	if err != nil {
		return nil, storeError("cover", err)
	}
	components, err := byID(r.on(ctx), keys(covers, func(c coverRow) models.ID { return c.Component }),
		func(c componentRow) models.ID { return c.ID })
	if err != nil {
		return nil, storeError("component", err)
	}
	rooms, err := byID(r.on(ctx), keys(components, func(c componentRow) models.ID { return c.Room }),
		func(x roomRow) models.ID { return x.ID })
	if err != nil {
		return nil, storeError("room", err)
	}
	loops, err := byID(r.on(ctx), keys(components, func(c componentRow) models.ID { return c.Loop }),
		func(l loopRow) models.ID { return l.ID })
	if err != nil {
		return nil, storeError("loop", err)
	}
	buildings, err := byID(r.on(ctx), keys(rooms, func(x roomRow) models.ID { return x.Building }),
		func(b buildingRow) models.ID { return b.ID })
	if err != nil {
		return nil, storeError("building", err)
	}
	var sheets []models.CoverSheet
	for _, id := range ids {
		cover, ok := covers[id]
		if !ok {
			continue
		}
		component := components[cover.Component]
		room := rooms[component.Room]
		sheets = append(sheets, models.CoverSheet{
			Cover: models.Cover(cover), Component: models.Component(component), Room: models.Room(room),
			Loop: models.Loop(loops[component.Loop]), Building: models.Building(buildings[room.Building]),
		})
	}
	return sheets, nil
}

// ComponentBuilding tells in which building a component is, Missing if there
// is none.
func (r Reader) ComponentBuilding(ctx context.Context, component models.ID) (models.ID, error) {
	var ids []models.ID
	err := r.on(ctx).Raw("SELECT r.building_id FROM components c JOIN rooms r ON r.id = c.room_id WHERE c.id = ?", component).Scan(&ids).Error
	return one(ids, storeError("component", err))("component")
}

// byID loads rows by their ids into a map.
func byID[T any](q *gorm.DB, ids []models.ID, id func(T) models.ID) (map[models.ID]T, error) {
	rows := make(map[models.ID]T, len(ids))
	for part := range slices.Chunk(ids, 10*chunk) {
		var found []T
		if err := q.Where("id IN ?", part).Find(&found).Error; err != nil {
			return nil, err
		}
		for _, row := range found {
			rows[id(row)] = row
		}
	}
	return rows, nil
}

// keys collects what rows refer to, each once, absent references left out.
func keys[T any](rows map[models.ID]T, key func(T) models.ID) []models.ID {
	seen := map[models.ID]bool{models.None: true}
	var out []models.ID
	for _, row := range rows {
		if k := key(row); !seen[k] {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}

// PutSheet writes a cover and the component under it (the sheet's room, loop
// and building are not written: they are found by Component.Room and Loop).
// The cover's version guards both; versions as in PutBuilding. Both need their
// ids and the component that the cover names. A new cover on a component that
// is already there takes that component over.
func (t *Tx) PutSheet(ctx context.Context, s models.CoverSheet) (models.CoverSheet, error) {
	if s.Cover.ID == models.None || s.Component.ID == models.None || s.Cover.Component != s.Component.ID {
		return s, models.Errorf(models.Invalid, "A cover and its component need their ids.")
	}
	cover, component := coverRow(s.Cover), componentRow(s.Component)
	isNew, err := t.putComponent(ctx, component)
	if err != nil {
		return s, err
	}
	if cover.Version == 0 {
		err = t.addCover(ctx, &cover, component)
	} else {
		err = t.put(ctx, "cover", &cover, cover.ID, &cover.Version)
	}
	if err == nil && !isNew { // other covers may stand on the component too
		err = t.partChanged(ctx, component.ID)
	}
	if err != nil {
		return s, err
	}
	return t.Sheet(ctx, cover.ID)
}

func (t *Tx) putComponent(ctx context.Context, row componentRow) (isNew bool, err error) {
	res := t.on(ctx).Model(&row).Where("id = ?", row.ID).Select("*").Omit("id").Updates(&row)
	if res.Error == nil && res.RowsAffected == 0 {
		res, isNew = t.on(ctx).Create(&row), true
	}
	return isNew, storeError("component", res.Error)
}

// partChanged renews what hangs on a component: the copies on its covers and
// their scores.
func (t *Tx) partChanged(ctx context.Context, component models.ID) error {
	if err := t.copyPlaces(ctx, "c.component_id = ?", component); err != nil {
		return err
	}
	return storeError("cover", t.on(ctx).Exec("UPDATE covers SET marks = marks + 1 WHERE component_id = ?", component).Error)
}

// addCover inserts a cover with its copies of where it is.
func (t *Tx) addCover(ctx context.Context, cover *coverRow, component componentRow) error {
	room, err := t.Room(ctx, component.Room)
	if err != nil {
		return err
	}
	building, err := t.Building(ctx, room.Building)
	if err != nil {
		return err
	}
	cover.Version = 1
	row := coverInsert{*cover, placeOf(models.CoverSheet{
		Cover: models.Cover(*cover), Component: models.Component(component), Room: room, Building: building,
	})}
	return storeError("cover", t.on(ctx).Table("covers").Create(&row).Error)
}

// SetCoverState says that a cover is in place, off and so on from a day on,
// as an opening or a look has shown. offSince is kept only for Off. It counts
// as an edit, so that a form opened before it is Stale, unless nothing changes.
func (t *Tx) SetCoverState(ctx context.Context, cover models.ID, state models.CoverState, offSince models.Date) error {
	if state != models.Off {
		offSince = ""
	}
	err := t.on(ctx).Exec(`UPDATE covers SET state = ?, off_since = ?, version = version + 1, marks = marks + 1
		WHERE id = ? AND (state <> ? OR off_since <> ?)`, state, offSince, cover, state, offSince).Error
	return storeError("cover", err)
}
