package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"drylag/models"

	"gorm.io/gorm"
)

// BackupInfo describes a backup file that has been read back and verified.
type BackupInfo struct {
	File   string
	SHA256 string // of the whole file; also in File.sha256, which must stay beside it
	Bytes  int64
	Schema int64 // version of its schema; an older one is migrated when opened
	Head   Head  // newest link of the event chain
	At     time.Time
}

// sumSuffix ends the name of the file that holds a backup's check sum, in the
// form that sha256sum reads.
const sumSuffix = ".sha256"

// BackupPath is where a backup of this name lies in the data folder.
func (s *Store) BackupPath(name string) string {
	return filepath.Join(s.cfg.Dir, backupFolder, name)
}

// Backup copies the record as it is now into a new file, with its check sum
// beside it, and verifies the copy. Writing goes on meanwhile. The file has
// its name only when it is whole and on disk. It is Conflict if the name is taken.
func (s *Store) Backup(ctx context.Context, file string) (BackupInfo, error) {
	if _, err := os.Lstat(file); err == nil {
		return BackupInfo{}, models.Errorf(models.Conflict, "There is already a file %s.", file)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return BackupInfo{}, diskError(file, err)
	}
	part := file + ".part"
	info, err := s.backup(ctx, file, part)
	if err != nil {
		return BackupInfo{}, errors.Join(err, remove(part), remove(part+sumSuffix))
	}
	return info, nil
}

func (s *Store) backup(ctx context.Context, file, part string) (BackupInfo, error) {
	if err := errors.Join(remove(part), remove(part+sumSuffix)); err != nil {
		return BackupInfo{}, err
	}
	if err := s.copyInto(ctx, part); err != nil {
		return BackupInfo{}, err
	}
	sum, err := hashFile(part, true)
	if err != nil {
		return BackupInfo{}, err
	}
	if err := writeSum(part+sumSuffix, sum, filepath.Base(file)); err != nil {
		return BackupInfo{}, err
	}
	if _, err := verifyFile(ctx, part); err != nil {
		return BackupInfo{}, fmt.Errorf("read the copy back: %w", err)
	}
	if err := publish(part, file); err != nil {
		return BackupInfo{}, err
	}
	return VerifyBackup(ctx, file)
}

// copyInto writes the record's present state into a new file through SQLite.
func (s *Store) copyInto(ctx context.Context, part string) error {
	empty, err := os.OpenFile(part, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600) // SQLite fills an empty file and keeps its mode
	if err != nil {
		return diskError(part, err)
	}
	if err := empty.Close(); err != nil {
		return diskError(part, err)
	}
	db, err := pool(filepath.Join(s.cfg.Dir, databaseFile), always+"&mode=ro", 1, s.cfg.Log)
	if err != nil {
		return err
	}
	err = db.WithContext(ctx).Exec("VACUUM INTO ?", part).Error
	return errors.Join(storeError("backup", err), closePool(db))
}

func closePool(db *gorm.DB) error {
	plain, err := db.DB()
	if err != nil {
		return err
	}
	return plain.Close()
}

// publish gives a finished copy its name: the check sum first, so that no
// backup is ever without one.
func publish(part, file string) error {
	if err := os.Rename(part+sumSuffix, file+sumSuffix); err != nil {
		return diskError(file, err)
	}
	if err := os.Rename(part, file); err != nil {
		return diskError(file, err)
	}
	return syncFolder(filepath.Dir(file))
}

func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return diskError(dir, err)
	}
	if err := errors.Join(d.Sync(), d.Close()); err != nil {
		return diskError(dir, err)
	}
	return nil
}

// hashFile gives the SHA-256 of a file, after bringing it to disk if asked.
func hashFile(file string, sync bool) (string, error) {
	f, err := os.OpenFile(file, os.O_RDWR, 0)
	if !sync {
		f, err = os.Open(file)
	}
	if err != nil {
		return "", diskError(file, err)
	}
	h := sha256.New()
	_, err = io.Copy(h, f)
	if sync {
		err = errors.Join(err, f.Sync())
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return "", diskError(file, err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

func writeSum(path, sum, name string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return diskError(path, err)
	}
	_, err = fmt.Fprintf(f, "%s  %s\n", sum, name)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return diskError(path, err)
	}
	return nil
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return diskError(path, err)
	}
	return nil
}

// VerifyBackup reads a backup back: its check sum, its structure, the guards of
// its own schema and its event chain. Whatever is wrong is an error that says what.
func VerifyBackup(ctx context.Context, file string) (BackupInfo, error) {
	line, err := os.ReadFile(file + sumSuffix)
	if errors.Is(err, os.ErrNotExist) {
		return BackupInfo{}, models.Errorf(models.Missing, "The check sum %s%s is not there: a backup is two files.", file, sumSuffix)
	}
	if err != nil {
		return BackupInfo{}, diskError(file, err)
	}
	sum, err := hashFile(file, false)
	if err != nil {
		return BackupInfo{}, err
	}
	if want, _, _ := strings.Cut(string(line), " "); want != sum {
		return BackupInfo{}, models.Errorf(models.Conflict, "%s is not the file that was written: its check sum differs.", file)
	}
	info, err := verifyFile(ctx, file)
	info.SHA256 = sum
	return info, err
}

// verifyFile checks the database in a file that nobody writes.
func verifyFile(ctx context.Context, file string) (BackupInfo, error) {
	registerSerializers()
	stat, err := os.Stat(file)
	if err != nil {
		return BackupInfo{}, diskError(file, err)
	}
	cfg := Config{}.complete()
	db, err := pool(file, always+"&mode=ro&immutable=1&_query_only=1", 1, cfg.Log)
	if err != nil {
		return BackupInfo{}, err
	}
	report, err := Reader{db}.verify(ctx)
	if err == nil {
		err = report.Err()
	}
	if err := errors.Join(err, closePool(db)); err != nil {
		return BackupInfo{}, err
	}
	return BackupInfo{File: file, Bytes: stat.Size(), Schema: report.Schema, Head: report.Head, At: stat.ModTime()}, nil
}

// Restore verifies a backup and puts it into a data folder that holds no
// database, as its database. Open it afterwards; that migrates it if it is of
// an older schema.
func Restore(ctx context.Context, file, dir string) (BackupInfo, error) {
	info, err := VerifyBackup(ctx, file)
	if err != nil {
		return info, err
	}
	target := filepath.Join(dir, databaseFile)
	if _, err := os.Lstat(target); err == nil {
		return info, models.Errorf(models.Conflict, "There is already a database in %s: restore into an empty folder.", dir)
	}
	if err := os.MkdirAll(filepath.Join(dir, backupFolder), 0o700); err != nil {
		return info, diskError(dir, err)
	}
	part := target + ".part"
	if err := errors.Join(remove(part), copyFile(file, part)); err != nil {
		return info, errors.Join(err, remove(part))
	}
	if sum, err := hashFile(part, true); err != nil || sum != info.SHA256 {
		return info, errors.Join(models.Errorf(models.Conflict, "The copy in %s differs from the backup.", dir), err, remove(part))
	}
	if err := os.Rename(part, target); err != nil {
		return info, diskError(target, err)
	}
	return info, syncFolder(dir)
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return diskError(from, err)
	}
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return errors.Join(diskError(to, err), in.Close())
	}
	_, err = io.Copy(out, in)
	if err := errors.Join(err, out.Close(), in.Close()); err != nil {
		return diskError(to, err)
	}
	return nil
}
