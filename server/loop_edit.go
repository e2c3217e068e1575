package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// loopEditPage adds a piping loop or changes it.
type loopEditPage struct {
	shell
	Loop     models.Loop
	Building models.Building
	Stale    bool
}

func (s *Server) newLoop(c *gin.Context) error {
	return s.loopPage(c, models.Loop{Building: models.ID(c.Query("building"))}, "Add a loop")
}

func (s *Server) editLoop(c *gin.Context) error {
	loop, err := s.register.Loop(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.loopPage(c, loop, "Edit "+loop.Name)
}

func (s *Server) loopPage(c *gin.Context, loop models.Loop, title string) error {
	b, err := s.register.Building(c.Request.Context(), actor(c), loop.Building)
	if err != nil {
		return err
	}
	p := &loopEditPage{shell: titled(title, "/buildings"), Loop: loop, Building: b}
	p.Form = loopForm(loop, actor(c).Units)
	return s.show(c, "loop_edit", p)
}

func (s *Server) saveLoop(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	loop := readLoop(f, actor(c).Units)
	b, err := s.register.Building(c.Request.Context(), actor(c), loop.Building)
	if err != nil {
		return err
	}
	p := &loopEditPage{shell: titled("Loop", "/buildings"), Loop: loop, Building: b}
	p.Form = f
	if err := f.check(loop.Validate()); err != nil {
		return s.again(c, "loop_edit", p, err)
	}
	saved, err := s.register.SaveLoop(c.Request.Context(), actor(c), loop)
	if err != nil {
		p.Stale = models.KindOf(err) == models.Stale
		return s.again(c, "loop_edit", p, err)
	}
	s.said(c, saved.Name+" is saved. Covers on it are scored again in the background.")
	return seeOther(c, "/covers?loop="+string(saved.ID))
}

func readLoop(f *form, units string) models.Loop {
	return models.Loop{ID: f.id("id"), Building: f.id("building"), Version: f.version(), Name: f.text("name"), Kind: f.text("kind"),
		SupplyC: f.temp("supply", units), ReturnC: f.temp("return", units), HotC: f.temp("hot", units),
		Hot:     models.Season{From: f.text("hot_season"), To: f.text("hot_season_to")},
		Stopped: models.Season{From: f.text("stopped_season"), To: f.text("stopped_season_to")}}
}

func loopForm(l models.Loop, units string) *form {
	f := blank()
	for name, text := range map[string]string{"id": string(l.ID), "building": string(l.Building), "name": l.Name, "kind": l.Kind,
		"hot_season": l.Hot.From, "hot_season_to": l.Hot.To, "stopped_season": l.Stopped.From, "stopped_season_to": l.Stopped.To} {
		f.set(name, text)
	}
	f.setWhole("version", &l.Version)
	f.setExact("supply", l.SupplyC, asTemp, units)
	f.setExact("return", l.ReturnC, asTemp, units)
	f.setExact("hot", l.HotC, asTemp, units)
	return f
}
