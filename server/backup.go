package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models/register"
)

type backupsPage struct {
	shell
	Files    []register.BackupFile
	Kept     int
	Verified register.BackupFile // the newest that was read back, zero: none
	Health   *register.Health    // of the database, right after it was checked
}

func (s *Server) newBackupsPage(c *gin.Context) (*backupsPage, error) {
	files, err := s.register.Backups(c.Request.Context(), actor(c))
	if err != nil {
		return nil, err
	}
	p := &backupsPage{shell: titled("Backups", "/backups"), Files: files, Kept: register.BackupsKept}
	for _, f := range files {
		if !f.Verified.IsZero() {
			p.Verified = f
			break
		}
	}
	return p, nil
}

func (s *Server) listBackups(c *gin.Context) error {
	p, err := s.newBackupsPage(c)
	if err != nil {
		return err
	}
	return s.show(c, "backups", p)
}

func (s *Server) makeBackup(c *gin.Context) error {
	s.slow(c)
	b, err := s.register.Backup(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	s.said(c, "Backed up to "+b.Name+" and read back whole.")
	return seeOther(c, "/backups")
}

// readBackup reads a backup back, to know that it could be restored.
func (s *Server) readBackup(c *gin.Context) error {
	s.slow(c)
	f, err := typed(c)
	if err != nil {
		return err
	}
	b, err := s.register.VerifyBackup(c.Request.Context(), actor(c), f.text("name"))
	if err != nil {
		return err
	}
	s.said(c, b.Name+" was read back and is whole.")
	return seeOther(c, "/backups")
}

func (s *Server) verify(c *gin.Context) error {
	s.slow(c)
	health, err := s.register.Verify(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	p, err := s.newBackupsPage(c)
	if err != nil {
		return err
	}
	p.Health = &health
	return s.show(c, "backups", p)
}
