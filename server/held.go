package server

import (
	"crypto/rand"
	"net/url"
	"sync"
	"time"

	"drylag/models"
)

// Files that were tried are held in memory until they are stored.
const (
	heldFor  = time.Hour
	heldMost = 8 // files of all people together; the oldest gives way
)

// heldFile is a file with the answers that came with it.
type heldFile struct {
	name   string
	body   []byte
	values url.Values
	bad    []byte // CSV of its bad rows

	owner models.ID
	key   string
	at    time.Time
}

// heldFiles are the files that wait to be stored, oldest first.
type heldFiles struct {
	mu    sync.Mutex
	files []heldFile
}

// keep holds a file for its owner and gives the key to it.
func (h *heldFiles) keep(owner models.ID, now time.Time, f heldFile) (key string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	f.owner, f.key, f.at = owner, rand.Text(), now
	h.files = append(h.files, f)
	if len(h.files) > heldMost {
		h.files = append([]heldFile(nil), h.files[len(h.files)-heldMost:]...)
	}
	return f.key
}

// find gives a file to its owner as long as it is held.
func (h *heldFiles) find(owner models.ID, key string, now time.Time) (heldFile, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, f := range h.files {
		if f.owner == owner && f.key == key && now.Sub(f.at) < heldFor {
			return f, true
		}
	}
	return heldFile{}, false
}
