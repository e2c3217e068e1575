package reports

import (
	"math"
	"slices"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// trend returns the band and the line of the trend, cut to the plot.
func (c ThicknessPlot) trend() []chart.Series {
	if len(c.Trend) < 2 {
		return nil
	}
	walls := c.walls()
	bottom, top := walls[0].Value, walls[len(walls)-1].Value
	cut := func(v float64) float64 { return math.Min(math.Max(v, bottom), top) }
	b := band{style: chart.Style{FillColor: metalColor.WithAlpha(46), StrokeColor: noColor}}
	var mid []float64
	for _, t := range c.Trend {
		b.x = append(b.x, day(t.At))
		b.low = append(b.low, cut(t.Low))
		b.high = append(b.high, cut(t.High))
		mid = append(mid, cut(t.Mid))
	}
	return []chart.Series{b, lineOf(b.x, mid, stroke{color: metalColor, width: 1.5, dash: []float64{6, 4}})}
}

func (c ThicknessPlot) readings(p pen, s scale) {
	p.text("Wall, "+c.Unit, at{0, 14}, strongText)
	sorted := slices.SortedFunc(slices.Values(c.Readings), func(a, b WallReading) int { return a.At.Compare(b.At) })
	for i, r := range sorted {
		a := s.at(day(r.At), r.Wall)
		low, high := s.at(day(r.At), r.Wall-r.Error), s.at(day(r.At), r.Wall+r.Error)
		p.tip(dated(r.At)+": "+c.value(r.Wall), func() {
			p.whisker(low, high)
			p.r.Circle(4.5, a.x, a.y)
			p.fill(metalColor)
		})
		if i == len(sorted)-1 {
			c.label(p, s, c.value(r.Wall)+", "+r.At.Format("Jan 2006"), at{a.x + 8, high.y - 6})
		}
	}
}

func (c ThicknessPlot) value(v float64) string { return decimal(v, c.Decimals) + " " + c.Unit }

// whisker draws the error of a reading from low to high.
func (p pen) whisker(low, high at) {
	s := stroke{color: inkColor, width: 1}
	p.line(low, high, s)
	if low.y-high.y > 3 {
		p.line(at{low.x - 4, low.y}, at{low.x + 4, low.y}, s)
		p.line(at{low.x - 4, high.y}, at{low.x + 4, high.y}, s)
	}
}

// label writes near a, kept in the plot.
func (c ThicknessPlot) label(p pen, s scale, text string, a at) {
	a.x = max(s.box.Left, min(a.x, s.box.Right-wide(text, countText)))
	p.text(text, at{a.x, max(a.y, s.box.Top+12)}, countText)
}

// lines draws the alert and the required thickness with their words: over the
// line, but the lower of two that are close has them under it.
func (c ThicknessPlot) lines(p pen, s scale) {
	x := s.x.GetMin()
	put := func(v float64, says string, dash []float64, under bool) {
		a := s.at(x, v)
		p.line(a, at{s.box.Right, a.y}, stroke{color: actionColor, width: 1.5, dash: dash})
		y := a.y - 5
		if under {
			y = a.y + 15
		}
		p.text(says+" "+c.value(v), at{a.x + 6, y}, countText)
	}
	close := c.Alert != nil && c.Required != nil &&
		math.Abs(float64(s.at(x, *c.Alert).y-s.at(x, *c.Required).y)) < 20
	if c.Alert != nil {
		put(*c.Alert, "alert", []float64{2, 4}, close && *c.Alert < *c.Required)
	}
	if c.Required != nil {
		put(*c.Required, "required", nil, close && *c.Alert >= *c.Required)
	}
}

// crossing marks where the trend meets the required thickness.
func (c ThicknessPlot) crossing(p pen, s scale) {
	if c.Crossing == nil {
		return
	}
	a := s.at(day(c.Crossing.At), *c.Required)
	c.between(p, s, a.y)
	p.line(a, at{a.x, s.box.Bottom}, stroke{color: actionColor, width: 1, dash: []float64{2, 3}})
	p.r.Circle(5.5, a.x, a.y)
	p.both(paperColor, stroke{color: actionColor, width: 2})
	when, between := c.Crossing.says()
	for i, text := range []string{when, between} {
		x := max(s.box.Left, min(a.x-10, s.box.Right)-wide(text, countText))
		p.text(text, at{x, a.y + 22 + 16*i}, countText)
	}
}

// between lays a bar on the required thickness from the earliest to the latest
// crossing, as far as the plot goes.
func (c ThicknessPlot) between(p pen, s scale, y int) {
	x := func(t *time.Time, open float64) int {
		if t == nil {
			return s.at(open, 0).x
		}
		return s.at(math.Min(math.Max(day(*t), s.x.GetMin()), s.x.GetMax()), 0).x
	}
	if c.Crossing.Early == nil {
		return
	}
	p.box(chart.Box{Left: x(c.Crossing.Early, 0), Right: x(c.Crossing.Late, s.x.GetMax()), Top: y - 4, Bottom: y + 4},
		actionColor.WithAlpha(70), stroke{color: noColor})
}
