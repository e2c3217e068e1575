package server

import (
	"net/url"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// coversPage is the register as room sheets.
type coversPage struct {
	shell
	Filter models.CoverFilter
	Found  models.CoverPage
	Sheets []roomSheet
	Near   filterChoices
	query  url.Values
}

// roomSheet is the rows of one room; in an order other than the walk, all rows.
type roomSheet struct {
	Building, Room string
	Rows           []coverLine
}

func (s *Server) listCovers(c *gin.Context) error {
	p := &coversPage{shell: titled("Covers", "/covers"), query: c.Request.URL.Query()}
	p.Form = &form{values: p.query}
	p.Filter = coverFilter(p.Form)
	var err error
	if p.Near, err = s.filterChoices(c, p.Form, &p.Filter); err != nil {
		return err
	}
	if p.Found, err = s.register.Covers(c.Request.Context(), actor(c), p.Filter); err != nil {
		return err
	}
	walking := p.Filter.Text == "" && (p.Filter.Sort == "" || p.Filter.Sort == "walk")
	if p.Sheets, err = s.sheetsOf(c, p.Found.Rows, p.Near, walking); err != nil {
		return err
	}
	return s.show(c, "covers", p)
}

// coverFilter reads the filter from the address, so that a list can be linked.
func coverFilter(f *form) models.CoverFilter {
	out := models.CoverFilter{Text: f.text("text"), Building: f.id("building"), Room: f.id("room"), Loop: f.id("loop"),
		Kind: f.text("kind"), State: f.text("state"), Action: f.text("action"), Condition: f.text("condition"),
		Rule: f.text("rule"), Sort: f.text("sort"), After: f.text("after"), DueBy: f.date("due_by")}
	if n := f.whole("risk"); n != nil {
		out.RiskAtLeast = *n
	}
	return out
}

// sheetsOf makes a sheet of each room in walking order; in any other order all
// rows are one sheet and each says its room.
func (s *Server) sheetsOf(c *gin.Context, rows []models.CoverRow, near filterChoices, walking bool) ([]roomSheet, error) {
	var out []roomSheet
	for _, r := range rows {
		line, err := s.lineOf(c, r, near)
		if err != nil {
			return nil, err
		}
		line.Place = !walking
		n := len(out)
		switch {
		case !walking && n == 0:
			out = append(out, roomSheet{})
		case walking && (n == 0 || out[n-1].Rows[0].Room != r.Room):
			out = append(out, roomSheet{Building: r.BuildingName, Room: r.RoomName})
		}
		sheet := &out[len(out)-1]
		sheet.Rows = append(sheet.Rows, line)
	}
	return out, nil
}

// lineOf is a row with its picture, the day it is there, and a box to choose it
// for whoever may put dates off.
func (s *Server) lineOf(c *gin.Context, r models.CoverRow, near filterChoices) (coverLine, error) {
	icon, err := rowIcon(r)
	return coverLine{CoverRow: r, Icon: icon, Today: s.register.Today(near.building[r.Building]),
		Pick: models.May(actor(c).Role, models.ActDefer)}, err
}

// Conditions are what can be known about water under a cover.
func (p *coversPage) Conditions() models.Vocabulary { return wetConditions }

// Narrowed says in words what the list is narrowed to.
func (p *coversPage) Narrowed() []string {
	var out []string
	if p.Filter.Text != "" {
		out = append(out, "“"+p.Filter.Text+"”")
	}
	for _, n := range []struct {
		words models.Vocabulary
		code  string
	}{
		{p.Near.Rooms, string(p.Filter.Room)}, {p.Near.Buildings, string(p.Filter.Building)}, {p.Near.Loops, string(p.Filter.Loop)},
		{models.ComponentKinds, p.Filter.Kind}, {models.CoverStates, p.Filter.State}, {models.Actions, p.Filter.Action},
		{wetConditions, p.Filter.Condition}, {models.DueRules, p.Filter.Rule},
	} {
		if n.code != "" {
			out = append(out, n.words.Say(n.code))
		}
	}
	if p.Filter.DueBy != "" {
		out = append(out, "due by "+p.Filter.DueBy.Say())
	}
	if p.Filter.RiskAtLeast > 0 {
		out = append(out, "risk from "+num(float64(p.Filter.RiskAtLeast), 0))
	}
	return out
}

// More tells whether the list is narrowed by what stands further down.
func (p *coversPage) More() bool {
	f := p.Filter
	return f.Loop != "" || f.Kind != "" || f.State != "" || f.Action != "" || f.Condition != "" || f.Rule != "" || f.DueBy != "" ||
		f.RiskAtLeast > 0 || f.Sort != "" || len(p.Form.Faults) > 0
}

// Next is the address of the next page, "" at the end.
func (p *coversPage) Next() string {
	if p.Found.Next == "" {
		return ""
	}
	return p.address(p.Found.Next)
}

// First is the address of the first page, "" when it is this one.
func (p *coversPage) First() string {
	if p.Filter.After == "" {
		return ""
	}
	return p.address("")
}

// address is this list from another row on.
func (p *coversPage) address(after string) string {
	q := url.Values{}
	for name, values := range p.query {
		if name != "after" && values[0] != "" {
			q.Set(name, values[0])
		}
	}
	if after != "" {
		q.Set("after", after)
	}
	if len(q) == 0 {
		return "/covers"
	}
	return "/covers?" + q.Encode()
}
