package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// roomEditPage adds a room or changes it.
type roomEditPage struct {
	shell
	Room     models.Room
	Building models.Building
	Stale    bool
}

func (s *Server) newRoom(c *gin.Context) error {
	return s.roomPage(c, models.Room{Building: models.ID(c.Query("building"))}, "Add a room")
}

func (s *Server) editRoom(c *gin.Context) error {
	room, err := s.register.Room(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.roomPage(c, room, "Edit "+room.Name)
}

func (s *Server) roomPage(c *gin.Context, room models.Room, title string) error {
	b, err := s.register.Building(c.Request.Context(), actor(c), room.Building)
	if err != nil {
		return err
	}
	p := &roomEditPage{shell: titled(title, "/buildings"), Room: room, Building: b}
	p.Form = roomForm(room, actor(c).Units)
	return s.show(c, "room_edit", p)
}

func (s *Server) saveRoom(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	room := readRoom(f, actor(c).Units)
	b, err := s.register.Building(c.Request.Context(), actor(c), room.Building)
	if err != nil {
		return err
	}
	p := &roomEditPage{shell: titled("Room", "/buildings"), Room: room, Building: b}
	p.Form = f
	if err := f.check(room.Validate()); err != nil {
		return s.again(c, "room_edit", p, err)
	}
	saved, err := s.register.SaveRoom(c.Request.Context(), actor(c), room)
	if err != nil {
		p.Stale = models.KindOf(err) == models.Stale
		return s.again(c, "room_edit", p, err)
	}
	s.said(c, saved.Name+" is saved.")
	return seeOther(c, "/covers?room="+string(saved.ID))
}

func readRoom(f *form, units string) models.Room {
	return models.Room{ID: f.id("id"), Building: f.id("building"), Version: f.version(), Name: f.text("name"), Kind: f.text("kind"),
		TempC: f.temp("temp", units), Order: f.wholeOr("order"), Note: f.text("note")}
}

func roomForm(r models.Room, units string) *form {
	f := blank()
	for name, text := range map[string]string{"id": string(r.ID), "building": string(r.Building), "name": r.Name, "kind": r.Kind, "note": r.Note} {
		f.set(name, text)
	}
	f.setWhole("version", &r.Version)
	f.setExact("temp", r.TempC, asTemp, units)
	f.setWholeOr("order", r.Order)
	return f
}

// Assumed is the room temperature taken where nobody entered one.
func (p *roomEditPage) Assumed() string { return p.Temp(models.AssumedRoomC) }
