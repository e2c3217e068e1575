package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// wallJSON is one wall reading of a cover, in the unit in which it was read.
type wallJSON struct {
	readingJSON
	On      models.Date `json:"on"`
	By      string      `json:"by"`
	Opening models.ID   `json:"opening_id,omitempty"` // none: read without an opening
}

func wallFrom(r models.ThicknessReading) wallJSON {
	return wallJSON{readingFrom(r), r.On, r.By, r.Opening}
}

func (s *Server) apiWall(c *gin.Context) error {
	file, err := s.register.CoverFile(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]wallJSON{"readings": each(file.Readings, wallFrom)})
}

// apiReadWall stores wall readings that were taken without an opening. Each has
// its own UUID; what is there already changes nothing.
func (s *Server) apiReadWall(c *gin.Context) error {
	var sent struct {
		On       models.Date   `json:"on"`
		By       string        `json:"by"`
		Readings []readingJSON `json:"readings"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	list := each(sent.Readings, func(j readingJSON) models.ThicknessReading {
		r := j.reading()
		r.On, r.By = sent.On, sent.By
		return r
	})
	receipt, err := s.register.RecordThickness(c.Request.Context(), actor(c), param(c, "id"), list)
	if err != nil {
		return named(err, lookNames)
	}
	ids := each(list, func(r models.ThicknessReading) models.ID { return r.ID })
	return s.created(c, "covers/"+string(receipt.Cover)+"/readings", struct {
		IDs   []models.ID `json:"ids"`
		Cover models.ID   `json:"cover_id"`
	}{ids, receipt.Cover})
}

// roomReadingJSON is the air of a room read by hand.
type roomReadingJSON struct {
	ID        models.ID  `json:"id,omitempty"`
	Room      models.ID  `json:"room_id,omitempty"`
	At        *time.Time `json:"at"`
	Temp      *float64   `json:"temp_c"`
	RH        *float64   `json:"relative_humidity,omitempty"` // fraction
	DewPoint  *float64   `json:"dew_point_c,omitempty"`
	By        string     `json:"by,omitempty"`
	EnteredAt *time.Time `json:"entered_at,omitempty"`
}

var airNames = map[string]string{"room": "room_id", "room_temp": "temp_c", "room_rh": "relative_humidity", "room_dew_point": "dew_point_c"}

// reading reads what was sent; what cannot be left out is a fault where models
// could not tell it from zero.
func (j roomReadingJSON) reading(id, room models.ID) (models.RoomReading, error) {
	var f models.Faults
	f.Need("at", j.At != nil, "Give the instant at which it was read, as 2026-11-25T10:43:00Z.")
	f.Need("temp_c", j.Temp != nil, "Give the air temperature in °C.")
	if j.EnteredAt != nil || (j.ID != models.None && j.ID != id) || (j.Room != models.None && j.Room != room) {
		f.Add("id", "id, room_id and entered_at are set by the service.")
	}
	if len(f) > 0 {
		return models.RoomReading{}, f.Err()
	}
	return models.RoomReading{ID: id, Room: room, At: j.At.UTC(), TempC: *j.Temp, RH: j.RH, DewPointC: j.DewPoint, By: j.By}, nil
}

func roomReadingFrom(r models.RoomReading) roomReadingJSON {
	return roomReadingJSON{r.ID, r.Room, instant(r.At), &r.TempC, r.RH, r.DewPointC, r.By, instant(r.EnteredAt)}
}

// apiReadRoom stores the air of a room under the UUID that it was given where it
// was read.
func (s *Server) apiReadRoom(c *gin.Context) error {
	var sent roomReadingJSON
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	id, err := ownID(c, "reading")
	if err != nil {
		return err
	}
	r, err := sent.reading(id, param(c, "id"))
	if err != nil {
		return err
	}
	if r, err = s.register.RecordRoomReading(c.Request.Context(), actor(c), r); err != nil {
		return named(err, airNames)
	}
	return s.created(c, "rooms/"+string(r.Room)+"/readings", struct {
		ID   models.ID `json:"id"`
		Room models.ID `json:"room_id"`
	}{r.ID, r.Room})
}

func (s *Server) apiRoomReadings(c *gin.Context) error {
	var since time.Time
	if text := c.Query("since"); text != "" {
		at, err := time.Parse(time.RFC3339, text)
		if err != nil {
			return faultAt("since", "an instant, as 2026-11-25T10:43:00Z")
		}
		since = at
	}
	list, err := s.register.RoomReadings(c.Request.Context(), actor(c), param(c, "id"), since)
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]roomReadingJSON{"readings": each(list, roomReadingFrom)})
}
