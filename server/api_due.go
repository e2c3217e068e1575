package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// dueMonths is the furthest that the due list looks ahead.
const dueMonths = 120

// dueRoomJSON is one room with the covers that are due in it, earliest first.
type dueRoomJSON struct {
	Room       models.ID      `json:"room_id"`
	RoomIs     string         `json:"room"`
	Building   models.ID      `json:"building_id"`
	BuildingIs string         `json:"building"`
	Sweat      []bool         `json:"sweat_months"` // January first
	Covers     []coverRowJSON `json:"covers"`
}

// apiDue lists what is due or overdue, by room in walking order.
func (s *Server) apiDue(c *gin.Context) error {
	f := &form{values: c.Request.URL.Query()}
	filter, months := coverFilter(f), f.whole("months")
	oneOf(f, "action", models.Actions)
	oneOf(f, "rule", models.DueRules)
	if months == nil {
		months = new(12)
	}
	if *months < 1 || *months > dueMonths {
		f.Faults.Add("months", "a whole number from 1 to %d", dueMonths)
	}
	if err := f.Faults.Err(); err != nil {
		return err
	}
	rooms, err := s.register.Due(c.Request.Context(), actor(c), register.DueFilter{Building: filter.Building, Room: filter.Room, Months: *months})
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]dueRoomJSON{"rooms": each(narrowed(rooms, filter), dueRoomFrom)})
}

func dueRoomFrom(r register.DueRoom) dueRoomJSON {
	return dueRoomJSON{r.Room.ID, r.Room.Name, r.Room.Building, r.Room.BuildingName, r.Sweat[:], each(r.Covers, coverRowFrom)}
}

// apiPutOff puts the due dates of covers off, all or none.
func (s *Server) apiPutOff(c *gin.Context) error {
	var sent struct {
		Covers []models.ID `json:"cover_ids"`
		Until  models.Date `json:"until"`
		Reason string      `json:"reason"`
	}
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	done, err := s.register.PutOff(c.Request.Context(), actor(c), sent.Covers, sent.Until, sent.Reason)
	if err != nil {
		return named(err, map[string]string{"covers": "cover_ids"})
	}
	return s.answer(c, http.StatusCreated, struct {
		Covers []models.ID `json:"cover_ids"`
		Until  models.Date `json:"until"`
	}{done, sent.Until})
}
