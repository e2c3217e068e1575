package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// morningLines is how many follow-ups the first page names.
const morningLines = 5

type morningPage struct {
	shell
	models.Morning
	ToDo []register.FollowUpRow // the first of the follow-ups
	Held int                    // late records that wait for the person
}

func (s *Server) showMorning(c *gin.Context) error {
	m, err := s.register.Morning(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	todo, err := s.register.FollowUps(c.Request.Context(), actor(c), register.FollowUpFilter{Limit: morningLines})
	if err != nil {
		return err
	}
	held, err := s.register.HeldCount(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.show(c, "morning", &morningPage{shell: titled("Morning sheet", "/"), Morning: m, ToDo: todo, Held: held})
}

// Allows tells whether the actor may do an act, for the links on the page.
func (sh *shell) Allows(act models.Act) bool { return models.May(sh.Actor.Role, act) }

// Weekday is the day that the sheet is for, in words.
func (p *morningPage) Weekday() string { return p.Today.Time().Format("Monday") }

// Rest is how many there are beyond those that are named.
func (p *morningPage) Rest(all int, named []models.CoverRow) int { return all - len(named) }
