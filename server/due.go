package server

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
)

// duePage is what is due over the next twelve months, room by room.
type duePage struct {
	shell
	Filter models.CoverFilter
	Near   filterChoices
	Today  models.Date
	Rooms  []register.DueRoom // all that match
	Strips pageOf             // of them, those that are drawn
	Rows   pageOf             // of their covers, those that are listed
	Lines  []coverLine
	Chart  picture

	Campus []models.BuildingNumbers // instead of rooms, where there are too many buildings to draw
}

// Rows of the list and lines of the chart come so many at a time.
const (
	dueRows  = 50
	dueRooms = 40
)

// manyBuildings is from how many buildings on one is to be chosen first.
const manyBuildings = 20

func (s *Server) showDue(c *gin.Context) error {
	p := &duePage{shell: titled("Due", "/due")}
	p.Form = &form{values: c.Request.URL.Query()}
	p.Filter = coverFilter(p.Form)
	ctx, who := c.Request.Context(), actor(c)
	var err error
	if p.Near, err = s.filterChoices(c, p.Form, &p.Filter); err != nil {
		return err
	}
	if p.Filter.Building == models.None && len(p.Near.Buildings) > manyBuildings {
		return s.showCampus(c, p)
	}
	rooms, err := s.register.Due(ctx, who, register.DueFilter{Building: p.Filter.Building, Room: p.Filter.Room})
	if err != nil {
		return err
	}
	p.Rooms = narrowed(rooms, p.Filter)
	p.Today = s.register.Today(p.Near.first(p.Filter.Building))
	if err := p.list(s, c); err != nil {
		return err
	}
	if err := p.draw(); err != nil {
		return err
	}
	return s.show(c, "due", p)
}

// showCampus is the page where a building is chosen first.
func (s *Server) showCampus(c *gin.Context, p *duePage) (err error) {
	if p.Campus, err = s.register.Buildings(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	return s.show(c, "due", p)
}

// Sum is the numbers over all buildings.
func (p *duePage) Sum() models.BuildingNumbers { return (&buildingsPage{All: p.Campus}).Sum() }

// first is the chosen building, else the first one by name.
func (n filterChoices) first(chosen models.ID) models.Building {
	if chosen == models.None && len(n.Buildings) > 0 {
		chosen = models.ID(n.Buildings[0].Code)
	}
	return n.building[chosen]
}

// narrowed keeps the covers with the action and the rule that are asked for,
// and the rooms that have any.
func narrowed(rooms []register.DueRoom, f models.CoverFilter) []register.DueRoom {
	var out []register.DueRoom
	for _, r := range rooms {
		covers := slices.DeleteFunc(slices.Clone(r.Covers), func(row models.CoverRow) bool {
			return f.Action != "" && string(row.Action) != f.Action || f.Rule != "" && string(row.Rule) != f.Rule
		})
		if len(covers) > 0 {
			r.Covers = covers
			out = append(out, r)
		}
	}
	return out
}

// list takes the rows that are shown, the most urgent first.
func (p *duePage) list(s *Server, c *gin.Context) error {
	var all []models.CoverRow
	for _, r := range p.Rooms {
		all = append(all, r.Covers...)
	}
	slices.SortStableFunc(all, func(a, b models.CoverRow) int {
		return cmp.Or(cmp.Compare(urgency(a.Action), urgency(b.Action)), cmp.Compare(a.DueOn, b.DueOn))
	})
	p.Rows = p.pageOf("from", dueRows, len(all))
	p.Strips = p.pageOf("rooms", dueRooms, len(p.Rooms))
	for _, row := range all[p.Rows.From:p.Rows.To] {
		line, err := s.lineOf(c, row, p.Near)
		if err != nil {
			return err
		}
		line.Place = p.Filter.Room == models.None
		p.Lines = append(p.Lines, line)
	}
	return nil
}

// urgency is the place of an action in models.Actions, the most urgent first.
func urgency(a models.Action) int {
	return slices.IndexFunc(models.Actions, func(w models.Word) bool { return w.Code == string(a) })
}

// Opened is the room that is expanded to its covers, nil where rooms are strips.
func (p *duePage) Opened() *register.DueRoom {
	if p.Filter.Room == models.None || len(p.Rooms) == 0 {
		return nil
	}
	return &p.Rooms[0]
}

// Room is the name of the room that is asked for.
func (p *duePage) Room() string {
	if p.Filter.Room == models.None {
		return ""
	}
	return p.Near.Rooms.Say(string(p.Filter.Room))
}

// Narrowed tells whether some covers are left out.
func (p *duePage) Narrowed() bool {
	f := p.Filter
	return f.Building != "" || f.Room != "" || f.Action != "" || f.Rule != ""
}

// dueSoon is how many days ahead the sentence looks.
const dueSoon = 90

// Soon, Overdue and Off count the covers due by then or before, those past a
// date that must be kept, and those that are off.
func (p *duePage) Soon() int {
	by := p.Today.AddDays(dueSoon)
	return p.count(func(r models.CoverRow) bool { return r.DueOn <= by })
}
func (p *duePage) Overdue() int { return p.count(func(r models.CoverRow) bool { return r.Overdue }) }
func (p *duePage) Off() int {
	return p.count(func(r models.CoverRow) bool { return r.State == models.Off })
}

func (p *duePage) count(want func(models.CoverRow) bool) int {
	n := 0
	for _, room := range p.Rooms {
		for _, row := range room.Covers {
			if want(row) {
				n++
			}
		}
	}
	return n
}

// pageOf is a stretch of a long list, with the addresses before and after.
type pageOf struct {
	From, To, All int
	Before, After string // "" none
}

// First is the number of the first one, counted from one.
func (p pageOf) First() int { return p.From + 1 }

// Part tells whether there are others.
func (p pageOf) Part() bool { return p.To-p.From < p.All }

// pageOf reads from the address where a stretch begins. What is no number, or
// beyond the end, begins at the first.
func (p *duePage) pageOf(name string, most, all int) pageOf {
	from, err := strconv.Atoi(p.Form.text(name))
	if err != nil || from < 0 || from >= all {
		from = 0
	}
	out := pageOf{From: from, To: min(all, from+most), All: all}
	if from > 0 {
		out.Before = p.address(name, max(0, from-most))
	}
	if out.To < all {
		out.After = p.address(name, out.To)
	}
	return out
}

// address is this page from another row or room on.
func (p *duePage) address(name string, from int) string {
	q := narrowTo(p.Form.values)
	q.Set(name, strconv.Itoa(from))
	return "/due?" + q.Encode()
}
