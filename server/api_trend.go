package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// trendJSON is a building over the years: the numbers behind its charts.
type trendJSON struct {
	Numbers   numbersJSON   `json:"numbers"`
	Quarters  []quarterJSON `json:"quarters"`
	Years     []gradesJSON  `json:"years"`
	Places    []brokenJSON  `json:"places"`
	Sentences []string      `json:"sentences"`
}

// quarterJSON is how many covers were opened in a quarter and how many were wet.
type quarterJSON struct {
	Year    int     `json:"year"`
	Quarter int     `json:"quarter"`
	Opened  int     `json:"opened"`
	Wet     int     `json:"wet"`
	Low     float64 `json:"share_wet_low"`  // Wilson's 90 % interval
	High    float64 `json:"share_wet_high"` // of the share
}

// gradesJSON is the rust found in a year, as counts of openings.
type gradesJSON struct {
	Year      int   `json:"year"`
	Ri        []int `json:"ri"` // Ri 0 to Ri 5
	NotGraded int   `json:"not_graded"`
}

// brokenJSON is how often a place of the seal was found broken.
type brokenJSON struct {
	Place  string `json:"place"`
	Seen   int    `json:"seen"`
	Broken int    `json:"broken"`
}

func (s *Server) apiTrend(c *gin.Context) error {
	t, err := s.register.Trend(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, trendJSON{
		Numbers:   numbersFrom(t.Numbers),
		Quarters:  each(t.Quarters, quarterFrom),
		Years:     each(t.Years, func(y models.GradeYear) gradesJSON { return gradesJSON{y.Year, y.Ri[:], y.NotGraded} }),
		Places:    each(t.Places, func(p models.PlaceCount) brokenJSON { return brokenJSON(p) }),
		Sentences: append([]string{}, t.Sentences...),
	})
}

func quarterFrom(q models.WetQuarter) quarterJSON {
	year, number := q.When()
	return quarterJSON{year, number, q.Opened, q.Wet, q.Share.Lo, q.Share.Hi}
}

// climateJSON is one hourly climate without its hours.
type climateJSON struct {
	ID         models.ID  `json:"id"`
	Room       models.ID  `json:"room_id,omitempty"` // of a logger
	Source     string     `json:"source"`
	Name       string     `json:"name"`
	Start      *time.Time `json:"start,omitempty"`        // of a logger
	UTCOffset  *float64   `json:"utc_offset_h,omitempty"` // of a weather file
	Gaps       []string   `json:"gaps,omitempty"`
	ImportedAt time.Time  `json:"imported_at"`
	SHA256     string     `json:"sha256"`
}

func climateFrom(h models.HourlyClimate) climateJSON {
	out := climateJSON{ID: h.ID, Room: h.Room, Source: h.Source, Name: h.Name, Gaps: h.Gaps, ImportedAt: h.ImportedAt.UTC(), SHA256: h.SHA256}
	if h.Room == models.None {
		out.UTCOffset = &h.UTCOffsetH
	} else {
		out.Start = instant(h.Start)
	}
	return out
}

func (s *Server) apiClimates(c *gin.Context) error {
	list, err := s.register.Climates(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]climateJSON{"climates": each(list, climateFrom)})
}
