package store

import (
	"context"

	"drylag/models"
)

type policyRow struct {
	Version        int
	LimitYears     float64
	FirstLookYears float64
	HorizonYears   float64
	GaugeErrorMM   float64 `gorm:"column:gauge_error_mm"`
	WetYearCost    float64
	ThresholdP     *float64
	LookYears      float64
	DriveRef       float64
	RoundDays      int
	FoundWetCost   float64
	SpoilChance    float64

	FleetIntervalMonths *float64
}

type policyRecord struct {
	ID  int       `gorm:"primaryKey;autoIncrement:false"`
	Row policyRow `gorm:"embedded"`
}

// TableName is the table of these rows.
func (policyRecord) TableName() string { return "policy" }

// Policy gives the organization's constants of judgement: those that ship,
// with Version 0, until somebody changed one.
func (r Reader) Policy(ctx context.Context) (models.Policy, error) {
	var rows []policyRecord
	if err := r.on(ctx).Where("id = 1").Find(&rows).Error; err != nil {
		return models.Policy{}, storeError("policy", err)
	}
	if len(rows) == 0 {
		return models.DefaultPolicy(), nil
	}
	return models.Policy(rows[0].Row), nil
}

// PutPolicy writes the policy; versions as in PutBuilding. It marks every
// score stale.
func (t *Tx) PutPolicy(ctx context.Context, p models.Policy) (models.Policy, error) {
	row := policyRecord{ID: 1, Row: policyRow(p)}
	if err := t.putPolicy(ctx, &row); err != nil {
		return p, err
	}
	return models.Policy(row.Row), t.MarkStaleAll(ctx)
}

func (t *Tx) putPolicy(ctx context.Context, row *policyRecord) error {
	have, err := t.Policy(ctx)
	if err != nil {
		return err
	}
	if have.Version != row.Row.Version {
		return models.Errorf(models.Stale, "Somebody changed the policy meanwhile. Look at it again and repeat your change.")
	}
	row.Row.Version++
	return storeError("policy", t.on(ctx).Save(row).Error)
}
