package server

import (
	"html/template"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/register"
	"drylag/reports"
)

type buildingsPage struct {
	shell
	All []models.BuildingNumbers
}

func (s *Server) listBuildings(c *gin.Context) error {
	all, err := s.register.Buildings(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.show(c, "buildings", &buildingsPage{shell: titled("Buildings", "/buildings"), All: all})
}

// Sum is the five numbers over all buildings of the page.
func (p *buildingsPage) Sum() models.BuildingNumbers {
	var sum models.BuildingNumbers
	for _, n := range p.All {
		sum.Covers += n.Covers
		sum.Off += n.Off
		sum.WetOpen += n.WetOpen
		sum.NeverSeen += n.NeverSeen
		sum.Overdue += n.Overdue
		sum.Due += n.Due
		sum.Clear.Hours += n.Clear.Hours
	}
	return sum
}

type buildingPage struct {
	shell
	models.BuildingTrend
	Rooms    []models.RoomRow
	Loops    []models.Loop
	Climates []models.HourlyClimate
	Share    picture
	Grades   picture
}

// picture is a chart drawn for a desk and for a phone; the style sheet shows
// the one that fits.
type picture struct{ Desk, Phone template.HTML }

func (s *Server) showBuilding(c *gin.Context) error {
	ctx, who, id := c.Request.Context(), actor(c), param(c, "id")
	trend, err := s.register.Trend(ctx, who, id)
	if err != nil {
		return err
	}
	p := &buildingPage{shell: titled(trend.Numbers.Building.Name, "/buildings"), BuildingTrend: trend}
	if p.Rooms, err = s.register.Rooms(ctx, who, id); err != nil {
		return err
	}
	if p.Loops, err = s.register.Loops(ctx, who, id); err != nil {
		return err
	}
	if p.Climates, err = s.register.Climates(ctx, who, id); err != nil {
		return err
	}
	if err := p.draw(); err != nil {
		return err
	}
	return s.show(c, "building", p)
}

// ShareSentence says what the picture of shares shows.
func (p *buildingPage) ShareSentence() string { return register.WetSentence(p.Quarters) }

// GradeSentence says what the picture of grades shows.
func (p *buildingPage) GradeSentence() string { return register.GradeSentence(p.Years) }

// Graded is how many openings of a year were graded or not.
func (p *buildingPage) Graded(y models.GradeYear) int {
	n := y.NotGraded
	for _, k := range y.Ri {
		n += k
	}
	return n
}

// draw makes the charts, each at both widths.
func (p *buildingPage) draw() (err error) {
	share := reports.ShareTrend{Frame: reports.Frame{ID: "share", Title: "Share of covers found wet, by quarter", Desc: p.ShareSentence()}}
	for _, q := range p.Quarters {
		share.Quarters = append(share.Quarters, quarterOf(q))
	}
	if len(share.Quarters) > 0 {
		if p.Share, err = drawn(&share.Frame, func() reports.Plot { return share }); err != nil {
			return err
		}
	}
	mix := reports.GradeMix{Frame: reports.Frame{ID: "grades", Title: "Rust grades found, by year", Desc: p.GradeSentence()}}
	for _, y := range p.Years {
		mix.Years = append(mix.Years, reports.GradeYear{Year: y.Year, Ri: y.Ri, NotGraded: y.NotGraded})
	}
	if len(mix.Years) > 0 {
		p.Grades, err = drawn(&mix.Frame, func() reports.Plot { return mix })
	}
	return err
}

// quarterOf reads "2026 Q4".
func quarterOf(q models.WetQuarter) reports.Quarter {
	year, number := q.When()
	return reports.Quarter{Year: year, Number: number, Wet: q.Wet, Opened: q.Opened, Low: q.Share.Lo, High: q.Share.Hi}
}

// drawn draws a chart for a desk and for a phone. plot gives the chart with the
// frame as it is at that moment.
func drawn(frame *reports.Frame, plot func() reports.Plot) (picture, error) {
	id := frame.ID
	var out picture
	for _, to := range []struct {
		suffix string
		width  int
		html   *template.HTML
	}{{"-desk", reports.Desk, &out.Desk}, {"-phone", reports.Phone, &out.Phone}} {
		frame.ID, frame.Width = id+to.suffix, to.width
		svg, err := reports.SVG(plot())
		if err != nil {
			return out, err
		}
		*to.html = template.HTML(svg) // drawn by reports, which escapes every text
	}
	return out, nil
}
