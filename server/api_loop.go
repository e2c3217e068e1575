package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// loopJSON is a piping loop as it is edited.
type loopJSON struct {
	kept
	Building models.ID   `json:"building_id,omitempty"`
	Name     string      `json:"name"`
	Kind     string      `json:"kind,omitempty"`
	Supply   *float64    `json:"supply_c,omitempty"`
	Return   *float64    `json:"return_c,omitempty"`
	Hot      *float64    `json:"hot_c,omitempty"`
	HotDays  *seasonJSON `json:"hot_season,omitempty"`
	Stopped  *seasonJSON `json:"stopped_season,omitempty"`
}

// seasonJSON is a span of days of each year, both ends included.
type seasonJSON struct {
	From string `json:"from"` // month and day: 10-15
	To   string `json:"to"`
}

var loopNames = map[string]string{"supply": "supply_c", "return": "return_c", "hot": "hot_c", "building": "building_id"}

func (j loopJSON) loop(id models.ID, version int) models.Loop {
	l := models.Loop{ID: id, Version: version, Building: j.Building, Name: j.Name, Kind: j.Kind, SupplyC: j.Supply, ReturnC: j.Return, HotC: j.Hot}
	if j.HotDays != nil {
		l.Hot = models.Season(*j.HotDays)
	}
	if j.Stopped != nil {
		l.Stopped = models.Season(*j.Stopped)
	}
	return l
}

func loopFrom(l models.Loop) loopJSON {
	return loopJSON{kept{l.ID, l.Version}, l.Building, l.Name, l.Kind, l.SupplyC, l.ReturnC, l.HotC, seasonFrom(l.Hot), seasonFrom(l.Stopped)}
}

func seasonFrom(x models.Season) *seasonJSON {
	if x.Empty() {
		return nil
	}
	return &seasonJSON{x.From, x.To}
}

func (s *Server) apiLoops(c *gin.Context) error {
	list, err := s.register.Loops(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]loopJSON{"loops": each(list, loopFrom)})
}

func (s *Server) apiLoop(c *gin.Context) error {
	l, err := s.register.Loop(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, l.Version, loopFrom(l))
}

func (s *Server) apiAddLoop(c *gin.Context) error {
	var sent loopJSON
	if err := add(c, &sent, &sent.kept); err != nil {
		return err
	}
	l, err := s.register.SaveLoop(c.Request.Context(), actor(c), sent.loop(models.None, 0))
	if err != nil {
		return named(err, loopNames)
	}
	return s.added(c, "loops", l.ID, l.Version, loopFrom(l))
}

// apiSaveLoop changes a loop; it stays in its building.
func (s *Server) apiSaveLoop(c *gin.Context) error {
	var sent loopJSON
	version, err := edit(c, &sent, &sent.kept)
	if err != nil {
		return err
	}
	l, err := s.register.SaveLoop(c.Request.Context(), actor(c), sent.loop(param(c, "id"), version))
	if err != nil {
		return named(err, loopNames)
	}
	return s.saved(c, l.Version, loopFrom(l))
}
