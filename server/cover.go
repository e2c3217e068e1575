package server

import (
	"html/template"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/reports"
)

// coverPage is one cover: what to do, what is underneath, why, and what was
// found over the years.
type coverPage struct {
	shell
	models.CoverFile
	Cautions []string
	Section  template.HTML
	Points   []wallPoint
}

func (s *Server) showCover(c *gin.Context) error {
	file, err := s.register.CoverFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p := &coverPage{shell: titled(file.Sheet.Component.Tag, "/covers"), CoverFile: file}
	p.Cautions = append(workCautions(file.Sheet), placeCautions(file.Sheet)...)
	if p.Section, err = sectionOf(file, reports.SectionSheet); err != nil {
		return err
	}
	if p.Points, err = wallPoints(file, actor(c).Units); err != nil {
		return err
	}
	return s.show(c, "cover", p)
}

// Do is the word of action.
func (p *coverPage) Do() string { return actionWords(p.Score.Action, p.Score.Due.On) }

// When says the due date where the word of action does not say it already.
func (p *coverPage) When() string {
	switch {
	case p.Score.Due.On == "" || p.Score.Action == models.NotBefore:
		return ""
	case p.Score.Overdue:
		return "It was due on " + p.Score.Due.On.Say() + "."
	}
	return "By " + p.Score.Due.On.Say() + "."
}

// Service is the service temperature, with a word where it is assumed.
func (p *coverPage) Service() float64 {
	c, _ := p.Sheet.ServiceC()
	return c
}

// ServiceAssumed tells whether nobody gave the service temperature.
func (p *coverPage) ServiceAssumed() bool {
	_, assumed := p.Sheet.ServiceC()
	return assumed
}

// Rust is the grade found, with its scale.
func (p *coverPage) Rust(m models.MetalFinding) string { return rustWords(m) }

// Went says what a score was before the one at i, and is after it.
func (p *coverPage) Went(i int) *models.ScoreChange {
	if i+1 < len(p.Changes) {
		return &p.Changes[i+1]
	}
	return nil
}

// DoThen is the word of action of an earlier score.
func (p *coverPage) DoThen(c models.ScoreChange) string { return actionWords(c.Action, c.DueOn) }

// Late tells whether a follow-up's day has passed.
func (p *coverPage) Late(f models.FollowUp) bool {
	return f.Open() && p.Score != nil && f.By != "" && f.By < p.Score.On
}
