package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coverPage is one cover: what to do, what is underneath, why, and what was
// found over the years.
type coverPage struct {
	shell
	models.CoverFile
	Today    models.Date
	Cautions []string
	Cut      cut
	Walls    []wallPlot
	Changes  []changeLine
	History  []entry
	Physics  *physicsView // nil: it no longer stands
}

func (s *Server) showCover(c *gin.Context) error {
	ctx, who := c.Request.Context(), actor(c)
	file, err := s.register.CoverFile(ctx, who, param(c, "id"))
	if err != nil {
		return err
	}
	policy, err := s.register.Policy(ctx, who)
	if err != nil {
		return err
	}
	p := &coverPage{shell: titled(file.Sheet.Component.Tag, "/covers"), CoverFile: file, Today: s.register.Today(file.Sheet.Building)}
	p.Cautions = append(workCautions(file.Sheet), placeCautions(file.Sheet)...)
	p.Changes, p.History = changeLines(file), entriesOf(file)
	if p.Cut, err = cutOf(file); err != nil {
		return err
	}
	if p.Walls, err = wallPlots(file, policy.GaugeErrorMM, who.Units); err != nil {
		return err
	}
	if p.Physics, err = s.physicsOf(c, file.Sheet); err != nil {
		return err
	}
	return s.show(c, "cover", p)
}

// Do is the word of action.
func (p *coverPage) Do() string { return actionWords(p.Score.Action, p.Score.Due.On) }

// When is the due date after that word, "" where the reason after it says it.
func (p *coverPage) When() string {
	due := p.Score.Due
	if due.Rule == models.RuleOff {
		return ""
	}
	return dueWords(p.Score.Action, due.Rule, due.On, p.Today)
}

// DateSays is one of the other dates, and whether it has passed.
func (p *coverPage) DateSays(d models.DueDate) string {
	return dueWords("", d.Rule, d.On, p.Today)
}

// LastOpened says when the metal was last bared and what was found, in drylag
// or before it.
func (p *coverPage) LastOpened() string {
	o, e := lastBared(p.CoverFile), lastEarlier(p.CoverFile)
	switch {
	case o == nil && e == nil:
		return "never, as far as the record goes"
	case o == nil || e != nil && e.On > o.On:
		return e.On.Say() + foundSaid(e.Wet()) + ", an earlier record"
	case !o.Answered():
		return o.On.Say()
	}
	return o.On.Say() + foundSaid(new(o.Wet()))
}

func foundSaid(wet *bool) string {
	switch {
	case wet == nil:
		return ""
	case *wet:
		return ", found wet"
	}
	return ", found dry"
}

// Service is the service temperature in °C.
func (p *coverPage) Service() float64 {
	c, _ := p.Sheet.ServiceC()
	return c
}

// ServiceAssumed tells whether nobody gave the service temperature.
func (p *coverPage) ServiceAssumed() bool {
	_, assumed := p.Sheet.ServiceC()
	return assumed
}

// Standing tells whether it is on the metal now, so that it can be opened.
func (p *coverPage) Standing() bool {
	return p.Sheet.Cover.State == models.InPlace || p.Sheet.Cover.State == models.Off
}

// People is how many are needed at the part.
func (p *coverPage) People() int { return max(1, p.Sheet.Component.People) }

// Late tells whether a follow-up's day has passed.
func (p *coverPage) Late(f models.FollowUp) bool { return f.Open() && f.By != "" && f.By < p.Today }

// RecordFor is the form that records what a follow-up asks for.
func (p *coverPage) RecordFor(f models.FollowUp) string { return recordForm(f) }

// Open and Done are the follow-ups still to do and those that are closed.
func (p *coverPage) Open() []models.FollowUp { return p.followUps(true) }
func (p *coverPage) Done() []models.FollowUp { return p.followUps(false) }

func (p *coverPage) followUps(open bool) []models.FollowUp {
	var out []models.FollowUp
	for _, f := range p.FollowUps {
		if f.Open() == open {
			out = append(out, f)
		}
	}
	return out
}
