package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// followUpPage is the list of what findings still need, by building.
type followUpPage struct {
	shell
	Groups      []followUpGroup
	Count, Late int
	Full        bool // there may be more than the list holds
}

type followUpGroup struct {
	Building string
	Rows     []followUpRow
}

type followUpRow struct {
	register.FollowUpRow
	Late bool
	Form string // address of the form that records what was done
}

const followUpsListed = 200

func (s *Server) listFollowUps(c *gin.Context) error {
	list, err := s.register.FollowUps(c.Request.Context(), actor(c), register.FollowUpFilter{
		Building: models.ID(c.Query("building")), Limit: followUpsListed})
	if err != nil {
		return err
	}
	p := &followUpPage{shell: titled("Follow-ups", "/follow-ups"), Count: len(list), Full: len(list) == followUpsListed}
	if err := s.groupFollowUps(c, p, list); err != nil {
		return err
	}
	return s.show(c, "follow_ups", p)
}

// groupFollowUps puts the list, which has the earliest day first, under its
// buildings.
func (s *Server) groupFollowUps(c *gin.Context, p *followUpPage, list []register.FollowUpRow) error {
	at, today := map[models.ID]int{}, map[models.ID]models.Date{}
	for _, f := range list {
		if _, met := at[f.Building]; !met {
			b, err := s.register.Building(c.Request.Context(), actor(c), f.Building)
			if err != nil {
				return err
			}
			at[f.Building], today[f.Building] = len(p.Groups), s.register.Today(b)
			p.Groups = append(p.Groups, followUpGroup{Building: f.BuildingName})
		}
		row := followUpRow{f, f.By != "" && f.By < today[f.Building], recordForm(f.FollowUp)}
		if row.Late {
			p.Late++
		}
		g := &p.Groups[at[f.Building]]
		g.Rows = append(g.Rows, row)
	}
	return nil
}

// recordForm is the form that records what a follow-up asks for.
func recordForm(f models.FollowUp) string {
	noun := "openings"
	switch f.Kind {
	case "look":
		noun = "looks"
	case "reading":
		noun = "readings"
	}
	return "/covers/" + string(f.Cover) + "/" + noun + "/new?for=" + string(f.ID)
}

// openFollowUp is the open follow-up of a cover that a record is for; nil where
// there is none.
func (s *Server) openFollowUp(c *gin.Context, cover, id models.ID) (*models.FollowUp, error) {
	if id == models.None {
		return nil, nil
	}
	file, err := s.register.FollowUpFile(c.Request.Context(), actor(c), id)
	switch {
	case models.KindOf(err) == models.Missing && err != nil:
		return nil, nil // a record never fails for what it was meant for
	case err != nil || file.FollowUp.Cover != cover || !file.FollowUp.Open():
		return nil, err
	}
	return &file.FollowUp, nil
}

// followUpForm is the page on which a follow-up is opened or closed by hand.
type followUpForm struct {
	shell
	Sheet models.CoverSheet
	File  register.FollowUpFile // closing only
}

func (s *Server) newFollowUp(c *gin.Context) error {
	sheet, err := s.register.Cover(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p := &followUpForm{shell: titled("Follow-up on "+sheet.Component.Tag, "/follow-ups"), Sheet: sheet}
	p.Form = blank()
	p.Form.set("cover", string(sheet.Cover.ID))
	return s.show(c, "follow_up_new", p)
}

func (s *Server) createFollowUp(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	sheet, err := s.register.Cover(c.Request.Context(), actor(c), f.id("cover"))
	if err != nil {
		return err
	}
	p := &followUpForm{shell: titled("Follow-up on "+sheet.Component.Tag, "/follow-ups"), Sheet: sheet}
	p.Form = f
	asked := models.FollowUp{Cover: sheet.Cover.ID, Kind: f.text("kind"), Why: f.text("why"), By: f.date("by")}
	if err := f.check(nil); err != nil {
		return s.again(c, "follow_up_new", p, err)
	}
	if _, err := s.register.OpenFollowUp(c.Request.Context(), actor(c), asked); err != nil {
		return s.again(c, "follow_up_new", p, err)
	}
	s.said(c, "Follow-up opened: "+models.FollowUpKinds.Say(asked.Kind)+", by "+asked.By.Say()+".")
	return seeOther(c, "/covers/"+string(sheet.Cover.ID))
}

func (s *Server) closeFollowUpForm(c *gin.Context) (*followUpForm, error) {
	file, err := s.register.FollowUpFile(c.Request.Context(), actor(c), param(c, "id"))
	p := &followUpForm{shell: titled("Close a follow-up", "/follow-ups"), Sheet: file.Sheet, File: file}
	p.Form = blank()
	return p, err
}

func (s *Server) askCloseFollowUp(c *gin.Context) error {
	p, err := s.closeFollowUpForm(c)
	if err != nil {
		return err
	}
	return s.show(c, "follow_up_close", p)
}

func (s *Server) closeFollowUp(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.closeFollowUpForm(c)
	if err != nil {
		return err
	}
	p.Form = f
	done, err := s.register.CloseFollowUp(c.Request.Context(), actor(c), p.File.FollowUp.ID, f.id("record"), f.text("why"))
	if err != nil {
		return s.again(c, "follow_up_close", p, err)
	}
	s.said(c, "Closed: "+models.FollowUpKinds.Say(done.Kind)+" on "+p.Sheet.Component.Tag+".")
	return seeOther(c, "/follow-ups")
}

// Record is the form that records what is asked for.
func (p *followUpForm) Record() string { return recordForm(p.File.FollowUp) }

// Records are the records that may close the follow-up.
func (p *followUpForm) Records() models.Vocabulary {
	var out models.Vocabulary
	for _, h := range p.File.Records {
		switch {
		case h.Opening != nil:
			out = append(out, models.Word{Code: string(h.Opening.Root), Say: "opening of " + h.On.Say() + ", " + models.Outcomes.Say(h.Opening.Outcome)})
		case h.Look != nil:
			out = append(out, models.Word{Code: string(h.Look.ID), Say: "look of " + h.On.Say()})
		}
	}
	return out
}
