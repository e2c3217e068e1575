package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// lookJSON is what was seen of a cover from outside, nothing cut.
type lookJSON struct {
	ID        models.ID   `json:"id,omitempty"`
	Cover     models.ID   `json:"cover_id"`
	On        models.Date `json:"on"`
	By        string      `json:"by"`
	InPlace   *bool       `json:"in_place,omitempty"`
	Places    []foundJSON `json:"places,omitempty"`
	Drips     *bool       `json:"drips,omitempty"`
	Port      string      `json:"port,omitempty"`
	Note      string      `json:"note,omitempty"`
	EnteredAt *time.Time  `json:"entered_at,omitempty"` // given, never taken
}

// foundJSON is how one place of the seal was found.
type foundJSON struct {
	Place models.Place `json:"place"`
	Found models.Found `json:"found"`
}

var lookNames = map[string]string{"cover": "cover_id"}

func (j lookJSON) look(id models.ID) models.Look {
	l := models.Look{ID: id, Cover: j.Cover, On: j.On, By: j.By, InPlace: j.InPlace, Drips: j.Drips, Port: j.Port, Note: j.Note}
	for _, p := range j.Places {
		l.Places = append(l.Places, models.PlaceFinding{Place: p.Place, Found: p.Found})
	}
	return l
}

func lookFrom(l models.Look) lookJSON {
	return lookJSON{l.ID, l.Cover, l.On, l.By, l.InPlace, each(l.Places, func(p models.PlaceFinding) foundJSON {
		return foundJSON{p.Place, p.Found}
	}), l.Drips, l.Port, l.Note, instant(l.EnteredAt)}
}

// apiRecordLook stores a look under the UUID that it was given where it was
// begun; the same again gives the same answer.
func (s *Server) apiRecordLook(c *gin.Context) error {
	var sent lookJSON
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	id, err := ownID(c, "look")
	if err != nil {
		return err
	}
	if sent.EnteredAt != nil || (sent.ID != models.None && sent.ID != id) {
		return faultAt("id", "id and entered_at are set by the service.")
	}
	receipt, err := s.register.RecordLook(c.Request.Context(), actor(c), sent.look(id))
	if err != nil {
		return named(err, lookNames)
	}
	return s.created(c, "looks/"+string(receipt.ID), recordedJSON{receipt.ID, receipt.Cover})
}

func (s *Server) apiLook(c *gin.Context) error {
	l, err := s.register.Look(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, lookFrom(l))
}

func (s *Server) apiLooks(c *gin.Context) error {
	file, err := s.register.CoverFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]lookJSON{"looks": looksOf(file)})
}
