package server

import (
	"html/template"
	"net/url"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coversPage is the register as room sheets.
type coversPage struct {
	shell
	Filter models.CoverFilter
	Found  models.CoverPage
	Rooms  []roomSheet
	Near   filterChoices
	query  url.Values
}

// roomSheet is the rows of one room, in the order of the page.
type roomSheet struct {
	Building, Room string
	Rows           []coverLine
}

// coverLine is one row with its small picture and its words.
type coverLine struct {
	models.CoverRow
	Icon  template.HTML
	Place string // room and building where the sheet does not name them
}

// Do is the word of action, with its month where it only says not before.
func (l coverLine) Do() string { return actionWords(l.Action, l.DueOn) }

// actionWords says an action; "Not before" names its month.
func actionWords(a models.Action, due models.Date) string {
	if a == models.NotBefore && due != "" {
		return models.Actions.Say(string(a)) + " " + due.Month()
	}
	return models.Actions.Say(string(a))
}

// filterChoices are what a list can be narrowed to.
type filterChoices struct{ Buildings, Rooms models.Vocabulary }

func (s *Server) listCovers(c *gin.Context) error {
	p := &coversPage{shell: titled("Covers", "/covers"), query: c.Request.URL.Query()}
	p.Filter = coverFilter(c)
	p.Form = &form{values: p.query}
	var err error
	if p.Near, err = s.filterChoices(c, p.Filter.Building); err != nil {
		return err
	}
	if p.Found, err = s.register.Covers(c.Request.Context(), actor(c), p.Filter); err != nil {
		return err
	}
	if p.Rooms, err = sheetsOf(p.Found.Rows, p.Filter.Sort == "" || p.Filter.Sort == "walk"); err != nil {
		return err
	}
	return s.show(c, "covers", p)
}

// coverFilter reads the filter from the address, so that a list can be linked.
func coverFilter(c *gin.Context) models.CoverFilter {
	return models.CoverFilter{Text: c.Query("text"), Building: models.ID(c.Query("building")), Room: models.ID(c.Query("room")),
		Loop: models.ID(c.Query("loop")), Kind: c.Query("kind"), State: c.Query("state"), Action: c.Query("action"),
		Condition: c.Query("condition"), Rule: c.Query("rule"), Sort: c.Query("sort"), After: c.Query("after")}
}

func (s *Server) filterChoices(c *gin.Context, building models.ID) (filterChoices, error) {
	var out filterChoices
	all, err := s.register.BuildingNames(c.Request.Context(), actor(c))
	if err != nil {
		return out, err
	}
	for _, b := range all {
		out.Buildings = append(out.Buildings, models.Word{Code: string(b.ID), Say: b.Name})
	}
	if building == models.None {
		return out, nil
	}
	rooms, err := s.register.Rooms(c.Request.Context(), actor(c), building)
	if err != nil {
		return out, err
	}
	for _, r := range rooms {
		out.Rooms = append(out.Rooms, models.Word{Code: string(r.ID), Say: r.Name})
	}
	return out, nil
}

// sheetsOf makes a sheet of each room, in walking order; in any other order all
// rows are one sheet and each says its room.
func sheetsOf(rows []models.CoverRow, walking bool) ([]roomSheet, error) {
	var out []roomSheet
	for _, r := range rows {
		icon, err := rowIcon(r)
		if err != nil {
			return nil, err
		}
		line := coverLine{CoverRow: r, Icon: icon}
		n := len(out)
		switch {
		case !walking:
			line.Place = r.RoomName + ", " + r.BuildingName
			if n == 0 {
				out = append(out, roomSheet{})
			}
		case n == 0 || out[n-1].Building != r.BuildingName || out[n-1].Room != r.RoomName:
			out = append(out, roomSheet{Building: r.BuildingName, Room: r.RoomName})
		}
		sheet := &out[len(out)-1]
		sheet.Rows = append(sheet.Rows, line)
	}
	return out, nil
}

// Narrowed tells whether the list is filtered.
func (p *coversPage) Narrowed() bool {
	for _, name := range []string{"text", "building", "room", "loop", "kind", "state", "action", "condition", "rule"} {
		if p.query.Get(name) != "" {
			return true
		}
	}
	return false
}

// Next is the address of the next page, "" at the end.
func (p *coversPage) Next() string { return p.page(p.Found.Next) }

// First is the address of the first page, "" when it is this one.
func (p *coversPage) First() string {
	if p.query.Get("after") == "" {
		return ""
	}
	q := p.copyQuery()
	q.Del("after")
	return "/covers?" + q.Encode()
}

func (p *coversPage) page(after string) string {
	if after == "" {
		return ""
	}
	q := p.copyQuery()
	q.Set("after", after)
	return "/covers?" + q.Encode()
}

func (p *coversPage) copyQuery() url.Values {
	q := url.Values{}
	for k, v := range p.query {
		q[k] = v
	}
	return q
}
