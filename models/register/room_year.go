package register

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"

	"drylag/models"
	"drylag/models/climate"
	"drylag/models/risk"
)

// yearsKept is how many prepared years are held in memory: about 1.2 MB each.
const yearsKept = 16

// yearCache keeps prepared years of rooms, the last used last. A year is found
// by all that it was made of, so a new logger file, reading or season makes a
// new one.
type yearCache struct {
	mu   sync.Mutex
	list []keptYear
}

type keptYear struct {
	key  string
	year *risk.RoomYear
}

func (c *yearCache) find(key string) (*risk.RoomYear, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	i := slices.IndexFunc(c.list, func(k keptYear) bool { return k.key == key })
	if i < 0 {
		return nil, false
	}
	found := c.list[i]
	c.list = append(slices.Delete(c.list, i, i+1), found)
	return found.year, true
}

func (c *yearCache) keep(key string, y *risk.RoomYear) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.list = append(slices.DeleteFunc(c.list, func(k keptYear) bool { return k.key == key }), keptYear{key, y})
	if n := len(c.list) - yearsKept; n > 0 {
		c.list = slices.Delete(c.list, 0, n)
	}
}

// roomYear is the year of a cover's room, prepared for the seasons of its loop:
// from memory while nothing that it was made of has changed.
func (r *Register) roomYear(ctx context.Context, s models.CoverSheet) (*risk.RoomYear, error) {
	key, err := r.yearKey(ctx, s)
	if err != nil {
		return nil, err
	}
	if y, ok := r.years.find(key); ok {
		return y, nil
	}
	y, err := r.prepareYear(ctx, s)
	if err != nil {
		return nil, err
	}
	r.years.keep(key, y)
	return y, nil
}

func (r *Register) prepareYear(ctx context.Context, s models.CoverSheet) (*risk.RoomYear, error) {
	year, source, err := r.airs().hourly(ctx, s)
	var file *climate.FileError
	if errors.As(err, &file) {
		return risk.AssumedRoomYear(s)
	}
	if err != nil {
		return nil, err
	}
	return risk.NewRoomYear(year, s, source, false)
}

// yearKey names all that a room's year is made of.
func (r *Register) yearKey(ctx context.Context, s models.CoverSheet) (string, error) {
	list, err := r.store.Climates(ctx, s.Building.ID, models.None)
	if err != nil {
		return "", err
	}
	hand, err := r.handReadings(ctx, s.Room.ID)
	if err != nil {
		return "", err
	}
	var climates []models.ID
	for _, c := range list {
		if c.Room == models.None || c.Room == s.Room.ID {
			climates = append(climates, c.ID)
		}
	}
	key, err := json.Marshal([]any{s.Room.ID, s.Room.TempC, s.Building.TimeZone, s.Building.AltitudeM, risk.SeasonKey(s), climates, hand})
	return string(key), err
}
