package reports

import (
	"fmt"
	"io"
	"math"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// AirYear shows the temperature of bare metal against the dew point of the
// room's air, month by month. Where the dew point lies over the metal, it
// sweats.
type AirYear struct {
	Frame
	Unit   string // of all temperatures, such as "°C" or "°F"
	Months [12]AirMonth
}

// AirMonth is one month, January first: least, mean and greatest of its hours.
type AirMonth struct {
	Dew, Metal Spread
}

// Spread is least, mean and greatest of a month's hours.
type Spread struct{ Min, Mean, Max float64 }

func (s Spread) check(what string) error {
	if err := finite(what, s.Min, s.Mean, s.Max); err != nil {
		return err
	}
	if s.Min > s.Mean || s.Mean > s.Max {
		return fmt.Errorf("%s: %g, %g, %g are not least, mean and greatest", what, s.Min, s.Mean, s.Max)
	}
	return nil
}

func (c AirYear) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	for i, m := range c.Months {
		name := time.Month(i + 1).String()
		if err := m.Dew.check("dew point in " + name); err != nil {
			return err
		}
		if err := m.Metal.check("metal in " + name); err != nil {
			return err
		}
	}
	return nil
}

func (c AirYear) draw(rp chart.RendererProvider, w io.Writer) error {
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range c.Months {
		low = math.Min(low, math.Min(m.Dew.Min, m.Metal.Min))
		high = math.Max(high, math.Max(m.Dew.Max, m.Metal.Max))
	}
	g := graph{size: at{c.width(), 320}, pad: chart.Box{Left: 0, Top: 36, Right: 90, Bottom: 8}, x: c.ticks()}
	if c.narrow() {
		g.size.y, g.pad.Right = 280, 16
	}
	g.y = steps(low, high, 5, decimal)
	dew := func(m AirMonth) Spread { return m.Dew }
	metal := func(m AirMonth) Spread { return m.Metal }
	g.layers = []chart.Series{
		c.spread(dew, chart.Style{FillColor: waterColor.WithAlpha(46), StrokeColor: noColor}),
		c.spread(metal, chart.Style{FillColor: metalColor.WithAlpha(70), StrokeColor: noColor}),
		c.mean(dew, stroke{color: waterColor, width: 2}),
		c.mean(metal, stroke{color: metalColor, width: 2, dash: []float64{7, 3}}),
		layer(c.words),
	}
	return g.chart().Render(rp, w)
}

func (c AirYear) ticks() []chart.Tick {
	ticks := []chart.Tick{{Value: -0.3}}
	for i := range c.Months {
		name := time.Month(i + 1).String()[:3]
		if c.narrow() {
			name = name[:1]
		}
		ticks = append(ticks, chart.Tick{Value: float64(i), Label: name})
	}
	return append(ticks, chart.Tick{Value: 11.3})
}

func (c AirYear) spread(of func(AirMonth) Spread, style chart.Style) band {
	b := band{style: style}
	for i, m := range c.Months {
		b.x = append(b.x, float64(i))
		b.low = append(b.low, of(m).Min)
		b.high = append(b.high, of(m).Max)
	}
	return b
}

func (c AirYear) mean(of func(AirMonth) Spread, s stroke) chart.Series {
	var x, y []float64
	for i, m := range c.Months {
		x, y = append(x, float64(i)), append(y, of(m).Mean)
	}
	return lineOf(x, y, s)
}

// words names the two lines where they end: beside them on a wide chart, in
// the heading on a narrow one.
func (c AirYear) words(p pen, s scale) {
	p.text(c.Unit+", least, mean and greatest hour of the month", at{0, 14}, quietText)
	last := c.Months[11]
	dew, metal := s.at(11, last.Dew.Mean), s.at(11, last.Metal.Mean)
	if gap := dew.y - metal.y; gap >= 0 && gap < 18 { // keep the words apart
		dew.y += 18 - gap
	} else if gap < 0 && gap > -18 {
		dew.y -= 18 + gap
	}
	if c.narrow() {
		dew.x, metal.x = s.box.Right-wide("dew point", strongText), s.box.Right-wide("metal", strongText)
		dew.y, metal.y = dew.y-10, metal.y-10
	}
	p.text("dew point", at{dew.x + 8, dew.y + 5}, letters{size: bodySize, color: waterColor, strong: true})
	p.text("metal", at{metal.x + 8, metal.y + 5}, letters{size: bodySize, color: metalColor, strong: true})
}
