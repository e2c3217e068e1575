// Package store keeps the record in a SQLite file: rows, migrations, guards,
// backups. It is the only package that knows a database. It answers in models
// types and never computes what the record means.
package store

import (
	"context"
	"log/slog"
	"os"
	"time"

	"drylag/models"

	"gorm.io/gorm"
)

// Config says where the record lives.
type Config struct {
	Dir      string           // data folder
	ReadOnly bool             // look only: takes no lock, migrates nothing, refuses Write
	Log      *slog.Logger     // nil: nothing is logged
	Now      func() time.Time // names automatic backups; nil: time.Now
}

// Store is the open record. Reads go through a pool of connections that
// cannot write, writes one after the other through Write.
type Store struct {
	Reader
	cfg    Config
	writer *gorm.DB // one connection; nil where read-only
	lock   *os.File // held while open; nil where read-only
}

// Reader answers questions: a Store's from the last committed state, a Tx's
// from inside its transaction.
type Reader struct{ db *gorm.DB }

// Tx is one write transaction: all of it is stored, or nothing.
type Tx struct{ Reader }

func (r Reader) on(ctx context.Context) *gorm.DB { return r.db.WithContext(ctx) }

// Write runs fn in one transaction that takes the write lock first. It is
// stored when Write returns nil: on disk, surviving a power cut. Whatever
// error fn or the commit gives undoes all of it. Inside fn only the Tx may be
// used: the Store's own reads do not see what the Tx wrote.
func (s *Store) Write(ctx context.Context, fn func(*Tx) error) error {
	if s.writer == nil {
		return models.Errorf(models.Busy, "The record is open for reading only.")
	}
	err := s.writer.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		return fn(&Tx{Reader{db}})
	})
	return storeError("record", err)
}

// snapshot runs fn on one unchanging state of the record.
func (r Reader) snapshot(ctx context.Context, fn func(Reader) error) error {
	return r.on(ctx).Transaction(func(db *gorm.DB) error { return fn(Reader{db}) })
}

// put writes a mutable row: version 0 inserts it, any other version must be
// the stored one. On success *version is the new one.
func (t *Tx) put(ctx context.Context, noun string, row any, id models.ID, version *int) error {
	old := *version
	*version = old + 1
	if old == 0 {
		return storeError(noun, t.on(ctx).Create(row).Error)
	}
	res := t.on(ctx).Model(row).Where("id = ? AND version = ?", id, old).Select("*").Omit("id").Updates(row)
	if res.Error != nil || res.RowsAffected == 1 {
		return storeError(noun, res.Error)
	}
	var n int64
	if err := t.on(ctx).Model(row).Where("id = ?", id).Count(&n).Error; err != nil {
		return storeError(noun, err)
	}
	if n == 0 {
		return missing(noun)
	}
	return models.Errorf(models.Stale, "Somebody changed this %s meanwhile. Look at it again and repeat your change.", noun)
}

// inScope narrows a query to the buildings of a scope: nil is all of them, an
// empty scope none. column is a fixed name, never input.
func inScope(q *gorm.DB, column string, scope *[]models.ID) *gorm.DB {
	if scope == nil {
		return q
	}
	if len(*scope) == 0 {
		return q.Where("1 = 0")
	}
	return q.Where(column+" IN ?", *scope)
}

// convert changes every element.
func convert[A, B any](in []A, f func(A) B) []B {
	out := make([]B, len(in))
	for i, a := range in {
		out[i] = f(a)
	}
	return out
}
