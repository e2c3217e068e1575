package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// newReadings is the form for wall readings taken without opening the cover,
// through an inspection port or on a stub.
func (s *Server) newReadings(c *gin.Context) error {
	p, err := s.readingsOn(c, param(c, "id"), models.ID(c.Query("for")))
	if err != nil {
		return err
	}
	p.Form = blank()
	p.Form.set("cover", string(p.Sheet.Cover.ID))
	p.Form.set("on", string(p.Today))
	p.Form.set("by", actor(c).Name)
	p.Form.set("for", c.Query("for"))
	for range wallMost {
		p.Form.values.Add("reading_id", string(s.register.NewID()))
	}
	return s.show(c, "reading_new", &p)
}

// readingsOn begins that form.
func (s *Server) readingsOn(c *gin.Context, cover, followUp models.ID) (recordPage, error) {
	p, err := s.recordOn(c, cover, followUp)
	p.Title = "Wall readings of " + p.Sheet.Component.Tag
	return p, err
}

func (s *Server) createReadings(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.readingsOn(c, f.id("cover"), f.id("for"))
	if err != nil {
		return err
	}
	p.Form = f
	rc, err := s.recordReadings(c, &p)
	if err != nil {
		return s.again(c, "reading_new", &p, err)
	}
	s.said(c, receiptSays(rc, "Wall readings recorded."))
	return seeOther(c, "/covers/"+string(rc.Cover))
}

// recordReadings records what the form says. What cannot be read breaks a rule
// of the reading too, so that every fault is told at once and nothing stored.
func (s *Server) recordReadings(c *gin.Context, p *recordPage) (register.Receipt, error) {
	ids, on, by := p.Form.ids("reading_id"), p.Form.date("on"), p.Form.text("by")
	list := readWalls(p.Form, p.Actor.Units)
	for i := range list {
		list[i].On, list[i].By = on, by
		if i < len(ids) {
			list[i].ID = ids[i]
		}
	}
	rc, err := s.register.RecordThickness(c.Request.Context(), actor(c), p.Sheet.Cover.ID, list)
	return rc, p.Form.check(err)
}
