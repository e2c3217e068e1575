package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// putOffPage asks until when and why due dates are put off.
type putOffPage struct {
	shell
	Covers []models.CoverSheet
	Most   models.Date
}

func (s *Server) showPutOff(c *gin.Context) error {
	p, err := s.newPutOff(c, idsOf(c.QueryArray("cover")))
	if err != nil {
		return err
	}
	p.Form = blank()
	return s.show(c, "put_off", p)
}

func (s *Server) putOff(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.newPutOff(c, f.ids("covers"))
	if err != nil {
		return err
	}
	p.Form = f
	until := f.date("until")
	if err := f.check(nil); err != nil {
		return s.again(c, "put_off", p, err)
	}
	done, err := s.register.PutOff(c.Request.Context(), actor(c), f.ids("covers"), until, f.text("reason"))
	if err != nil {
		return s.again(c, "put_off", p, err)
	}
	s.said(c, plural(len(done), "date is", "dates are")+" put off to "+until.Say()+". It stays in the history.")
	if len(done) == 1 {
		return seeOther(c, "/covers/"+string(p.Covers[0].Cover.ID))
	}
	return seeOther(c, "/due")
}

func (s *Server) newPutOff(c *gin.Context, covers []models.ID) (*putOffPage, error) {
	p := &putOffPage{shell: titled("Put off", "/due")}
	for _, id := range covers {
		sheet, err := s.register.Cover(c.Request.Context(), actor(c), id)
		if err != nil {
			return nil, err
		}
		p.Covers = append(p.Covers, sheet)
		p.Most = s.register.Today(sheet.Building).AddDays(models.MaxDeferralDays)
	}
	if len(p.Covers) == 0 {
		return nil, models.Errorf(models.Missing, "Choose the covers whose date is to be put off.")
	}
	return p, nil
}

func idsOf(list []string) []models.ID {
	out := make([]models.ID, len(list))
	for i, id := range list {
		out[i] = models.ID(id)
	}
	return out
}
