//go:build !cgo

package store

import (
	"errors"
	"strings"

	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
	msq "modernc.org/sqlite"
)

// engine names the SQLite library linked into this build.
const engine = "modernc.org/sqlite"

func dialector(dsn string) gorm.Dialector {
	return pure{sqlite.Dialector{DriverName: "sqlite", DSN: dsn}}
}

// pure teaches gorm's driver the error type of the engine in pure Go.
type pure struct{ sqlite.Dialector }

// Translate gives gorm's names to the errors that gorm has names for.
func (d pure) Translate(err error) error {
	code, _ := sqliteCode(err)
	switch code {
	case 1555, 2067: // SQLITE_CONSTRAINT_PRIMARYKEY, _UNIQUE
		return gorm.ErrDuplicatedKey
	case 787: // SQLITE_CONSTRAINT_FOREIGNKEY
		return gorm.ErrForeignKeyViolated
	}
	return d.Dialector.Translate(err)
}

// sqliteCode is SQLite's extended result code in err's chain, 0 if there is
// none, and whether the operating system said that there is no more room.
func sqliteCode(err error) (code int, noRoom bool) {
	var e *msq.Error
	if !errors.As(err, &e) {
		return 0, false
	}
	return e.Code(), strings.Contains(e.Error(), "file too large") || strings.Contains(e.Error(), "no space left")
}
