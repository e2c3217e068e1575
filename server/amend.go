package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

func (s *Server) amendOpening(c *gin.Context) error {
	file, err := s.register.OpeningFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p, err := s.amendPage(c, file)
	if err != nil {
		return err
	}
	now := file.Now()
	p.Form = openingForm(now.Opening, p.Actor.Units)
	p.Form.set("id", string(s.register.NewID()))
	p.Form.setWhole("version", &now.Version)
	return s.show(c, "amend", &p)
}

// amendPage begins the form that amends an opening.
func (s *Server) amendPage(c *gin.Context, file register.OpeningFile) (recordPage, error) {
	p, err := s.recordOn(c, file.Sheet.Cover.ID, models.None)
	p.Title = "Amend the opening of " + file.Sheet.Component.Tag
	p.Root, p.Versions = file.Now().Root, file.Versions
	return p, err
}

func (s *Server) saveAmendment(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	file, err := s.register.OpeningFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p, err := s.amendPage(c, file)
	if err != nil {
		return err
	}
	p.Form = f
	rc, err := s.recordAmendment(c, &p)
	if err != nil {
		return s.again(c, "amend", &p, oneFault(err, "left_", "left_all", leftAsks))
	}
	s.said(c, receiptSays(rc, "Amended; the original is kept."))
	return seeOther(c, "/openings/"+string(p.Root))
}

// recordAmendment records what the form says, unless something of it could not
// be read.
func (s *Server) recordAmendment(c *gin.Context, p *recordPage) (register.Receipt, error) {
	o := readOpening(p.Form, p.Sheet.Cover, p.Actor.Units)
	o.Root, o.Version, o.Amends = p.Root, p.Form.version(), p.Form.text("amends")
	if len(p.Form.Faults) > 0 {
		return register.Receipt{}, p.Form.check(o.Validate(p.Sheet, p.Today))
	}
	return s.register.AmendOpening(c.Request.Context(), actor(c), o)
}

// Latest is the version that the form amends.
func (p *recordPage) Latest() register.OpeningVersion { return p.Versions[len(p.Versions)-1] }

// Next is the number of the version that the form adds.
func (p *recordPage) Next() int { return p.Latest().Version + 1 }
