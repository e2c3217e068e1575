package register

import (
	"context"
	"encoding/json"
	"fmt"

	"drylag/models"
	"drylag/models/store"
)

// EventFilter narrows the event log. Empty fields do not narrow.
type EventFilter struct {
	Before   int64 // events older than this number, 0: the newest
	Building models.ID
	Of       models.ID // what the event is about
	Limit    int       // 0: 100
}

// Events is a stretch of the event log, newest first. An administrator of some
// buildings sees the events of those.
func (r *Register) Events(ctx context.Context, a models.Actor, f EventFilter) ([]models.Event, error) {
	if err := a.May(models.ActBackup); err != nil {
		return nil, err
	}
	if err := r.seesFilter(ctx, a, f.Building, models.None, models.None); err != nil {
		return nil, err
	}
	return r.store.Events(ctx, store.EventFilter{Before: f.Before, Building: f.Building, Of: f.Of, Scope: scopeOf(a), Limit: f.Limit})
}

// changedRecords compares the openings and looks on record with the hashes that
// the log holds of them, and names those that differ.
func (r *Register) changedRecords(ctx context.Context) ([]string, error) {
	var found []string
	for before := int64(0); ; {
		list, err := r.store.Events(ctx, store.EventFilter{Before: before, Limit: 1000})
		if err != nil || len(list) == 0 {
			return found, err
		}
		for _, e := range list {
			word, err := r.changedRecord(ctx, e)
			if err != nil {
				return found, err
			}
			if word != "" {
				found = append(found, word)
			}
			before = e.Seq
		}
	}
}

// changedRecord says in words that the record an event speaks of is not what it
// was, "" where it is.
func (r *Register) changedRecord(ctx context.Context, e models.Event) (string, error) {
	var detail struct {
		Content string `json:"content"`
	}
	if (e.Subject != "opening" && e.Subject != "look") || json.Unmarshal([]byte(e.Detail), &detail) != nil || detail.Content == "" {
		return "", nil
	}
	now, err := r.hashNow(ctx, e)
	switch {
	case err != nil:
		return "", err
	case now == "":
		return fmt.Sprintf("%s %s of event %d is missing", e.Subject, e.Of, e.Seq), nil
	case now != detail.Content:
		return fmt.Sprintf("%s %s has been changed since event %d", e.Subject, e.Of, e.Seq), nil
	}
	return "", nil
}

// hashNow is the hash of an opening or look as it is on record, "" if there is none.
func (r *Register) hashNow(ctx context.Context, e models.Event) (string, error) {
	if e.Subject == "look" {
		l, err := found(r.store.Look(ctx, e.Of))
		if err != nil || l == nil {
			return "", err
		}
		return lookHash(*l), nil
	}
	o, err := found(r.store.Opening(ctx, e.Of))
	if err != nil || o == nil {
		return "", err
	}
	return openingHash(*o), nil
}
