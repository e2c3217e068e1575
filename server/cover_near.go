package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// filterChoices are what a list can be narrowed to: the actor's buildings, and
// the rooms and loops of the one that is chosen.
type filterChoices struct {
	Buildings, Rooms, Loops models.Vocabulary
	building                map[models.ID]models.Building
}

// filterChoices reads them. A room alone chooses its building; a room or loop
// of another building than the chosen one is let go.
func (s *Server) filterChoices(c *gin.Context, f *form, filter *models.CoverFilter) (filterChoices, error) {
	ctx, who := c.Request.Context(), actor(c)
	out := filterChoices{building: map[models.ID]models.Building{}}
	all, err := s.register.BuildingNames(ctx, who)
	if err != nil {
		return out, err
	}
	for _, b := range all {
		out.Buildings = append(out.Buildings, models.Word{Code: string(b.ID), Say: b.Name})
		out.building[b.ID] = b
	}
	if err := s.buildingOf(c, f, filter); err != nil || filter.Building == models.None {
		return out, err
	}
	if err := s.insideOf(c, filter.Building, &out); err != nil {
		return out, err
	}
	if !out.Rooms.Has(string(filter.Room)) {
		filter.Room = models.None
	}
	if !out.Loops.Has(string(filter.Loop)) {
		filter.Loop = models.None
	}
	return out, nil
}

// buildingOf chooses the building of the room or loop where none is chosen.
func (s *Server) buildingOf(c *gin.Context, f *form, filter *models.CoverFilter) error {
	ctx, who := c.Request.Context(), actor(c)
	switch {
	case filter.Building != models.None:
		return nil
	case filter.Room != models.None:
		room, err := s.register.Room(ctx, who, filter.Room)
		if err != nil {
			return err
		}
		filter.Building = room.Building
	case filter.Loop != models.None:
		loop, err := s.register.Loop(ctx, who, filter.Loop)
		if err != nil {
			return err
		}
		filter.Building = loop.Building
	}
	f.set("building", string(filter.Building))
	return nil
}

// insideOf reads the rooms and loops of a building.
func (s *Server) insideOf(c *gin.Context, building models.ID, out *filterChoices) error {
	ctx, who := c.Request.Context(), actor(c)
	rooms, err := s.register.Rooms(ctx, who, building)
	if err != nil {
		return err
	}
	for _, r := range rooms {
		out.Rooms = append(out.Rooms, models.Word{Code: string(r.ID), Say: r.Name})
	}
	loops, err := s.register.Loops(ctx, who, building)
	if err != nil {
		return err
	}
	for _, l := range loops {
		out.Loops = append(out.Loops, models.Word{Code: string(l.ID), Say: l.Name})
	}
	return nil
}
