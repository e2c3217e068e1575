package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

func (s *Server) newOpening(c *gin.Context) error {
	p, err := s.recordOn(c, param(c, "id"), models.ID(c.Query("for")))
	if err != nil {
		return err
	}
	p.Form = blankOpening(s.register.NewID(), actor(c), &p)
	if err := s.airKept(c, &p); err != nil {
		return err
	}
	return s.show(c, "opening_new", &p)
}

// blankOpening is a form with nothing answered but who and when, which stand
// there to be seen; and why, where it is for a follow-up.
func blankOpening(id models.ID, a models.Actor, p *recordPage) *form {
	f := blank()
	f.set("id", string(id))
	f.set("cover", string(p.Sheet.Cover.ID))
	f.set("on", string(p.Today))
	f.set("opened_by", a.Name)
	if p.For != nil {
		f.set("for", string(p.For.ID))
		f.set("reason", "follow_up")
	}
	return f
}

func (s *Server) createOpening(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.recordOn(c, f.id("cover"), f.id("for"))
	if err != nil {
		return err
	}
	p.Form, p.Kept = f, keptAt(f)
	if f.text("show") == "air" {
		return s.show(c, "opening_new", &p)
	}
	rc, err := s.recordOpening(c, &p)
	if err != nil {
		return s.openingAgain(c, &p, err)
	}
	s.said(c, receiptSays(rc, "Opening recorded."))
	return seeOther(c, "/covers/"+string(rc.Cover))
}

// recordOpening records what the form says, unless something of it could not
// be read: then every fault is told at once.
func (s *Server) recordOpening(c *gin.Context, p *recordPage) (register.Receipt, error) {
	o := readOpening(p.Form, p.Sheet.Cover, p.Actor.Units)
	air := readAir(p.Form, p.Actor.Units)
	if len(p.Form.Faults) > 0 {
		return register.Receipt{}, p.Form.check(o.Validate(p.Sheet, p.Today))
	}
	return s.register.RecordOpening(c.Request.Context(), actor(c), o, air)
}

const leftAsks = "Say how the seal was left: one answer for all, or place by place."

// openingAgain sends the form back. What was recorded before under the form's
// ID is led to.
func (s *Server) openingAgain(c *gin.Context, p *recordPage, err error) error {
	if o, _, none := s.register.Opening(c.Request.Context(), actor(c), p.Form.id("id")); none == nil {
		p.Stored = o.Root
	}
	return s.again(c, "opening_new", p, oneFault(err, "left_", "left_all", leftAsks))
}
