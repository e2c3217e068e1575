package server

import (
	"net/http"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// followUpJSON is what a finding still needs, or needed.
type followUpJSON struct {
	ID        models.ID   `json:"id"`
	Building  models.ID   `json:"building_id"`
	Cover     models.ID   `json:"cover_id"`
	Kind      string      `json:"kind"`
	Why       string      `json:"why"`
	By        models.Date `json:"by,omitempty"`
	From      models.ID   `json:"asked_by_id,omitempty"` // opening or look; none: by hand
	OpenedAt  time.Time   `json:"opened_at"`
	ClosedBy  models.ID   `json:"closed_by_id,omitempty"` // opening or look
	ClosedAt  *time.Time  `json:"closed_at,omitempty"`
	ClosedWhy string      `json:"closed_why,omitempty"`
}

// followUpRowJSON is a follow-up with the cover it is about.
type followUpRowJSON struct {
	followUpJSON
	Tag        string    `json:"tag"`
	Part       string    `json:"part"`
	Room       models.ID `json:"room_id"`
	RoomIs     string    `json:"room"`
	BuildingIs string    `json:"building"`
}

// followUpFileJSON is a follow-up with the records that may close it.
type followUpFileJSON struct {
	followUpJSON
	Records []closingJSON `json:"records"`
}

// closingJSON is an opening or a look that may close a follow-up.
type closingJSON struct {
	ID   models.ID   `json:"id"`
	Kind string      `json:"kind"` // opening or look
	On   models.Date `json:"on"`
}

var followUpNames = map[string]string{"cover": "cover_id", "record": "record_id"}

func followUpFrom(f models.FollowUp) followUpJSON {
	return followUpJSON{f.ID, f.Building, f.Cover, f.Kind, f.Why, f.By, f.From, f.OpenedAt.UTC(), f.ClosedBy, instant(f.ClosedAt), f.ClosedWhy}
}

func followUpRowFrom(r register.FollowUpRow) followUpRowJSON {
	return followUpRowJSON{followUpFrom(r.FollowUp), r.Tag, r.Title, r.Room, r.RoomName, r.BuildingName}
}

func (s *Server) apiFollowUps(c *gin.Context) error {
	f := &form{values: c.Request.URL.Query()}
	oneOf(f, "kind", models.FollowUpKinds)
	closed, err := strconv.ParseBool(c.DefaultQuery("closed", "false"))
	if err != nil {
		f.Faults.Add("closed", "true or false")
	}
	if err := f.Faults.Err(); err != nil {
		return err
	}
	limit, err := limited(c, 200, 1000)
	if err != nil {
		return err
	}
	list, err := s.register.FollowUps(c.Request.Context(), actor(c), register.FollowUpFilter{Building: f.id("building"),
		Cover: f.id("cover"), Kind: f.text("kind"), Closed: closed, Limit: limit})
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]followUpRowJSON{"follow_ups": each(list, followUpRowFrom)})
}

func (s *Server) apiFollowUp(c *gin.Context) error {
	file, err := s.register.FollowUpFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, followUpFileJSON{followUpFrom(file.FollowUp), each(file.Records, closingFrom)})
}

func closingFrom(h models.HistoryItem) closingJSON {
	if h.Opening != nil {
		return closingJSON{h.Opening.Root, "opening", h.On}
	}
	return closingJSON{h.Look.ID, "look", h.On}
}

func (s *Server) apiOpenFollowUp(c *gin.Context) error {
	var sent struct {
		Cover models.ID   `json:"cover_id"`
		Kind  string      `json:"kind"`
		Why   string      `json:"why"`
		By    models.Date `json:"by"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	f, err := s.register.OpenFollowUp(c.Request.Context(), actor(c),
		models.FollowUp{Cover: sent.Cover, Kind: sent.Kind, Why: sent.Why, By: sent.By})
	if err != nil {
		return named(err, followUpNames)
	}
	return s.created(c, "follow-ups/"+string(f.ID), followUpFrom(f))
}

// apiCloseFollowUp closes a follow-up by an opening or a look.
func (s *Server) apiCloseFollowUp(c *gin.Context) error {
	var sent struct {
		Record models.ID `json:"record_id"`
		Why    string    `json:"why"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	f, err := s.register.CloseFollowUp(c.Request.Context(), actor(c), param(c, "id"), sent.Record, sent.Why)
	if err != nil {
		return named(err, followUpNames)
	}
	return s.answer(c, http.StatusOK, followUpFrom(f))
}
