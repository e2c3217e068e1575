package reports

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/golang/freetype/truetype"
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// svg is a chart.Renderer for pages with a strict content security policy:
// colors are classes and numbers are attributes, nothing is a style. Text is
// escaped and held to its measured width, so no reader's font makes it run
// over its neighbor. Distances are in grid units, grid units to a pixel.
type svg struct {
	frame         Frame
	width, height int
	grid          int

	body     bytes.Buffer
	path     []byte
	textures []texture // each once, in the order of first use
	linked   bool      // holds a link: then it is a group, not an image
	label    string    // of the link that is open
	dpi      float64
	turn     float64 // text rotation, radians

	class        string
	stroke, fill drawing.Color
	strokeWidth  float64
	dash         []float64
	fontColor    drawing.Color
	fontSize     float64
}

// svgProvider returns what go-chart calls to get a renderer.
func svgProvider(f Frame, grid int) chart.RendererProvider {
	return func(width, height int) (chart.Renderer, error) {
		return &svg{frame: f, width: width, height: height, grid: grid, dpi: dpi}, nil
	}
}

func (s *svg) ResetStyle() {
	s.class, s.stroke, s.fill, s.fontColor = "", drawing.Color{}, drawing.Color{}, drawing.Color{}
	s.strokeWidth, s.fontSize, s.dash, s.turn = 0, 0, nil, 0
}

func (s *svg) GetDPI() float64                   { return s.dpi }
func (s *svg) SetDPI(dpi float64)                { s.dpi = dpi }
func (s *svg) SetClassName(name string)          { s.class = name }
func (s *svg) SetStrokeColor(c drawing.Color)    { s.stroke = c }
func (s *svg) SetFillColor(c drawing.Color)      { s.fill = c }
func (s *svg) SetStrokeWidth(width float64)      { s.strokeWidth = width }
func (s *svg) SetStrokeDashArray(d []float64)    { s.dash = d }
func (s *svg) SetFont(*truetype.Font)            {} // the page's own letters, measured as Roboto
func (s *svg) SetFontColor(c drawing.Color)      { s.fontColor = c }
func (s *svg) SetFontSize(size float64)          { s.fontSize = size }
func (s *svg) SetTextRotation(radians float64)   { s.turn = radians }
func (s *svg) ClearTextRotation()                { s.turn = 0 }
func (s *svg) MoveTo(x, y int)                   { s.step('M', float64(x), float64(y)) }
func (s *svg) LineTo(x, y int)                   { s.step('L', float64(x), float64(y)) }
func (s *svg) Close()                            { s.path = append(s.path, 'Z') }
func (s *svg) Stroke()                           { s.flush(noColor, s.stroke) }
func (s *svg) Fill()                             { s.flush(s.fill, noColor) }
func (s *svg) FillStroke()                       { s.flush(s.fill, s.stroke) }
func (s *svg) MeasureText(text string) chart.Box { return measure(text, s.letterSize(), s.turn) }

func (s *svg) letterSize() float64 { return drawing.PointsToPixels(s.dpi, s.fontSize) }

func (s *svg) QuadCurveTo(cx, cy, x, y int) {
	s.step('Q', float64(cx), float64(cy), float64(x), float64(y))
}

// ArcTo adds an arc around (cx, cy) from start over delta, radians clockwise
// from the right. A path that is already begun is joined to it by a line.
func (s *svg) ArcTo(cx, cy int, rx, ry, start, delta float64) {
	at := func(a float64) (x, y float64) {
		return float64(cx) + rx*math.Cos(a), float64(cy) + ry*math.Sin(a)
	}
	x, y := at(start)
	verb := byte('L')
	if len(s.path) == 0 {
		verb = 'M'
	}
	s.step(verb, x, y)
	sweep := 1.0
	if delta < 0 {
		sweep = 0
	}
	parts := math.Max(1, math.Ceil(math.Abs(delta)/(0.9*math.Pi))) // SVG cannot draw a whole turn at once
	for i := 1.0; i <= parts; i++ {
		x, y = at(start + delta*i/parts)
		s.step('A', rx, ry, 0, 0, sweep, x, y)
	}
}

