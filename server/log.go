package server

import (
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// logLines is how many events a page of the log shows.
const logLines = 100

type logPage struct {
	shell
	Lines  []logLine
	Before int64 // the next page starts before this event, 0: the end
	Newest bool
}

type logLine struct {
	models.Event
	Who string
}

// Path is the page of what the event is about, "" where there is none.
func (l logLine) Path() string {
	switch l.Subject {
	case "cover":
		return "/covers/" + string(l.Of)
	case "building":
		return "/buildings/" + string(l.Of)
	case "user":
		return "/people/" + string(l.Of)
	}
	return ""
}

func (s *Server) showLog(c *gin.Context) error {
	before, err := strconv.ParseInt(c.DefaultQuery("before", "0"), 10, 64)
	if err != nil || before < 0 {
		return models.Errorf(models.Missing, "There is no such place in the log.")
	}
	events, err := s.register.Events(c.Request.Context(), actor(c), register.EventFilter{Before: before, Limit: logLines})
	if err != nil {
		return err
	}
	names, err := s.names(c)
	if err != nil {
		return err
	}
	p := &logPage{shell: titled("Log", "/log"), Newest: before == 0}
	for _, e := range events {
		p.Lines = append(p.Lines, logLine{Event: e, Who: nameOf(names, e.Actor)})
	}
	if len(events) == logLines {
		p.Before = events[len(events)-1].Seq
	}
	return s.show(c, "log", p)
}

// names are the people's names by account.
func (s *Server) names(c *gin.Context) (map[models.ID]string, error) {
	users, err := s.register.Users(c.Request.Context(), actor(c))
	if err != nil {
		return nil, err
	}
	names := map[models.ID]string{}
	for _, u := range users {
		names[u.ID] = u.Name
	}
	return names, nil
}

// nameOf is the person's name; what commands and the service itself do has
// none.
func nameOf(names map[models.ID]string, id models.ID) string {
	if n, ok := names[id]; ok {
		return n
	}
	if id == models.None {
		return "drylag"
	}
	return string(id)
}
