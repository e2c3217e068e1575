package store

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall"

	"drylag/models"
)

// takeLock makes this the one process that writes the record. The lock is the
// operating system's: it ends with the process, however that ends. The file
// tells who has it.
func takeLock(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, diskError(path, err)
	}
	err = syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		holder, _ := os.ReadFile(path) // for the message only
		return nil, errors.Join(models.Errorf(models.Busy, "Another drylag (process %s) has this data folder open.",
			strings.TrimSpace(string(holder))), file.Close())
	}
	if err == nil {
		err = file.Truncate(0)
	}
	if err == nil {
		_, err = fmt.Fprintln(file, os.Getpid())
	}
	if err != nil {
		return nil, errors.Join(diskError(path, err), file.Close())
	}
	return file, nil
}

// networkKinds are file systems whose locks and syncs cannot be trusted with
// a database that several connections share (sqlite.org, "WAL does not work
// over a network filesystem").
var networkKinds = map[string]bool{
	"nfs": true, "nfs4": true, "cifs": true, "smb3": true, "smbfs": true, "9p": true,
	"afs": true, "ceph": true, "glusterfs": true, "fuse.sshfs": true, "fuse.glusterfs": true,
}

// networkFileSystem names the kind of network file system that holds dir, ""
// where it is none or this system does not tell.
func networkFileSystem(dir string) string {
	table, err := os.ReadFile("/proc/self/mountinfo")
	if err != nil {
		return ""
	}
	kind := mountKind(string(table), dir)
	if networkKinds[kind] {
		return kind
	}
	return ""
}

// mountKind finds the file system type of the longest mount point above dir
// in Linux's table of mounts (proc(5), mountinfo).
func mountKind(table, dir string) string {
	kind, longest := "", -1
	for line := range strings.Lines(table) {
		mount, source, ok := strings.Cut(line, " - ")
		fields, from := strings.Fields(mount), strings.Fields(source)
		if !ok || len(fields) < 5 || len(from) < 1 {
			continue
		}
		point := strings.TrimSuffix(fields[4], "/")
		if (dir == point || strings.HasPrefix(dir, point+"/")) && len(point) >= longest {
			kind, longest = from[0], len(point)
		}
	}
	return kind
}
