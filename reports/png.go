package reports

import (
	"fmt"
	"math"

	"github.com/golang/freetype/truetype"
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// tallestPNG keeps a careless list of rooms from filling the memory.
const tallestPNG = 16000

// enlarged draws on a raster k times as fine. It measures text as the SVG
// does, so both come out with one layout.
type enlarged struct {
	chart.Renderer
	k, dpi, size, turn float64
}

func pngProvider(k float64) chart.RendererProvider {
	return func(width, height int) (chart.Renderer, error) {
		if float64(height)*k > tallestPNG {
			return nil, fmt.Errorf("%d px is too tall for one picture: draw it in parts", height)
		}
		inner, err := chart.PNG(int(float64(width)*k), int(float64(height)*k))
		if err != nil {
			return nil, err
		}
		e := &enlarged{Renderer: inner, k: k}
		e.SetDPI(dpi)
		pen{e}.box(chart.Box{Right: width, Bottom: height}, paperColor, stroke{color: noColor})
		return e, nil
	}
}

func (e *enlarged) n(x int) int { return int(math.Round(float64(x) * e.k)) }

func (e *enlarged) GetDPI() float64          { return e.dpi }
func (e *enlarged) SetStrokeWidth(w float64) { e.Renderer.SetStrokeWidth(w * e.k) }
func (e *enlarged) MoveTo(x, y int)          { e.Renderer.MoveTo(e.n(x), e.n(y)) }
func (e *enlarged) LineTo(x, y int)          { e.Renderer.LineTo(e.n(x), e.n(y)) }
func (e *enlarged) QuadCurveTo(cx, cy, x, y int) {
	e.Renderer.QuadCurveTo(e.n(cx), e.n(cy), e.n(x), e.n(y))
}
func (e *enlarged) SetFont(*truetype.Font)       { e.Renderer.SetFont(roman().font) }
func (e *enlarged) SetFontSize(size float64)     { e.size = size; e.Renderer.SetFontSize(size) }
func (e *enlarged) SetTextRotation(turn float64) { e.turn = turn; e.Renderer.SetTextRotation(turn) }
func (e *enlarged) ClearTextRotation()           { e.turn = 0; e.Renderer.ClearTextRotation() }
func (e *enlarged) SetFontColor(c drawing.Color) { e.Renderer.SetFontColor(c) }
func (e *enlarged) MeasureText(s string) chart.Box {
	return measure(s, drawing.PointsToPixels(e.dpi, e.size), e.turn)
}

// SetDPI makes up for go-chart's raster, which takes 64 points for an inch
// where the measure of text takes 72.
func (e *enlarged) SetDPI(d float64) {
	e.dpi = d
	e.Renderer.SetDPI(d * e.k * 64 / 72)
}

// Circle adds a true circle: the raster's own is a rounded square.
func (e *enlarged) Circle(r float64, x, y int) {
	e.Renderer.MoveTo(e.n(x)+int(math.Round(r*e.k)), e.n(y))
	e.ArcTo(x, y, r, r, 0, 2*math.Pi)
	e.Close()
}

func (e *enlarged) ArcTo(cx, cy int, rx, ry, start, delta float64) {
	e.Renderer.ArcTo(e.n(cx), e.n(cy), rx*e.k, ry*e.k, start, delta)
}

func (e *enlarged) Text(s string, x, y int) {
	if s != "" {
		e.Renderer.Text(s, e.n(x), e.n(y))
	}
}

func (e *enlarged) SetStrokeDashArray(dash []float64) {
	fine := make([]float64, len(dash))
	for i, d := range dash {
		fine[i] = d * e.k
	}
	e.Renderer.SetStrokeDashArray(fine)
}

// ResetStyle keeps the font, as the raster renderer does.
func (e *enlarged) ResetStyle() { e.turn = 0; e.Renderer.ResetStyle() }
