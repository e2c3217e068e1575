package register

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"drylag/models"
	"drylag/models/risk"
)

// baresKept is how many years of bare parts are held in memory: about 1 kB each.
const baresKept = 8192

// bareCache keeps what bare parts take up, by all that it was made of. When it
// is full it begins anew.
type bareCache struct {
	mu   sync.Mutex
	kept map[string]models.BareYear
}

func (c *bareCache) find(key string) (models.BareYear, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	y, ok := c.kept[key]
	return y, ok
}

func (c *bareCache) keep(key string, y models.BareYear) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.kept == nil || len(c.kept) >= baresKept {
		c.kept = map[string]models.BareYear{}
	}
	c.kept[key] = y
}

// bareYears works out years of bare parts for one list; equal parts in the same
// air are worked out once. It serves one call and is not for concurrent use.
type bareYears struct {
	r    *Register
	keys map[string]string // of rooms' years, by room and seasons: they do not change during a list
}

// of is the year of a cover's bare part in its own room.
func (b *bareYears) of(ctx context.Context, s models.CoverSheet) (models.BareYear, error) {
	key, err := b.key(ctx, s)
	if err != nil {
		return models.BareYear{}, err
	}
	if y, ok := b.r.bares.find(key); ok {
		return y, nil
	}
	year, err := b.r.roomYear(ctx, s)
	if err != nil {
		return models.BareYear{}, fmt.Errorf("year of cover %s: %w", s.Cover.ID, err)
	}
	bare, err := risk.Bare(s, year)
	if models.KindOf(err) == models.Invalid {
		bare.Gaps, err = []models.Gap{{Of: "cover", Missing: "a size and a temperature that the formulas can answer", For: "its heat and its sweat"}}, nil
	}
	if err != nil {
		return bare, err
	}
	b.r.bares.keep(key, bare)
	return bare, nil
}

// key names all that the year of a bare part is made of: its air, and what a
// part's size, water and outside hang on.
func (b *bareYears) key(ctx context.Context, s models.CoverSheet) (string, error) {
	in := string(s.Room.ID) + " " + risk.SeasonKey(s)
	air, ok := b.keys[in]
	if !ok {
		var err error
		if air, err = b.r.yearKey(ctx, s); err != nil {
			return "", err
		}
		b.keys[in] = air
	}
	metal, assumed := s.ServiceC()
	p, c := s.Component, s.Cover
	key, err := json.Marshal([]any{air, metal, assumed, p.Kind, p.NPS, p.Connection, c.ThicknessMM, c.Penetrations, c.Closure, c.CoatedOn != ""})
	return string(key), err
}
