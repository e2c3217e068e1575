package store

import (
	"context"
	"errors"
	"fmt"

	"drylag/models"

	"gorm.io/gorm"
)

// SQLite's primary result codes that mean something to the person, from the
// result code list of sqlite.org (the low byte of an extended code).
const (
	codeBusy       = 5
	codeLocked     = 6
	codeReadOnly   = 8
	codeIOErr      = 10
	codeCorrupt    = 11
	codeFull       = 13
	codeConstraint = 19
	codeNotADB     = 26
)

// codeTrigger is SQLITE_CONSTRAINT_TRIGGER: a guard said no.
const codeTrigger = 1811

// storeError gives a database error its kind. noun names the thing in the
// text that a person may read: "cover", "opening".
func storeError(noun string, err error) error {
	var known *models.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &known):
		return err
	case errors.Is(err, gorm.ErrRecordNotFound):
		return &models.Error{Kind: models.Missing, Msg: "There is no such " + noun + ".", Err: err}
	case errors.Is(err, gorm.ErrDuplicatedKey):
		return &models.Error{Kind: models.Conflict, Msg: "There is already such a " + noun + ".", Err: err}
	case errors.Is(err, gorm.ErrForeignKeyViolated):
		return &models.Error{Kind: models.Conflict, Msg: "The " + noun + " refers to something that is not there.", Err: err}
	case errors.Is(err, context.DeadlineExceeded):
		return &models.Error{Kind: models.Busy, Msg: "The record is busy; try again in a moment.", Err: err}
	case errors.Is(err, context.Canceled):
		return fmt.Errorf("%s: %w", noun, err)
	}
	return codeError(noun, err)
}

// codeError sorts by SQLite's own result code.
func codeError(noun string, err error) error {
	code, noRoom := sqliteCode(err)
	kind, msg := models.Internal, ""
	switch {
	case noRoom || code&0xff == codeFull:
		kind, msg = models.Full, "The disk is full: nothing was saved. Make room and try again."
	case code&0xff == codeBusy || code&0xff == codeLocked:
		kind, msg = models.Busy, "The record is busy; try again in a moment."
	case code&0xff == codeReadOnly || code&0xff == codeIOErr:
		kind, msg = models.Busy, "The disk does not take the record just now: nothing was saved."
	case code&0xff == codeCorrupt || code&0xff == codeNotADB:
		msg = "The database is damaged. Stop the service and restore the last backup: drylag restore FILE."
	case code == codeTrigger:
		kind, msg = models.Conflict, "History is append-only: amend the record instead."
	case code&0xff == codeConstraint:
		kind, msg = models.Invalid, "The "+noun+" breaks a rule of the record."
	}
	return &models.Error{Kind: kind, Msg: msg, Err: fmt.Errorf("%s: %w", noun, err)}
}

// missing is the error for a thing that is not there.
func missing(noun string) error { return models.Errorf(models.Missing, "There is no such %s.", noun) }
