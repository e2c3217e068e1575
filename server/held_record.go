package server

import (
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// heldPage is the list of the records that wait for an engineer.
type heldPage struct {
	shell
	Records []heldLine
}

// heldLine is one of them in a few words.
type heldLine struct{ register.HeldRecord }

func (s *Server) listHeld(c *gin.Context) error {
	list, err := s.register.Held(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	p := &heldPage{shell: titled("Late records", "/held")}
	for _, h := range list {
		p.Records = append(p.Records, heldLine{h})
	}
	return s.show(c, "held", p)
}

// Noun is what it is: an opening or a look.
func (h heldLine) Noun() string {
	if h.Look != nil {
		return "look"
	}
	return "opening"
}

// On is the day of the work.
func (h heldLine) On() models.Date {
	if h.Look != nil {
		return h.Look.On
	}
	return h.Opening.On
}

// Of names the cover that it is about.
func (h heldLine) Of() string {
	if h.Sheet == nil {
		return "a cover that is not in the register"
	}
	return h.Sheet.Component.Tag + ", " + tight(h.Sheet.Title()) + ", " + h.Sheet.Room.Name + ", " + h.Sheet.Building.Name
}

// Arrived is when it came in.
func (h heldLine) Arrived() time.Time { return h.HeldRecord.At }

// Sent is who sent it.
func (h heldLine) Sent() string {
	if h.Name == "" {
		return "an account since removed"
	}
	return h.Name
}

// heldRecordPage is one of them, to be read and decided.
type heldRecordPage struct {
	shell
	heldLine
	Record *openingPage // nil: a look
	Seen   entry        // of a look
}

// heldRecordOn begins that page.
func (s *Server) heldRecordOn(c *gin.Context) (*heldRecordPage, error) {
	h, err := s.register.HeldRecordOf(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return nil, err
	}
	p := &heldRecordPage{heldLine: heldLine{h}}
	p.shell = titled("A late "+p.Noun(), "/held")
	p.Form = blank()
	if h.Look != nil {
		p.Seen = entry{HistoryItem: models.HistoryItem{On: h.Look.On, Look: h.Look}}
		return p, nil
	}
	p.Record = &openingPage{Version: register.OpeningVersion{Opening: *h.Opening}}
	p.Record.Actor = actor(c)
	return p, nil
}

func (s *Server) showHeld(c *gin.Context) error {
	p, err := s.heldRecordOn(c)
	if err != nil {
		return err
	}
	return s.show(c, "held_record", p)
}

func (s *Server) releaseHeld(c *gin.Context) error {
	p, err := s.heldRecordOn(c)
	if err != nil {
		return err
	}
	rc, err := s.register.ReleaseHeld(c.Request.Context(), actor(c), p.ID)
	if err != nil {
		return s.again(c, "held_record", p, err)
	}
	s.said(c, receiptSays(rc, "Taken into the history, as recorded by "+p.Sent()+"."))
	return seeOther(c, "/covers/"+string(rc.Cover))
}

func (s *Server) rejectHeld(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.heldRecordOn(c)
	if err != nil {
		return err
	}
	p.Form = f
	if err := s.register.RejectHeld(c.Request.Context(), actor(c), p.ID, f.text("why")); err != nil {
		return s.again(c, "held_record", p, err)
	}
	s.said(c, "Put aside. It stays in the log with your reason.")
	return seeOther(c, "/held")
}
