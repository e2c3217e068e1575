package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// live says that the process answers; it knows nothing of the database.
func (s *Server) live(c *gin.Context) error {
	return s.send(c, http.StatusOK, "text/plain; charset=utf-8", []byte("live\n"))
}

// ready says whether requests can be served: not while shutting down, and not
// when the database or its guards are gone.
func (s *Server) ready(c *gin.Context) error {
	if s.closing.Load() {
		return models.Errorf(models.Busy, "Shutting down.")
	}
	if err := s.register.Ready(c.Request.Context()); err != nil {
		s.log.Error("not ready", "err", err)
		return s.send(c, http.StatusServiceUnavailable, "text/plain; charset=utf-8", []byte("not ready\n"))
	}
	return s.send(c, http.StatusOK, "text/plain; charset=utf-8", []byte("ready\n"))
}
