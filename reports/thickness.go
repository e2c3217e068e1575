package reports

import (
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// ThicknessPlot shows the wall at one point over the years: readings with the
// error of their gauge, the trend with its interval, the lines that matter and
// where the trend meets the required thickness.
type ThicknessPlot struct {
	Frame
	Unit     string        // of all thicknesses, such as "mm" or "in"
	Decimals int           // digits shown after the point: 1 for mm, 3 for in
	Readings []WallReading // in any order
	Trend    []TrendPoint  // in order of time, drawn as it is; nil = none
	Required *float64      // minimum required thickness; nil = not known
	Alert    *float64      // thickness from which the engineer is asked; nil = none
	Crossing *Crossing     // nil = none in sight
}

// WallReading is one thickness reading.
type WallReading struct {
	At    time.Time
	Wall  float64
	Error float64 // the gauge may be off by so much either way
}

// TrendPoint is the trend and its interval on one day.
type TrendPoint struct {
	At             time.Time
	Low, Mid, High float64
}

// Crossing is when the trend reaches the required thickness.
type Crossing struct {
	At          time.Time
	Early, Late *time.Time // ends of its interval; nil = not in sight
}

// says is the crossing in two short lines.
func (c Crossing) says() (when, between string) {
	when = "required reached " + c.At.Format("Jan 2006")
	switch {
	case c.Early != nil && c.Late != nil:
		return when, fmt.Sprintf("between %d and %d", c.Early.Year(), c.Late.Year())
	case c.Early != nil:
		return when, fmt.Sprintf("%d at the earliest", c.Early.Year())
	}
	return when, ""
}

func (c ThicknessPlot) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	for _, r := range c.Readings {
		if err := checkDates("thickness reading", r.At); err != nil {
			return err
		}
		if err := finite("thickness reading of "+dated(r.At), r.Wall, r.Error); err != nil {
			return err
		}
		if r.Error < 0 {
			return fmt.Errorf("thickness reading of %s: negative gauge error", dated(r.At))
		}
	}
	return c.checkLines()
}

func (c ThicknessPlot) checkLines() error {
	for i, t := range c.Trend {
		if err := checkDates("thickness trend", t.At); err != nil {
			return err
		}
		if err := finite("thickness trend on "+dated(t.At), t.Low, t.Mid, t.High); err != nil {
			return err
		}
		if i > 0 && !t.At.After(c.Trend[i-1].At) {
			return fmt.Errorf("thickness trend: %s is out of order", dated(t.At))
		}
	}
	for _, line := range []*float64{c.Required, c.Alert} {
		if line != nil {
			if err := finite("thickness line", *line); err != nil {
				return err
			}
		}
	}
	if c.Crossing == nil {
		return nil
	}
	if c.Required == nil {
		return errors.New("thickness crossing: no required thickness to cross")
	}
	return checkDates("thickness crossing", c.Crossing.At)
}

// years returns ticks at the first of January that enclose all dates.
func (c ThicknessPlot) years(most int) []chart.Tick {
	first, last := math.Inf(1), math.Inf(-1)
	see := func(t time.Time) {
		first, last = math.Min(first, float64(t.Year())), math.Max(last, float64(t.Year()+1))
	}
	for _, r := range c.Readings {
		see(r.At)
	}
	for _, t := range c.Trend {
		see(t.At)
	}
	if c.Crossing != nil {
		see(c.Crossing.At)
	}
	step := math.Max(1, roundStep((last-first)/float64(most)))
	var ticks []chart.Tick
	for y := math.Floor(first/step) * step; ; y += step {
		t := time.Date(int(y), 1, 1, 0, 0, 0, 0, time.UTC)
		ticks = append(ticks, chart.Tick{Value: day(t), Label: fmt.Sprint(int(y))})
		if y >= last {
			return ticks
		}
	}
}

// walls returns ticks that enclose all thicknesses, with room under the
// required one for the words there.
func (c ThicknessPlot) walls() []chart.Tick {
	low, high := math.Inf(1), math.Inf(-1)
	see := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for _, r := range c.Readings {
		see(r.Wall - r.Error)
		see(r.Wall + r.Error)
	}
	for _, t := range c.Trend {
		see(t.Mid)
	}
	for _, line := range []*float64{c.Required, c.Alert} {
		if line != nil {
			see(*line)
		}
	}
	if c.Required != nil {
		see(*c.Required - 0.22*(high-low))
	}
	return steps(low, high, 5, decimal)
}

func (c ThicknessPlot) draw(rp chart.RendererProvider, w io.Writer) error {
	if len(c.Readings) == 0 {
		return empty(rp, w, c.width(), "No thickness reading at this point yet.")
	}
	size, most := at{c.width(), 340}, 10
	if c.narrow() {
		size, most = at{c.width(), 300}, 4
	}
	g := graph{
		size: size,
		pad:  chart.Box{Left: 2, Top: 36, Right: 18, Bottom: 8},
		x:    c.years(most),
		y:    c.walls(),
	}
	g.layers = c.trend()
	g.layers = append(g.layers, layer(c.lines), layer(c.readings), layer(c.crossing))
	return g.chart().Render(rp, w)
}
