package store

import (
	"context"
	"time"

	"drylag/models"
)

// Session is a signed-in browser. Tokens are stored nowhere, only their
// SHA-256: with 128 random bits in a token it cannot be turned back.
type Session struct {
	Hash    string    // SHA-256 of the token
	User    models.ID // None before sign-in
	Data    []byte
	Expires time.Time
}

type sessionRow struct {
	Hash    string    `gorm:"column:token_hash;primaryKey"`
	User    models.ID `gorm:"column:user_id;serializer:null"`
	Data    []byte
	Expires time.Time `gorm:"column:expires_at;serializer:millis"`
}

// TableName is the table of these rows.
func (sessionRow) TableName() string { return "sessions" }

// The kinds of link that work once.
const (
	SetupToken = "setup" // set-up of the first administrator
	ResetToken = "reset" // a person's first or new password
)

// Token is a link that works once.
type Token struct {
	Hash      string    // SHA-256 of the secret
	Kind      string    // SetupToken or ResetToken
	User      models.ID // None for set-up
	ExpiresAt time.Time
	UsedAt    time.Time // zero: not used
}

type tokenRow struct {
	Hash      string `gorm:"column:token_hash;primaryKey"`
	Kind      string
	User      models.ID `gorm:"column:user_id;serializer:null"`
	ExpiresAt time.Time `gorm:"serializer:millis"`
	UsedAt    time.Time `gorm:"serializer:millis"`
}

// TableName is the table of these rows.
func (tokenRow) TableName() string { return "one_time_tokens" }

// Session gives the session of a token's hash if it has not expired at now, else Missing.
func (r Reader) Session(ctx context.Context, hash string, now time.Time) (Session, error) {
	var row sessionRow
	err := r.on(ctx).Take(&row, "token_hash = ? AND expires_at > ?", hash, now.UnixMilli()).Error
	return Session(row), storeError("session", err)
}

// PutSession stores a session, new or changed.
func (t *Tx) PutSession(ctx context.Context, s Session) error {
	row := sessionRow(s)
	if row.Data == nil {
		row.Data = []byte{}
	}
	return storeError("session", t.on(ctx).Save(&row).Error)
}

// EndSession removes one session; one that is not there is no error.
func (t *Tx) EndSession(ctx context.Context, hash string) error {
	return storeError("session", t.on(ctx).Exec("DELETE FROM sessions WHERE token_hash = ?", hash).Error)
}

// EndSessions removes every session of a person.
func (t *Tx) EndSessions(ctx context.Context, user models.ID) error {
	return storeError("session", t.on(ctx).Exec("DELETE FROM sessions WHERE user_id = ?", user).Error)
}

// Sweep removes sessions and unused links that have expired at now and stored
// answers older than answersBefore.
func (t *Tx) Sweep(ctx context.Context, now, answersBefore time.Time) error {
	for _, q := range []struct {
		sql string
		at  time.Time
	}{
		{"DELETE FROM sessions WHERE expires_at <= ?", now},
		{"DELETE FROM one_time_tokens WHERE expires_at <= ? AND used_at IS NULL", now},
		{"DELETE FROM answers WHERE at < ?", answersBefore},
	} {
		if err := t.on(ctx).Exec(q.sql, q.at.UnixMilli()).Error; err != nil {
			return storeError("session", err)
		}
	}
	return nil
}

// AddToken stores a link. Earlier unused links of the same kind and person
// stop working.
func (t *Tx) AddToken(ctx context.Context, k Token) error {
	err := t.on(ctx).Exec("DELETE FROM one_time_tokens WHERE kind = ? AND COALESCE(user_id, '') = ? AND used_at IS NULL",
		k.Kind, k.User).Error
	if err != nil {
		return storeError("link", err)
	}
	row := tokenRow(k)
	return storeError("link", t.on(ctx).Create(&row).Error)
}

// TokenUser tells whose link it is without using it; the errors are those of
// UseToken.
func (r Reader) TokenUser(ctx context.Context, hash, kind string, now time.Time) (models.ID, error) {
	var row tokenRow
	if err := r.on(ctx).Take(&row, "token_hash = ?", hash).Error; err != nil {
		return models.None, storeError("link", err)
	}
	switch {
	case row.Kind != kind || !row.UsedAt.IsZero():
		return models.None, models.Errorf(models.Denied, "This link has been used already. Ask for a new one.")
	case !now.Before(row.ExpiresAt):
		return models.None, models.Errorf(models.Denied, "This link has expired. Ask for a new one.")
	}
	return row.User, nil
}

// UseToken uses a link up and tells whose it was. An unknown link is Missing;
// one of another kind, used or expired is Denied.
func (t *Tx) UseToken(ctx context.Context, hash, kind string, now time.Time) (models.ID, error) {
	user, err := t.TokenUser(ctx, hash, kind, now)
	if err != nil {
		return models.None, err
	}
	err = t.on(ctx).Exec("UPDATE one_time_tokens SET used_at = ? WHERE token_hash = ?", now.UnixMilli(), hash).Error
	return user, storeError("link", err)
}
