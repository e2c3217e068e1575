package store

import (
	"context"
	"time"

	"drylag/models"
)

type fitRow struct {
	Version  string    `gorm:"primaryKey"`
	At       time.Time `gorm:"serializer:millis"`
	Cause    string
	Until    models.Date `gorm:"column:until_day"`
	N, Wet   int
	Rejected int
	Priors   int
	Body     string
}

// TableName is the table of these rows.
func (fitRow) TableName() string { return "learned_fits" }

// LatestFit gives the fit that was added last, Missing if there is none.
func (r Reader) LatestFit(ctx context.Context) (models.LearnedFit, error) {
	var row fitRow
	err := r.on(ctx).Order("seq DESC").Limit(1).Take(&row).Error
	return models.LearnedFit(row), storeError("fit", err)
}

// Fit gives one version, Missing if there is none.
func (r Reader) Fit(ctx context.Context, version string) (models.LearnedFit, error) {
	var row fitRow
	err := r.on(ctx).Take(&row, "version = ?", version).Error
	return models.LearnedFit(row), storeError("fit", err)
}

// Taught counts the records that teach: it grows with each opening, look,
// earlier record and set of priors. Edits of covers do not show.
func (r Reader) Taught(ctx context.Context) (n int64, err error) {
	err = r.on(ctx).Raw(`SELECT (SELECT COUNT(*) FROM openings) + (SELECT COUNT(*) FROM looks) +
		(SELECT COUNT(*) FROM earlier_records) + (SELECT COUNT(*) FROM prior_sets)`).Scan(&n).Error
	return n, storeError("opening", err)
}

// Fits gives every version, the newest first, without Body.
func (r Reader) Fits(ctx context.Context) ([]models.LearnedFit, error) {
	var rows []fitRow
	err := r.on(ctx).Omit("body").Order("seq DESC").Find(&rows).Error
	return convert(rows, func(f fitRow) models.LearnedFit { return models.LearnedFit(f) }), storeError("fit", err)
}

// AddFit keeps a fit. A version that is there already changes nothing and
// answers again = true; it does not become the latest by that.
func (t *Tx) AddFit(ctx context.Context, f models.LearnedFit) (again bool, err error) {
	var n int64
	err = t.on(ctx).Model(&fitRow{}).Where("version = ?", f.Version).Count(&n).Error
	if err != nil || n > 0 {
		return n > 0, storeError("fit", err)
	}
	row := fitRow(f)
	return false, storeError("fit", t.on(ctx).Create(&row).Error)
}

type priorSetRow struct {
	Version int       `gorm:"primaryKey;autoIncrement:false"`
	By      models.ID `gorm:"column:by_id"`
	ByName  string
	At      time.Time `gorm:"serializer:millis"`
	Why     string
	Rows    []models.PriorRow `gorm:"-"`
}

// TableName is the table of these rows.
func (priorSetRow) TableName() string { return "prior_sets" }

type priorRow struct {
	Version  int    `gorm:"primaryKey;autoIncrement:false"`
	Position int    `gorm:"primaryKey;autoIncrement:false"`
	Column   string `gorm:"column:name"`
	Mean     float64
	SD       float64 `gorm:"column:sd"`
}

// TableName is the table of these rows.
func (priorRow) TableName() string { return "prior_rows" }

// PriorSets gives every version of the expert priors, the newest first; none
// while only those that ship are in use.
func (r Reader) PriorSets(ctx context.Context) ([]models.PriorSet, error) {
	return r.priorSets(ctx, "1 = 1")
}

// PriorSet gives one version of the expert priors, Missing if there is none.
// Version 0, what ships, is the empty set: the store does not know its rows.
func (r Reader) PriorSet(ctx context.Context, version int) (models.PriorSet, error) {
	if version == 0 {
		return models.PriorSet{}, nil
	}
	return one(r.priorSets(ctx, "version = ?", version))("set of priors")
}

// LatestPriors gives the expert priors in force: the newest version, or the
// empty set of Version 0 while those that ship are in use.
func (r Reader) LatestPriors(ctx context.Context) (models.PriorSet, error) {
	sets, err := r.priorSets(ctx, "version = (SELECT MAX(version) FROM prior_sets)")
	if err != nil || len(sets) == 0 {
		return models.PriorSet{}, err
	}
	return sets[0], nil
}

// priorSets loads sets with their rows in two queries. where is a fixed text.
func (r Reader) priorSets(ctx context.Context, where string, args ...any) ([]models.PriorSet, error) {
	var sets []priorSetRow
	if err := r.on(ctx).Where(where, args...).Order("version DESC").Find(&sets).Error; err != nil {
		return nil, storeError("set of priors", err)
	}
	var rows []priorRow
	if err := r.on(ctx).Where(where, args...).Order("version, position").Find(&rows).Error; err != nil {
		return nil, storeError("set of priors", err)
	}
	of := map[int][]models.PriorRow{}
	for _, x := range rows {
		of[x.Version] = append(of[x.Version], models.PriorRow{Column: x.Column, Mean: x.Mean, SD: x.SD})
	}
	return convert(sets, func(s priorSetRow) models.PriorSet {
		s.Rows = of[s.Version]
		return models.PriorSet(s)
	}), nil
}

// AddPriors keeps a set of expert priors as the version after the last.
// p.Version is the version that it changes (0: what ships); if that is not the
// last one the error is Stale. The answer carries the new version.
func (t *Tx) AddPriors(ctx context.Context, p models.PriorSet) (models.PriorSet, error) {
	last, err := t.LatestPriors(ctx)
	if err != nil {
		return models.PriorSet{}, err
	}
	if last.Version != p.Version {
		return models.PriorSet{}, models.Errorf(models.Stale, "Somebody changed the expert priors meanwhile. Look at them again and repeat your change.")
	}
	p.Version++
	set := priorSetRow(p)
	if err := t.on(ctx).Create(&set).Error; err != nil {
		return models.PriorSet{}, storeError("set of priors", err)
	}
	var rows []priorRow
	for i, x := range p.Rows {
		rows = append(rows, priorRow{p.Version, i, x.Column, x.Mean, x.SD})
	}
	if len(rows) == 0 {
		return p, nil
	}
	return p, storeError("prior", t.on(ctx).Create(&rows).Error)
}
