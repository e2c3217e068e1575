//go:build cgo

package store

import (
	"errors"
	"syscall"

	"github.com/mattn/go-sqlite3"
	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
)

// engine names the SQLite library linked into this build.
const engine = "mattn/go-sqlite3"

func dialector(dsn string) gorm.Dialector { return sqlite.Open(dsn) }

// sqliteCode is SQLite's extended result code in err's chain, 0 if there is
// none, and whether the operating system said that there is no more room.
func sqliteCode(err error) (code int, noRoom bool) {
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return 0, false
	}
	return int(e.ExtendedCode), e.SystemErrno == syscall.EFBIG || e.SystemErrno == syscall.ENOSPC
}
