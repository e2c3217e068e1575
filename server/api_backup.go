package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models/register"
)

// backupJSON is one backup in the data folder.
type backupJSON struct {
	Name     string     `json:"name"`
	At       time.Time  `json:"at"`
	Bytes    int64      `json:"bytes"`
	Verified *time.Time `json:"verified_at,omitempty"` // last read back whole
}

func backupFrom(b register.BackupFile) backupJSON {
	return backupJSON{b.Name, b.At.UTC(), b.Bytes, instant(b.Verified)}
}

func (s *Server) apiBackups(c *gin.Context) error {
	list, err := s.register.Backups(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]backupJSON{"backups": each(list, backupFrom)})
}

func (s *Server) apiMakeBackup(c *gin.Context) error {
	s.slow(c)
	b, err := s.register.Backup(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusCreated, backupFrom(b))
}

// apiReadBackup reads a backup back, to know that it could be restored.
func (s *Server) apiReadBackup(c *gin.Context) error {
	s.slow(c)
	b, err := s.register.VerifyBackup(c.Request.Context(), actor(c), c.Param("name"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, backupFrom(b))
}

// apiVerify checks the whole record.
func (s *Server) apiVerify(c *gin.Context) error {
	s.slow(c)
	h, err := s.register.Verify(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, struct {
		OK       bool     `json:"ok"`
		Head     string   `json:"head_sha256"`
		Events   int64    `json:"events"`
		Findings []string `json:"findings"`
	}{h.OK, h.Head, h.Events, append([]string{}, h.Findings...)})
}
