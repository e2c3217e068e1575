package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// morningJSON is what waits for whoever asks: counts, and the first few of each.
type morningJSON struct {
	Today         models.Date       `json:"today"`
	Covers        int               `json:"covers"`
	OffCount      int               `json:"off_count"`
	Off           []coverRowJSON    `json:"off"`
	LookNowCount  int               `json:"look_now_count"`
	LookNow       []coverRowJSON    `json:"look_now"`
	OverdueCount  int               `json:"overdue_count"`
	Overdue       []coverRowJSON    `json:"overdue"`
	DueRound      int               `json:"due_this_round"`
	FollowUpCount int               `json:"follow_up_count"`
	FollowUps     []followUpRowJSON `json:"follow_ups"`
	NeverSeen     int               `json:"never_seen"`
	Pending       int               `json:"scores_pending"`
	RecentOpened  int               `json:"opened_in_30_days"`
	RecentWet     int               `json:"found_wet_in_30_days"`
}

func (s *Server) apiMorning(c *gin.Context) error {
	m, err := s.register.Morning(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	todo, err := s.register.FollowUps(c.Request.Context(), actor(c), register.FollowUpFilter{Limit: morningLines})
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, morningJSON{m.Today, m.Covers, m.OffCount, each(m.Off, coverRowFrom), m.LookNowCount,
		each(m.LookNow, coverRowFrom), m.OverdueCount, each(m.Overdue, coverRowFrom), m.DueRound, m.FollowUpCount,
		each(todo, followUpRowFrom), m.NeverSeen, m.Pending, m.RecentOpened, m.RecentWet})
}
