package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// eventJSON is one line of the append-only log.
type eventJSON struct {
	Seq      int64     `json:"seq"`
	At       time.Time `json:"at"`
	Actor    models.ID `json:"actor_id,omitempty"` // none: drylag itself
	Act      string    `json:"act"`
	Subject  string    `json:"subject"`
	Of       models.ID `json:"of_id,omitempty"`
	Building models.ID `json:"building_id,omitempty"`
	Detail   string    `json:"detail,omitempty"` // JSON of what changed, as it was hashed
	Prev     string    `json:"prev_sha256,omitempty"`
	Hash     string    `json:"sha256"`
}

func eventFrom(e models.Event) eventJSON {
	return eventJSON{e.Seq, e.At.UTC(), e.Actor, e.Act, e.Subject, e.Of, e.Building, e.Detail, e.Prev, e.Hash}
}

// apiEvents is a stretch of the log, newest first.
func (s *Server) apiEvents(c *gin.Context) error {
	f := &form{values: c.Request.URL.Query()}
	before := f.whole("before")
	if before == nil {
		before = new(0)
	}
	if *before < 0 {
		f.Faults.Add("before", "the number of an event")
	}
	if err := f.Faults.Err(); err != nil {
		return err
	}
	limit, err := limited(c, logLines, 1000)
	if err != nil {
		return err
	}
	events, err := s.register.Events(c.Request.Context(), actor(c), register.EventFilter{Before: int64(*before),
		Building: f.id("building"), Of: f.id("of"), Limit: limit})
	if err != nil {
		return err
	}
	out := struct {
		Events []eventJSON `json:"events"`
		Next   int64       `json:"next_before,omitempty"`
	}{Events: each(events, eventFrom)}
	if len(events) == limit {
		out.Next = events[len(events)-1].Seq
	}
	return s.answer(c, http.StatusOK, out)
}
