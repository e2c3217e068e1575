package store

import (
	"context"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"drylag/models"

	"github.com/pressly/goose/v3"
	"gorm.io/gorm"
)

//go:embed migrations
var migrations embed.FS

// object is one table, index, view or trigger of the schema.
type object struct {
	Type string `json:"type"`
	Name string `json:"name"`
	SQL  string `json:"sql"`
}

// migrate brings the schema to this program's version.
func (s *Store) migrate(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		return err
	}
	return s.migrateBy(ctx, files)
}

// migrateBy runs the numbered files that the record has not seen, each in a
// transaction of its own, after a backup. A record newer than the newest of
// them is refused. A file that fails leaves the record at the schema before
// it; the next start goes on from there.
func (s *Store) migrateBy(ctx context.Context, files fs.FS) error {
	have, err := s.schemaVersion(ctx)
	if err != nil {
		return err
	}
	provider, err := s.provider(files)
	if err != nil {
		return err
	}
	sources := provider.ListSources()
	want := sources[len(sources)-1].Version
	switch {
	case have > want:
		return models.Errorf(models.Conflict, "This database was made by a newer drylag (schema %d, this program knows %d). Use the newer program.", have, want)
	case have == want:
		return nil
	case s.writer == nil:
		return models.Errorf(models.Conflict, "This database is older than the program (schema %d of %d). Run: drylag migrate", have, want)
	case have > 0:
		if _, err := s.Backup(ctx, s.backupBefore(want)); err != nil {
			return fmt.Errorf("backup before migrating: %w", err)
		}
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("migrate from schema %d to %d: %w", have, want, storeError("schema", err))
	}
	return nil
}

// backupBefore is a file that is not there yet for the backup made before
// migrating: a start that was cut short may have left one of the same second.
func (s *Store) backupBefore(schema int64) string {
	stem := s.cfg.Now().UTC().Format("20060102T150405Z") + fmt.Sprintf("-before-schema-%d", schema)
	file := s.BackupPath(stem + ".db")
	for n := 2; ; n++ {
		if _, err := os.Lstat(file); err != nil {
			return file
		}
		file = s.BackupPath(fmt.Sprintf("%s-%d.db", stem, n))
	}
}

func (s *Store) provider(files fs.FS) (*goose.Provider, error) {
	db := s.writer
	if db == nil {
		db = s.Reader.db
	}
	plain, err := db.DB()
	if err != nil {
		return nil, storeError("schema", err)
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, plain, files, goose.WithDisableGlobalRegistry(true), goose.WithSlog(s.cfg.Log))
	return p, storeError("schema", err)
}

// schemaVersion is the version of the stored schema, 0 of an empty database.
func (r Reader) schemaVersion(ctx context.Context) (int64, error) {
	var tables int
	err := r.on(ctx).Raw("SELECT COUNT(*) FROM sqlite_master WHERE name = 'goose_db_version'").Scan(&tables).Error
	if err != nil || tables == 0 {
		return 0, storeError("schema", err)
	}
	var version int64
	err = r.on(ctx).Raw("SELECT COALESCE(MAX(version_id), 0) FROM goose_db_version WHERE is_applied").Scan(&version).Error
	return version, storeError("schema", err)
}

// quickCheck looks for damage that SQLite can see in short time. It does not
// see every wrong byte inside a row.
func (s *Store) quickCheck(ctx context.Context) error {
	var found []string
	err := s.on(ctx).Raw("PRAGMA quick_check(5)").Scan(&found).Error
	if err != nil {
		return storeError("database", err)
	}
	if len(found) != 1 || found[0] != "ok" {
		return &models.Error{Kind: models.Internal, Err: fmt.Errorf("quick_check: %q", found),
			Msg: "The database is damaged. Restore the last backup: drylag restore FILE"}
	}
	return nil
}

// checkGuards compares the migrated schema with the one that this program was
// made for, and tries a change that a guard must refuse.
func (s *Store) checkGuards(ctx context.Context) error {
	version, err := s.schemaVersion(ctx)
	if err != nil {
		return err
	}
	faults, err := s.schemaFaults(ctx, version)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return models.Errorf(models.Conflict, "The database is not as drylag left it: %s. Restore the last backup: drylag restore FILE", faults[0])
	}
	if s.writer == nil {
		return nil
	}
	return s.tryForbidden(ctx)
}

// schemaFaults says in words where the schema differs from the golden one of
// its version: an older record, as a backup made before migrating is, is right
// as it was then.
func (r Reader) schemaFaults(ctx context.Context, version int64) ([]string, error) {
	golden, err := goldenSchema(version)
	if errors.Is(err, fs.ErrNotExist) {
		return []string{fmt.Sprintf("this program does not know schema %d", version)}, nil
	}
	if err != nil {
		return nil, err
	}
	have, err := r.schema(ctx)
	if err != nil {
		return nil, err
	}
	stored := make(map[string]object, len(have))
	for _, o := range have {
		stored[o.Name] = o
	}
	var faults []string
	for _, want := range golden {
		got, ok := stored[want.Name]
		if !ok {
			faults = append(faults, fmt.Sprintf("%s %s is missing", want.Type, want.Name))
		} else if got != want {
			faults = append(faults, fmt.Sprintf("%s %s has been changed", want.Type, want.Name))
		}
		delete(stored, want.Name)
	}
	for _, o := range have {
		if _, extra := stored[o.Name]; extra {
			faults = append(faults, fmt.Sprintf("%s %s does not belong there", o.Type, o.Name))
		}
	}
	return faults, nil
}

// schema lists what is in the database, without what SQLite and the
// migration tool keep for themselves.
func (r Reader) schema(ctx context.Context) ([]object, error) {
	var list []object
	err := r.on(ctx).Raw(`SELECT type, name, sql FROM sqlite_master
		WHERE name NOT LIKE 'sqlite\_%' ESCAPE '\' AND tbl_name <> 'goose_db_version' ORDER BY type, name`).Scan(&list).Error
	return list, storeError("schema", err)
}

// goldenFile holds the schema that the migrations up to a version make.
func goldenFile(version int64) string {
	return fmt.Sprintf("migrations/schema-%d.golden.json", version)
}

func goldenSchema(version int64) ([]object, error) {
	b, err := migrations.ReadFile(goldenFile(version))
	if err != nil {
		return nil, err
	}
	var list []object
	return list, json.Unmarshal(b, &list)
}

// errUndo makes a transaction roll back.
var errUndo = errors.New("undo")

// tryForbidden appends an event and tries to change it, then undoes both.
func (s *Store) tryForbidden(ctx context.Context) error {
	err := s.Write(ctx, func(t *Tx) error {
		err := t.AppendEvent(ctx, models.Event{At: s.cfg.Now(), Act: "guard check"})
		if err != nil {
			return err
		}
		err = t.on(ctx).Transaction(func(db *gorm.DB) error {
			return db.Exec("UPDATE events SET act = 'changed' WHERE act = 'guard check'").Error
		})
		if code, _ := sqliteCode(err); code != codeTrigger {
			return models.Errorf(models.Conflict, "The database let history be changed: its guards are gone. Restore the last backup: drylag restore FILE")
		}
		return errUndo
	})
	if errors.Is(err, errUndo) {
		return nil
	}
	return err
}
