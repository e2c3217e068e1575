package server

import (
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coverEditPage adds a cover with its component or changes them.
type coverEditPage struct {
	shell
	Sheet    models.CoverSheet // zero while new
	Building models.Building   // None: still to be chosen
	Near     filterChoices
	Stale    bool // somebody else changed it meanwhile
}

func (s *Server) newCover(c *gin.Context) error {
	p := &coverEditPage{shell: titled("Add a cover", "/covers")}
	p.Form = blank()
	at := models.CoverFilter{Building: models.ID(c.Query("building")), Room: models.ID(c.Query("room"))}
	if err := s.standsIn(c, p, at); err != nil {
		return err
	}
	p.Form.set("room", string(at.Room))
	p.Form.set("state", string(models.InPlace))
	return s.show(c, "cover_edit", p)
}

func (s *Server) editCover(c *gin.Context) error {
	sheet, err := s.register.Cover(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p := &coverEditPage{shell: titled("Edit "+sheet.Component.Tag, "/covers"), Sheet: sheet}
	p.Form = blank()
	if err := s.standsIn(c, p, models.CoverFilter{Building: sheet.Building.ID}); err != nil {
		return err
	}
	p.Form = coverForm(sheet, actor(c).Units)
	return s.show(c, "cover_edit", p)
}

func (s *Server) saveCover(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	sheet := readCover(f, actor(c).Units)
	p, err := s.coverAgain(c, f, sheet.Cover.ID)
	if err != nil {
		return err
	}
	if err := f.check(sheet.Validate()); err != nil {
		return s.again(c, "cover_edit", p, err)
	}
	before := p.Sheet.Cover.ID != models.None
	saved, err := s.register.SaveCover(c.Request.Context(), actor(c), sheet)
	if err != nil {
		p.Stale = models.KindOf(err) == models.Stale
		return s.again(c, "cover_edit", p, err)
	}
	s.said(c, savedSays(saved.Component.Tag, before))
	return seeOther(c, "/covers/"+string(saved.Cover.ID))
}

func savedSays(tag string, before bool) string {
	if before {
		return tag + " is saved. Its risk and date are worked out with what it says now; what changed stands below."
	}
	return tag + " is in the register."
}

// coverAgain is the page of a form that was sent.
func (s *Server) coverAgain(c *gin.Context, f *form, id models.ID) (*coverEditPage, error) {
	p := &coverEditPage{shell: titled("Add a cover", "/covers")}
	at := models.CoverFilter{Building: f.id("building")}
	if id != models.None {
		sheet, err := s.register.Cover(c.Request.Context(), actor(c), id)
		if err != nil {
			return nil, err
		}
		p.Sheet, p.Title, at.Building = sheet, "Edit "+sheet.Component.Tag, sheet.Building.ID
	}
	p.Form = f
	return p, s.standsIn(c, p, at)
}

// standsIn gives the page its building with the rooms and loops to choose from;
// where there is only one building it is that.
func (s *Server) standsIn(c *gin.Context, p *coverEditPage, at models.CoverFilter) (err error) {
	if p.Near, err = s.filterChoices(c, p.Form, &at); err != nil {
		return err
	}
	if at.Building == models.None && len(p.Near.Buildings) == 1 {
		at.Building = models.ID(p.Near.Buildings[0].Code)
		err = s.insideOf(c, at.Building, &p.Near)
	}
	p.Building = p.Near.building[at.Building]
	return err
}

// States are the states that the form may set: whether a cover that is on the
// metal is in place or off changes only by a record.
func (p *coverEditPage) States() models.Vocabulary {
	now := p.Sheet.Cover.State
	var out models.Vocabulary
	for _, w := range models.CoverStates {
		st := models.CoverState(w.Code)
		onMetal := st == models.InPlace || st == models.Off
		if (now == models.InPlace || now == models.Off) && onMetal && st != now {
			continue
		}
		out = append(out, w)
	}
	return out
}

// Classes are the classes of what is at stake.
func (p *coverEditPage) Classes() models.Vocabulary {
	var out models.Vocabulary
	for i := 1; i <= 4; i++ {
		out = append(out, models.Word{Code: strconv.Itoa(i), Say: "class " + strconv.Itoa(i)})
	}
	return out
}
