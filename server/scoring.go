package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// scoringJSON is how far the scoring of the fleet has come.
type scoringJSON struct {
	Running bool       `json:"running"`
	Asked   bool       `json:"asked"`
	Done    int        `json:"done"`
	Total   int        `json:"total"`
	Began   *time.Time `json:"began_at,omitempty"`
	Ended   *time.Time `json:"ended_at,omitempty"`
	Says    string     `json:"says"`
}

func scoringFrom(p models.Scoring) scoringJSON {
	return scoringJSON{p.Running, p.Asked, p.Done, p.Total, instant(p.Began), instant(p.Ended), scoringSays(p)}
}

// scoringSays is the state in a sentence.
func scoringSays(p models.Scoring) string {
	scored := num(float64(p.Done), 0) + " of " + num(float64(p.Total), 0) + " covers"
	switch {
	case p.Running && p.Total == 0:
		return "Learning from the openings; the scores follow."
	case p.Running:
		return "Scores are being worked out again: " + scored + "."
	case p.Asked:
		return "Scoring begins in a moment."
	case p.Began.IsZero():
		return "The covers have not been scored since the service began."
	case p.Stopped != "":
		return "Stopped by " + p.Stopped + " after " + scored + "; the others keep their scores until tomorrow’s pass."
	case p.Failed:
		return "The last scoring ended early, after " + scored + ". It is tried again within ten minutes; the log has the reason."
	}
	return "All scores are worked out: " + scored + "."
}

func (s *Server) apiScoring(c *gin.Context) error {
	p, err := s.register.Scoring(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, scoringFrom(p))
}

func (s *Server) apiScoreAll(c *gin.Context) error {
	if err := s.register.ScoreAll(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	return s.apiScoring(c)
}

func (s *Server) apiStopScoring(c *gin.Context) error {
	if err := s.register.StopScoring(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	return s.apiScoring(c)
}

func (s *Server) scoreAll(c *gin.Context) error {
	if err := s.register.ScoreAll(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	s.said(c, "Every cover is scored afresh. You can leave this page.")
	return seeOther(c, "/constants#scores")
}

func (s *Server) stopScoring(c *gin.Context) error {
	if err := s.register.StopScoring(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	s.said(c, "Stopped. What is scored stays.")
	return seeOther(c, "/constants#scores")
}
