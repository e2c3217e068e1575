package server

import (
	"fmt"
	"net/url"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/register"
	"drylag/reports"
)

// draw makes the chart: one line to a room, or to a cover of the room that is
// expanded.
func (p *duePage) draw() (err error) {
	if len(p.Lines) == 0 {
		return nil
	}
	if room := p.Opened(); room != nil {
		plot := reports.DueRoom{Frame: reports.Frame{ID: "due", Title: "Due in " + room.Room.Name, Desc: p.ChartSays()},
			Start: p.Today.Time(), Today: p.Today.Time(), Sweats: fromMonth(room.Sweat, p.Today.Time().Month())}
		for _, line := range p.Lines {
			plot.Covers = append(plot.Covers, dueCover(line.CoverRow))
		}
		p.Chart, err = drawn(&plot.Frame, func() reports.Plot { return plot })
		return err
	}
	plot := reports.DueStrips{Frame: reports.Frame{ID: "due", Title: "Due by room", Desc: p.ChartSays()}, Start: p.Today.Time(), Today: p.Today.Time()}
	for _, r := range p.Drawn() {
		plot.Rooms = append(plot.Rooms, p.strip(r))
	}
	p.Chart, err = drawn(&plot.Frame, func() reports.Plot { return plot })
	return err
}

// Drawn are the rooms of the chart.
func (p *duePage) Drawn() []register.DueRoom { return p.Rooms[p.Strips.From:p.Strips.To] }

// ChartSays is the sentence that stands for the picture.
func (p *duePage) ChartSays() string {
	if p.Opened() != nil {
		return "One line a cover: the bar is the time in which to open it, the mark its date and reason. In hatched months bare metal sweats there; in white ones it can be opened and closed dry."
	}
	return "One line a room, a mark for each date. In hatched months bare metal sweats there; in white ones a cover can be opened and closed dry."
}

// strip is one room of the chart.
func (p *duePage) strip(r register.DueRoom) reports.Room {
	out := reports.Room{Name: r.Room.Name, Note: r.Room.BuildingName, Href: p.RoomAddress(r), Sweats: fromMonth(r.Sweat, p.Today.Time().Month())}
	for _, row := range r.Covers {
		out.Due = append(out.Due, reports.DueMark{Date: row.DueOn.Time(), Reason: dueReason(row)})
	}
	return out
}

// RoomAddress is this page with one room expanded.
func (p *duePage) RoomAddress(r register.DueRoom) string {
	q := narrowTo(p.Form.values)
	q.Set("building", string(r.Room.Building))
	q.Set("room", string(r.Room.ID))
	return "/due?" + q.Encode()
}

// narrowTo keeps of an address what narrows the list.
func narrowTo(values url.Values) url.Values {
	out := url.Values{}
	for _, name := range []string{"building", "room", "action", "rule"} {
		if v := values.Get(name); v != "" {
			out.Set(name, v)
		}
	}
	return out
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

// Months are the twelve months of the chart, in short.
func (p *duePage) Months() []string {
	out := make([]string, 12)
	for i := range out {
		out[i] = p.month(i).Format("Jan")
	}
	return out
}

// month is the first day of the i-th month of the chart.
func (p *duePage) month(i int) time.Time {
	t := p.Today.Time()
	return time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC).AddDate(0, i, 0)
}

// Counts are a room's covers by date: before the chart, then month by month.
func (p *duePage) Counts(r register.DueRoom) []int {
	out := make([]int, 13)
	start := p.month(0)
	for _, row := range r.Covers {
		on := row.DueOn.Time()
		i := (on.Year()-start.Year())*12 + int(on.Month()) - int(start.Month())
		switch {
		case i < 0:
			out[0]++
		case i < 12:
			out[i+1]++
		}
	}
	return out
}

// DryMonths names the months in which bare metal stays dry in a room.
func (p *duePage) DryMonths(sweat [12]bool) string {
	var out []string
	for m, sweats := range sweat {
		if !sweats {
			out = append(out, time.Month(m + 1).String()[:3])
		}
	}
	switch len(out) {
	case 0:
		return "no month"
	case 12:
		return "all year"
	}
	return strings.Join(out, ", ")
}

// ListSays tells which covers the list shows.
func (p *duePage) ListSays() string {
	if !p.Rows.Part() {
		return plural(p.Rows.All, "cover", "covers") + ", the most urgent first."
	}
	return fmt.Sprintf("Covers %d to %d of %d, the most urgent first.", p.Rows.First(), p.Rows.To, p.Rows.All)
}
