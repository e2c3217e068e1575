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
	g := graph{size: at{c.width(), 320}, pad: chart.Box{Left: 2, Top: 36, Right: 90, Bottom: 8}, x: c.ticks()}
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

// words names the two lines: where they end on a wide chart; on a narrow one
// the dew point over its peak and the metal where it begins.
func (c AirYear) words(p pen, s scale) {
	p.text(c.Unit+", least, mean and greatest hour of the month", at{0, 14}, quietText)
	dewText, metalText := strongText, strongText
	dewText.color, metalText.color = waterColor, metalColor
	if c.narrow() {
		peak := s.at(float64(c.peak()), c.Months[c.peak()].Dew.Mean)
		p.textMid("dew point", at{peak.x, peak.y - 8}, dewText)
		first := s.at(0, c.Months[0].Metal.Max)
		p.text("metal", at{first.x, first.y - 6}, metalText)
		return
	}
	last := c.Months[11]
	dew, metal := s.at(11, last.Dew.Mean), s.at(11, last.Metal.Mean)
	if gap := dew.y - metal.y; gap >= 0 && gap < 18 { // keep the words apart
		dew.y += 18 - gap
	} else if gap < 0 && gap > -18 {
		dew.y -= 18 + gap
	}
	p.text("dew point", at{dew.x + 8, dew.y + 5}, dewText)
	p.text("metal", at{metal.x + 8, metal.y + 5}, metalText)
}

// peak is the month with the highest mean dew point, kept off the edges.
func (c AirYear) peak() int {
	best := 2
	for i := 2; i < 10; i++ {
		if c.Months[i].Dew.Mean > c.Months[best].Dew.Mean {
			best = i
		}
	}
	return best
}
