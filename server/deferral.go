package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// putOffPage asks until when and why due dates are put off.
type putOffPage struct {
	shell
	Covers []models.CoverSheet
}

// Most is by how many days a date can be put off.
func (p *putOffPage) Most() int { return models.MaxDeferralDays }

// Choices are the covers, to be taken out again.
func (p *putOffPage) Choices() models.Vocabulary {
	var out models.Vocabulary
	for _, s := range p.Covers {
		out = append(out, models.Word{Code: string(s.Cover.ID), Say: s.Component.Tag + ", " + tight(s.Title()) + ", " + s.Room.Name})
	}
	return out
}

func (s *Server) showPutOff(c *gin.Context) error {
	chosen := c.QueryArray("cover")
	p, err := s.newPutOff(c, chosen)
	if err != nil {
		return err
	}
	p.Form = blank()
	p.Form.values["covers"] = chosen
	return s.show(c, "put_off", p)
}

func (s *Server) putOff(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.newPutOff(c, offered(f))
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
		return seeOther(c, "/covers/"+string(done[0]))
	}
	return seeOther(c, "/due")
}

// offered are the covers that the form was made for, taken out or not.
func offered(f *form) []string {
	if all := f.values["offered"]; len(all) > 0 {
		return all
	}
	return f.values["covers"]
}

// newPutOff begins the page with the covers that were chosen.
func (s *Server) newPutOff(c *gin.Context, chosen []string) (*putOffPage, error) {
	p := &putOffPage{shell: titled("Put off", "/due")}
	for _, id := range chosen {
		sheet, err := s.register.Cover(c.Request.Context(), actor(c), models.ID(id))
		if err != nil {
			return nil, err
		}
		p.Covers = append(p.Covers, sheet)
	}
	if len(p.Covers) == 0 {
		return nil, models.Errorf(models.Missing, "Choose the covers whose date is to be put off: tick them in the list of what is due.")
	}
	return p, nil
}
