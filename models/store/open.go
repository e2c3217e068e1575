package store

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"drylag/models"

	"gorm.io/gorm"
	"gorm.io/gorm/logger"
)

const (
	databaseFile = "drylag.db"
	lockFile     = "drylag.lock"
	backupFolder = "backups"
)

// readers is the size of the pool of connections that only read.
const readers = 4

// What every connection is told, in words that both engines read from the
// address of the file. A write is on disk when it is answered (synchronous
// FULL); a busy file is waited for; REPLACE cannot pass the append-only guards
// (recursive triggers). Each engine skips the parameters that only the other
// knows.
const (
	always    = "_synchronous=FULL&_foreign_keys=1&_busy_timeout=5000&_recursive_triggers=1&_pragma=recursive_triggers(1)&_timezone=UTC"
	forWrites = always + "&_journal_mode=WAL&_txlock=immediate&_cache_size=-65536&_pragma=cache_size(-65536)"
	forReads  = always + "&mode=ro&_query_only=1"
)

// address names a database file and how to talk to it.
func address(file, params string) string {
	return "file:" + (&url.URL{Path: file}).EscapedPath() + "?" + params
}

// Create makes the data folder (mode 0700) with an empty, migrated record
// (mode 0600) and opens it. It is Conflict if the folder holds one already.
func Create(ctx context.Context, cfg Config) (*Store, error) {
	cfg = cfg.complete()
	if err := os.MkdirAll(filepath.Join(cfg.Dir, backupFolder), 0o700); err != nil {
		return nil, diskError(cfg.Dir, err)
	}
	for _, dir := range []string{cfg.Dir, filepath.Join(cfg.Dir, backupFolder)} {
		if err := os.Chmod(dir, 0o700); err != nil {
			return nil, diskError(dir, err)
		}
	}
	file, err := os.OpenFile(filepath.Join(cfg.Dir, databaseFile), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil, models.Errorf(models.Conflict, "There is already a database in %s.", cfg.Dir)
	}
	if err != nil {
		return nil, diskError(cfg.Dir, err)
	}
	if err := file.Close(); err != nil {
		return nil, diskError(cfg.Dir, err)
	}
	return open(ctx, cfg, true)
}

// Open opens the record. It is Missing if the folder holds none (never a new
// one), Busy if another process has it, Conflict if it is newer than this
// program or its guards are not as they should be, Internal if it is damaged.
// An older one is backed up and then migrated.
func Open(ctx context.Context, cfg Config) (*Store, error) {
	cfg = cfg.complete()
	info, err := os.Stat(filepath.Join(cfg.Dir, databaseFile))
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() == 0 {
		return nil, models.Errorf(models.Missing, "There is no database in %s. If this is the right folder, is its disk there? For a new one run: drylag init", cfg.Dir)
	}
	if err != nil {
		return nil, diskError(cfg.Dir, err)
	}
	return open(ctx, cfg, false)
}

func (c Config) complete() Config {
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	if abs, err := filepath.Abs(c.Dir); err == nil {
		c.Dir = abs
	}
	return c
}

func open(ctx context.Context, cfg Config, fresh bool) (*Store, error) {
	registerSerializers()
	s := &Store{cfg: cfg}
	err := s.connect(ctx, fresh)
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

func (s *Store) connect(ctx context.Context, fresh bool) (err error) {
	file := filepath.Join(s.cfg.Dir, databaseFile)
	if !s.cfg.ReadOnly {
		if s.lock, err = takeLock(filepath.Join(s.cfg.Dir, lockFile)); err != nil {
			return err
		}
		if kind := networkFileSystem(s.cfg.Dir); kind != "" {
			return models.Errorf(models.Conflict, "%s is on a network file system (%s), which loses records: use a disk of this machine.", s.cfg.Dir, kind)
		}
		if s.writer, err = pool(file, forWrites, 1, s.cfg.Log); err != nil {
			return err
		}
	}
	if s.Reader.db, err = pool(file, forReads, readers, s.cfg.Log); err != nil {
		return err
	}
	if !fresh {
		if err := s.quickCheck(ctx); err != nil {
			return err
		}
	}
	if err := s.migrate(ctx); err != nil {
		return err
	}
	return s.checkGuards(ctx)
}

// pool opens a pool of n connections.
func pool(file, params string, n int, log *slog.Logger) (*gorm.DB, error) {
	db, err := gorm.Open(dialector(address(file, params)), &gorm.Config{
		SkipDefaultTransaction: true,
		TranslateError:         true,
		Logger:                 slowLog{logger.NewSlogLogger(log, slowConfig)},
	})
	if err != nil {
		return nil, storeError("database", err)
	}
	plain, err := db.DB()
	if err != nil {
		return nil, storeError("database", err)
	}
	plain.SetMaxOpenConns(n)
	plain.SetMaxIdleConns(n)
	return db, nil
}

// slowConfig logs statements without their values.
var slowConfig = logger.Config{LogLevel: logger.Warn, SlowThreshold: 2 * time.Second,
	ParameterizedQueries: true, IgnoreRecordNotFoundError: true}

// slowLog tells of slow statements only: an error is returned, and whoever
// handles it logs it.
type slowLog struct{ logger.Interface }

// Trace is called after every statement.
func (l slowLog) Trace(ctx context.Context, begin time.Time, sql func() (string, int64), _ error) {
	l.Interface.Trace(ctx, begin, sql, nil)
}

// ParamsFilter keeps values out of the log.
func (l slowLog) ParamsFilter(_ context.Context, sql string, _ ...any) (string, []any) {
	return sql, nil
}

// Close ends all connections and gives the lock back.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*gorm.DB{s.Reader.db, s.writer} {
		if db == nil {
			continue
		}
		plain, err := db.DB()
		if err == nil {
			err = plain.Close()
		}
		errs = append(errs, err)
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	return errors.Join(errs...)
}

// diskError says what the disk refused.
func diskError(path string, err error) error {
	return &models.Error{Kind: models.Internal, Msg: "The disk refused " + path + ".", Err: err}
}
