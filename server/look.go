package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

func (s *Server) newLook(c *gin.Context) error {
	p, err := s.lookOn(c, param(c, "id"), models.ID(c.Query("for")))
	if err != nil {
		return err
	}
	p.Form = blank()
	p.Form.set("id", string(s.register.NewID()))
	p.Form.set("cover", string(p.Sheet.Cover.ID))
	p.Form.set("on", string(p.Today))
	p.Form.set("by", actor(c).Name)
	p.Form.set("for", c.Query("for"))
	return s.show(c, "look_new", &p)
}

// lookOn begins the form of a look from outside.
func (s *Server) lookOn(c *gin.Context, cover, followUp models.ID) (recordPage, error) {
	p, err := s.recordOn(c, cover, followUp)
	p.Title = "Look at " + p.Sheet.Component.Tag
	return p, err
}

func (s *Server) createLook(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.lookOn(c, f.id("cover"), f.id("for"))
	if err != nil {
		return err
	}
	p.Form = f
	rc, err := s.recordLook(c, &p)
	if err != nil {
		return s.again(c, "look_new", &p, err)
	}
	s.said(c, receiptSays(rc, "Look recorded."))
	return seeOther(c, "/covers/"+string(rc.Cover))
}

func (s *Server) recordLook(c *gin.Context, p *recordPage) (register.Receipt, error) {
	l := readLook(p.Form, p.Sheet.Cover)
	if len(p.Form.Faults) > 0 {
		return register.Receipt{}, p.Form.check(l.Validate(p.Today))
	}
	return s.register.RecordLook(c.Request.Context(), actor(c), l)
}

// readLook reads the form of a look. A cover that is off has no seal to look at.
func readLook(f *form, c models.Cover) models.Look {
	l := models.Look{ID: f.id("id"), Cover: f.id("cover"), On: f.date("on"), By: f.text("by"), InPlace: f.yesNo("in_place"),
		Drips: f.yesNo("drips"), Port: f.text("port"), Note: f.text("note")}
	if l.InPlace == nil || *l.InPlace {
		l.Places = readPlaces(f, c, true, false)
	} else {
		l.Port = ""
	}
	return l
}

// InPlace are the answers to whether the cover is there.
func (p *recordPage) InPlace() models.Vocabulary {
	return models.Vocabulary{{Code: "yes", Say: "in place"}, {Code: "no", Say: "off"}}
}
