package server

import (
	"fmt"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
	"drylag/reports"
)

// duePage is what is due over the next twelve months, room by room.
type duePage struct {
	shell
	Rooms  []register.DueRoom
	Near   filterChoices
	Chart  picture
	Opened *register.DueRoom // the room that is expanded, nil: all rooms as strips
	Lines  []coverLine
	From   int // of the expanded room's rows, those that are shown
	Today  models.Date
}

// dueShown is how many covers of an expanded room are drawn at a time.
const dueShown = 50

func (s *Server) showDue(c *gin.Context) error {
	p := &duePage{shell: titled("Due", "/due")}
	p.Form = &form{values: c.Request.URL.Query()}
	filter := register.DueFilter{Building: models.ID(c.Query("building")), Room: models.ID(c.Query("room"))}
	var err error
	if p.Near, err = s.filterChoices(c, filter.Building); err != nil {
		return err
	}
	if p.Rooms, err = s.register.Due(c.Request.Context(), actor(c), filter); err != nil {
		return err
	}
	p.Today = models.DateOf(s.register.Now(), time.UTC)
	if filter.Room != models.None && len(p.Rooms) == 1 {
		p.Opened = &p.Rooms[0]
		p.From = p.Form.values0("from", len(p.Opened.Covers))
	}
	for _, r := range p.Rooms {
		for _, row := range p.shown(r) {
			p.Lines = append(p.Lines, coverLine{CoverRow: row})
		}
	}
	if err := p.draw(); err != nil {
		return err
	}
	return s.show(c, "due", p)
}

// values0 is a whole number from the address, 0 where it is none or out of range.
func (f *form) values0(name string, below int) int {
	n := f.whole(name)
	f.Faults = nil
	if n == nil || *n < 0 || *n >= below {
		return 0
	}
	return *n
}

// dueSoon is how many days ahead the list under the strips looks.
const dueSoon = 90

// soonIn are the rows due by a day; the strips show the rest of the year.
func soonIn(rows []models.CoverRow, by models.Date) (out []models.CoverRow) {
	for _, r := range rows {
		if r.DueOn != "" && r.DueOn <= by {
			out = append(out, r)
		}
	}
	return out
}

// shown are the rows of a room that the page shows.
func (p *duePage) shown(r register.DueRoom) []models.CoverRow {
	if p.Opened == nil {
		return soonIn(r.Covers, p.Today.AddDays(dueSoon))
	}
	return r.Covers[p.From:min(len(r.Covers), p.From+dueShown)]
}

// More is where the next rows of the expanded room begin, 0: there are none.
func (p *duePage) More() int {
	if p.Opened == nil || p.From+dueShown >= len(p.Opened.Covers) {
		return 0
	}
	return p.From + dueShown
}

// Count tells how many of the covers are past a must date, off, or due soon.
func (p *duePage) Count(what string) int {
	n := 0
	for _, r := range p.Rooms {
		for _, row := range r.Covers {
			switch {
			case what == "overdue" && row.Overdue,
				what == "off" && row.State == models.Off,
				what == "soon" && row.DueOn != "" && row.DueOn <= p.Today.AddDays(dueSoon):
				n++
			}
		}
	}
	return n
}

func (p *duePage) draw() (err error) {
	start := p.Today.Time().AddDate(0, 0, 1-p.Today.Time().Day())
	desc := fmt.Sprintf("%d covers are due within 90 days.", p.Count("soon"))
	if p.Opened != nil {
		plot := reports.DueRoom{Frame: reports.Frame{ID: "due", Title: "Due in " + p.Opened.Room.Name, Desc: desc}, Start: start,
			Today: p.Today.Time(), Sweats: fromMonth(p.Opened.Sweat, start.Month())}
		for _, row := range p.shown(*p.Opened) {
			plot.Covers = append(plot.Covers, dueCover(row))
		}
		p.Chart, err = drawn(&plot.Frame, func() reports.Plot { return plot })
		return err
	}
	plot := reports.DueStrips{Frame: reports.Frame{ID: "due", Title: "Due by room", Desc: desc}, Start: start, Today: p.Today.Time()}
	for _, r := range p.Rooms {
		room := reports.Room{Name: r.Room.Name, Note: r.Room.BuildingName, Sweats: fromMonth(r.Sweat, start.Month()),
			Href: "/due?building=" + string(r.Room.Building) + "&room=" + string(r.Room.ID)}
		for _, row := range r.Covers {
			if row.DueOn != "" {
				room.Due = append(room.Due, reports.DueMark{Date: row.DueOn.Time(), Reason: dueReason(row)})
			}
		}
		plot.Rooms = append(plot.Rooms, room)
	}
	p.Chart, err = drawn(&plot.Frame, func() reports.Plot { return plot })
	return err
}

func dueCover(row models.CoverRow) reports.DueCover {
	out := reports.DueCover{Name: row.Tag, Note: models.PartTitle(row.Kind, row.NPS), Href: "/covers/" + string(row.ID),
		Opens: row.Window.Time(), Due: row.DueOn.Time(), Reason: dueReason(row)}
	if row.Window == "" || row.Window > row.DueOn {
		out.Opens = out.Due
	}
	return out
}

// dueReason is the mark of a due date.
func dueReason(row models.CoverRow) reports.Reason {
	switch row.Rule {
	case models.RuleOff:
		return reports.PutBack
	case models.RuleReported:
		return reports.Reported
	case models.RuleThickness, models.RuleLimit:
		return reports.Must
	case models.RuleFirstLook:
		return reports.FirstLook
	}
	return reports.Worth
}

// fromMonth turns months from January first into twelve months from a month on.
func fromMonth(months [12]bool, first time.Month) (out [12]bool) {
	for i := range out {
		out[i] = months[(int(first)-1+i)%12]
	}
	return out
}
