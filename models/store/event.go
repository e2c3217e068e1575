package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"time"

	"drylag/models"
)

type eventRow struct {
	Seq      int64     `gorm:"primaryKey;autoIncrement:false"`
	At       time.Time `gorm:"serializer:millis"`
	Actor    models.ID `gorm:"column:actor_id"`
	Act      string
	Subject  string
	Of       models.ID `gorm:"column:of_id"`
	Building models.ID `gorm:"column:building_id"`
	Detail   string
	Prev     string
	Hash     string
}

// TableName is the table of these rows.
func (eventRow) TableName() string { return "events" }

// Head is the newest link of the event chain. Kept elsewhere, it shows when
// the end of the log has been cut off.
type Head struct {
	Seq  int64
	Hash string
}

// EventFilter narrows the event log. Empty fields do not narrow.
type EventFilter struct {
	Before   int64 // older than this one; 0: from the newest
	Of       models.ID
	Building models.ID
	Scope    *[]models.ID // buildings allowed; nil: all, and what belongs to none
	Limit    int          // 0: 100
}

// Events gives events, newest first.
func (r Reader) Events(ctx context.Context, f EventFilter) ([]models.Event, error) {
	q := inScope(r.on(ctx), "building_id", f.Scope)
	if f.Before > 0 {
		q = q.Where("seq < ?", f.Before)
	}
	if f.Of != models.None {
		q = q.Where("of_id = ?", f.Of)
	}
	if f.Building != models.None {
		q = q.Where("building_id = ?", f.Building)
	}
	if f.Limit <= 0 {
		f.Limit = 100
	}
	var rows []eventRow
	err := q.Order("seq DESC").Limit(f.Limit).Find(&rows).Error
	return convert(rows, func(e eventRow) models.Event { return models.Event(e) }), storeError("event", err)
}

// Head gives the newest link of the event chain, the zero Head of an empty log.
func (r Reader) Head(ctx context.Context) (Head, error) {
	var head Head
	err := r.on(ctx).Raw("SELECT seq, hash FROM events ORDER BY seq DESC LIMIT 1").Scan(&head).Error
	return head, storeError("event", err)
}

// AppendEvent adds a line to the log. Its number, the hash before it and its
// own hash are set here.
func (t *Tx) AppendEvent(ctx context.Context, e models.Event) error {
	head, err := t.Head(ctx)
	if err != nil {
		return err
	}
	e.Seq, e.Prev, e.At = head.Seq+1, head.Hash, e.At.UTC().Truncate(time.Millisecond)
	e.Hash = eventHash(e)
	row := eventRow(e)
	return storeError("event", t.on(ctx).Create(&row).Error)
}

// eventHash is SHA-256 of the hash before, a line feed and the event's content
// as a JSON list in this order: seq, at in milliseconds, actor, act, subject,
// of, building, detail.
func eventHash(e models.Event) string {
	content, err := json.Marshal([]any{e.Seq, e.At.UnixMilli(), e.Actor, e.Act, e.Subject, e.Of, e.Building, e.Detail})
	if err != nil {
		return "" // whole numbers and texts always marshal
	}
	sum := sha256.Sum256(append([]byte(e.Prev+"\n"), content...))
	return hex.EncodeToString(sum[:])
}

// checkChain walks the log from the first event. It answers how many links
// hold, and in words what is wrong with the first that does not.
func (r Reader) checkChain(ctx context.Context) (good int64, fault string, err error) {
	prev, after := "", int64(0)
	for {
		var rows []eventRow
		err := r.on(ctx).Where("seq > ?", after).Order("seq").Limit(1000).Find(&rows).Error
		if err != nil {
			return good, "", storeError("event", err)
		}
		if len(rows) == 0 {
			return good, "", nil
		}
		for _, row := range rows {
			if fault := linkFault(models.Event(row), after, prev); fault != "" {
				return good, fault, nil
			}
			good, after, prev = good+1, row.Seq, row.Hash
		}
	}
}

// linkFault says what is wrong with one link after the one numbered after.
func linkFault(e models.Event, after int64, prev string) string {
	switch {
	case e.Seq != after+1:
		return fmt.Sprintf("event %d is missing", after+1)
	case e.Prev != prev:
		return fmt.Sprintf("event %d does not follow event %d", e.Seq, after)
	case e.Hash != eventHash(e):
		return fmt.Sprintf("event %d has been changed", e.Seq)
	}
	return ""
}
