package reports

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// scale places values in the plot.
type scale struct {
	box  chart.Box
	x, y chart.Range
}

func (s scale) at(x, y float64) at {
	return at{s.box.Left + s.x.Translate(x), s.box.Bottom - s.y.Translate(y)}
}

// layer is a chart.Series that draws what it likes on the plot's scales. It
// uses the second axis because go-chart puts that one on the left.
type layer func(pen, scale)

func (l layer) GetName() string           { return "" }
func (l layer) GetYAxis() chart.YAxisType { return chart.YAxisSecondary }
func (l layer) GetStyle() chart.Style     { return chart.Style{} }
func (l layer) Validate() error           { return nil }
func (l layer) Render(r chart.Renderer, box chart.Box, x, y chart.Range, _ chart.Style) {
	l(pen{r}, scale{box, x, y})
}

// band fills between two lines over the same x.
type band struct {
	layer
	x, low, high []float64
	style        chart.Style
}

func (b band) Len() int { return len(b.x) }
func (b band) GetBoundedValues(i int) (x, low, high float64) {
	return b.x[i], b.low[i], b.high[i]
}
func (b band) Render(r chart.Renderer, box chart.Box, x, y chart.Range, _ chart.Style) {
	chart.Draw.BoundedSeries(r, box, x, y, b.style, b)
}

// lineOf joins the points.
func lineOf(x, y []float64, s stroke) chart.Series {
	return chart.ContinuousSeries{XValues: x, YValues: y, YAxis: chart.YAxisSecondary,
		Style: chart.Style{StrokeColor: s.color, StrokeWidth: s.width, StrokeDashArray: s.dash}}
}

// graph is the common part of the charts with axes: hairlines, ticks given by
// hand, the y axis on the left.
type graph struct {
	size   at
	pad    chart.Box // left of the labels, above, right and below the x labels
	x, y   []chart.Tick
	layers []chart.Series
}

func (g graph) chart() chart.Chart {
	text := chart.Style{FontSize: smallSize, FontColor: mutedColor, StrokeColor: lineColor, StrokeWidth: 1}
	bare := text
	bare.StrokeColor = noColor
	rule := chart.Style{StrokeColor: lineColor, StrokeWidth: 0.5}
	none := chart.Style{FillColor: noColor, StrokeColor: noColor}
	g.pad.IsSet = true
	return chart.Chart{
		Width: g.size.x, Height: g.size.y, DPI: dpi, Font: roman().font,
		Background: chart.Style{FillColor: noColor, StrokeColor: noColor, Padding: g.pad}, Canvas: none,
		XAxis: chart.XAxis{Style: text, TickStyle: text, Ticks: g.x, GridMajorStyle: chart.Hidden(), GridMinorStyle: chart.Hidden()},
		// go-chart reads the left axis' range from the right one's ticks
		YAxis:          chart.YAxis{Style: chart.Hidden(), Ticks: g.y},
		YAxisSecondary: chart.YAxis{Style: bare, TickStyle: bare, Ticks: g.y, GridMajorStyle: rule, GridMinorStyle: rule, Zero: chart.GridLine{Style: chart.Hidden()}},
		Series:         g.layers,
	}
}

// steps returns ticks at round values (1, 2 or 5 times a power of ten) that
// enclose low..high, about n of them, labeled by name.
func steps(low, high float64, n int, name func(v float64, decimals int) string) []chart.Tick {
	if high-low < 1e-9*math.Max(1, math.Abs(high)) { // all equal: room above and below
		room := math.Max(math.Abs(high)*0.05, 0.5)
		low, high = low-room, high+room
	}
	step := roundStep((high - low) / float64(n))
	decimals := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	var ticks []chart.Tick
	for i := math.Floor(low/step + 1e-9); ; i++ {
		v := i * step
		ticks = append(ticks, chart.Tick{Value: v, Label: name(v, decimals)})
		if v >= high-1e-9*step {
			return ticks
		}
	}
}

func roundStep(raw float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*unit*(1+1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}

// decimal writes v with a true minus, which is as wide as a digit.
func decimal(v float64, decimals int) string {
	return strings.Replace(strconv.FormatFloat(v, 'f', decimals, 64), "-", "\u2212", 1)
}

func percent(v float64, _ int) string { return fmt.Sprintf("%.0f %%", v*100) }

// day is a date as a number of days, for an axis.
func day(t time.Time) float64 {
	return float64(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// dated writes a date so that no reader takes the day for the month.
func dated(t time.Time) string { return t.Format("2 Jan 2006") }
