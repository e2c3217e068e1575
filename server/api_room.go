package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// roomJSON is a room as it is edited.
type roomJSON struct {
	kept
	Building models.ID `json:"building_id,omitempty"`
	Name     string    `json:"name"`
	Kind     string    `json:"kind,omitempty"`
	Temp     *float64  `json:"temp_c,omitempty"` // usual air; left out: 24 °C assumed
	Order    int       `json:"order,omitempty"`  // in the walk
	Note     string    `json:"note,omitempty"`
}

var roomNames = map[string]string{"temp": "temp_c", "building": "building_id"}

func (j roomJSON) room(id models.ID, version int) models.Room {
	return models.Room{ID: id, Version: version, Building: j.Building, Name: j.Name, Kind: j.Kind, TempC: j.Temp, Order: j.Order, Note: j.Note}
}

func roomFrom(r models.Room) roomJSON {
	return roomJSON{kept{r.ID, r.Version}, r.Building, r.Name, r.Kind, r.TempC, r.Order, r.Note}
}

// roomRowJSON is a room with the counts of its covers.
type roomRowJSON struct {
	roomJSON
	Covers    int `json:"covers"`
	Off       int `json:"off"`
	Due       int `json:"due"`
	NeverSeen int `json:"never_seen"`
}

func (s *Server) apiRooms(c *gin.Context) error {
	rows, err := s.register.Rooms(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]roomRowJSON{"rooms": each(rows, func(r models.RoomRow) roomRowJSON {
		return roomRowJSON{roomFrom(r.Room), r.Covers, r.Off, r.Due, r.NeverSeen}
	})})
}

func (s *Server) apiRoom(c *gin.Context) error {
	r, err := s.register.Room(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, r.Version, roomFrom(r))
}

func (s *Server) apiAddRoom(c *gin.Context) error {
	var sent roomJSON
	if err := add(c, &sent, &sent.kept); err != nil {
		return err
	}
	r, err := s.register.SaveRoom(c.Request.Context(), actor(c), sent.room(models.None, 0))
	if err != nil {
		return named(err, roomNames)
	}
	return s.added(c, "rooms", r.ID, r.Version, roomFrom(r))
}

// apiSaveRoom changes a room; it stays in its building.
func (s *Server) apiSaveRoom(c *gin.Context) error {
	var sent roomJSON
	version, err := edit(c, &sent, &sent.kept)
	if err != nil {
		return err
	}
	r, err := s.register.SaveRoom(c.Request.Context(), actor(c), sent.room(param(c, "id"), version))
	if err != nil {
		return named(err, roomNames)
	}
	return s.saved(c, r.Version, roomFrom(r))
}
