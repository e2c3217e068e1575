package store

import (
	"context"
	"fmt"
	"strings"

	"drylag/models"
)

// Report is what a check of the whole record found.
type Report struct {
	Schema   int64    // version of the schema
	Damage   []string // what SQLite's integrity check and foreign key check say
	Guards   []string // where the schema and its guards differ
	Events   int64    // links of the event chain that hold
	BadEvent string   // what is wrong with the first that does not
	Head     Head     // newest link, as stored
}

// Err is nil where nothing was found, else one Conflict error with the first
// fault of each sort.
func (r Report) Err() error {
	var faults []string
	for _, list := range [][]string{r.Damage, r.Guards} {
		if len(list) > 0 {
			faults = append(faults, list[0])
		}
	}
	if r.BadEvent != "" {
		faults = append(faults, r.BadEvent)
	}
	if len(faults) == 0 {
		return nil
	}
	return models.Errorf(models.Conflict, "The record does not verify: %s.", strings.Join(faults, "; "))
}

// Verify checks the whole record: integrity, references, guards and the event
// chain. On a large record it takes a minute; writing goes on meanwhile.
func (s *Store) Verify(ctx context.Context) (Report, error) { return s.verify(ctx) }

func (r Reader) verify(ctx context.Context) (report Report, err error) {
	var found []string
	if err := r.on(ctx).Raw("PRAGMA integrity_check(20)").Scan(&found).Error; err != nil {
		return report, storeError("database", err)
	}
	if len(found) != 1 || found[0] != "ok" {
		report.Damage = append(report.Damage, found...)
	}
	var broken []struct{ Table, Parent string }
	if err := r.on(ctx).Raw("PRAGMA foreign_key_check").Scan(&broken).Error; err != nil {
		return report, storeError("database", err)
	}
	for _, b := range broken {
		report.Damage = append(report.Damage, fmt.Sprintf("a row of %s refers to a row of %s that is not there", b.Table, b.Parent))
	}
	if report.Schema, err = r.schemaVersion(ctx); err != nil {
		return report, err
	}
	if report.Guards, err = r.schemaFaults(ctx, report.Schema); err != nil {
		return report, err
	}
	if report.Head, err = r.Head(ctx); err != nil {
		return report, err
	}
	report.Events, report.BadEvent, err = r.checkChain(ctx)
	return report, err
}
