package store

import (
	"context"
	"time"

	"drylag/models"
)

// Answer is what the service answered to a request with an idempotency key,
// kept so that the same request gets the same answer.
type Answer struct {
	User    models.ID
	Key     string
	Request string // hash of the request's body
	Status  int
	Body    []byte
	At      time.Time
}

type answerRow struct {
	User    models.ID `gorm:"column:user_id;primaryKey"`
	Key     string    `gorm:"column:idem_key;primaryKey"`
	Request string    `gorm:"column:request_hash"`
	Status  int
	Body    []byte
	At      time.Time `gorm:"serializer:millis"`
}

// TableName is the table of these rows.
func (answerRow) TableName() string { return "answers" }

// StoredAnswer gives what was answered to a person's request with this key,
// Missing if there was none. The caller compares Request.
func (r Reader) StoredAnswer(ctx context.Context, user models.ID, key string) (Answer, error) {
	var row answerRow
	err := r.on(ctx).Take(&row, "user_id = ? AND idem_key = ?", user, key).Error
	return Answer(row), storeError("answer", err)
}

// AddAnswer keeps an answer, in the transaction of what it answers for. A key
// that the person has used already is Conflict.
func (t *Tx) AddAnswer(ctx context.Context, a Answer) error {
	row := answerRow(a)
	if row.Body == nil {
		row.Body = []byte{}
	}
	return storeError("answer", t.on(ctx).Create(&row).Error)
}