// Circle adds a circle to the path. As on the raster renderer it shows with
// the next Fill, Stroke or FillStroke.
func (s *svg) Circle(radius float64, x, y int) {
	s.step('M', float64(x)-radius, float64(y))
	s.step('A', radius, radius, 0, 1, 1, float64(x)+radius, float64(y))
	s.step('A', radius, radius, 0, 1, 1, float64(x)-radius, float64(y))
	s.Close()
}

func (s *svg) step(verb byte, numbers ...float64) {
	s.path = append(s.path, verb)
	for i, n := range numbers {
		if i > 0 {
			s.path = append(s.path, ' ')
		}
		s.path = appendNumber(s.path, n)
	}
}

// flush writes the path, unless nothing of it would be seen, and begins anew.
func (s *svg) flush(fill, stroke drawing.Color) {
	if s.strokeWidth <= 0 {
		stroke = noColor
	}
	if len(s.path) > 0 && (fill.A > 0 || stroke.A > 0) {
		s.raw(`<path`)
		s.paint(fill, stroke)
		s.raw(` d="`)
		s.body.Write(s.path)
		s.raw(`"/>`)
	}
	s.path = s.path[:0]
}

// Text writes one line of text with its left end at x and its baseline at y.
func (s *svg) Text(text string, x, y int) {
	if text == "" || s.fontColor.A == 0 {
		return
	}
	s.raw(`<text`)
	s.paint(s.fontColor, noColor)
	s.number("x", float64(x))
	s.number("y", float64(y))
	s.number("font-size", s.letterSize())
	// a text of few letters cannot run far, and a lone "J" would look stretched
	if w, known := roman().width(text, s.letterSize()); known && utf8.RuneCountInString(text) > 3 {
		s.number("textLength", w)
		s.raw(` lengthAdjust="spacingAndGlyphs"`)
	}
	if s.turn != 0 {
		s.raw(` transform="rotate(` + number(s.turn*180/math.Pi) + ` ` + strconv.Itoa(x) + ` ` + strconv.Itoa(y) + `)"`)
	}
	s.raw(`>`)
	s.escape(text)
	s.raw(`</text>`)
}

// Save writes the finished picture. It is not meant to be drawn on afterwards.
func (s *svg) Save(w io.Writer) error {
	if _, err := w.Write(s.head()); err != nil {
		return err
	}
	if s.linked {
		s.raw(`</g>`)
	}
	s.raw(`</svg>`)
	_, err := w.Write(s.body.Bytes())
	return err
}

func (s *svg) raw(text string) { s.body.WriteString(text) }

func (s *svg) escape(text string) { _ = xml.EscapeText(&s.body, []byte(text)) } // a buffer takes everything

func (s *svg) number(name string, n float64) { s.raw(` ` + name + `="` + number(n) + `"`) }

// appendNumber writes n with at most two decimals, the shortest way.
func appendNumber(b []byte, n float64) []byte {
	n = math.Round(n*100) / 100
	if n == 0 {
		n = 0 // no "-0"
	}
	return strconv.AppendFloat(b, n, 'f', -1, 64)
}

func number(n float64) string { return string(appendNumber(nil, n)) }

// measure returns the box of a text: its advance, and the height of a capital,
// so that what is centered on the box looks centered.
func measure(text string, size, turn float64) chart.Box {
	w, _ := roman().width(text, size)
	box := chart.Box{Right: int(math.Ceil(w)), Bottom: int(math.Ceil(capitalHeight * size))}
	if turn != 0 {
		box = box.Corners().Rotate(turn * 180 / math.Pi).Box()
	}
	return box
}
