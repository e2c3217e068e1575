package reports

import (
	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// Letter sizes in px, and how high a capital of the typeface is.
const (
	bodySize      = 13
	smallSize     = 12
	capitalHeight = 0.711
)

// pen draws on any renderer with few words. Each call states all it needs, so
// nothing leaks from one mark to the next.
type pen struct{ r chart.Renderer }

type at struct{ x, y int }

type stroke struct {
	color drawing.Color
	width float64
	dash  []float64
}

var hairline = stroke{color: lineColor, width: 1}

type letters struct {
	size   float64
	color  drawing.Color
	strong bool
}

var (
	plainText  = letters{size: bodySize, color: inkColor}
	strongText = letters{size: bodySize, color: inkColor, strong: true}
	quietText  = letters{size: smallSize, color: mutedColor}
	countText  = letters{size: smallSize, color: inkColor}
)

func (p pen) stroke(s stroke) {
	p.r.SetClassName("")
	p.r.SetStrokeColor(s.color)
	p.r.SetStrokeWidth(s.width)
	p.r.SetStrokeDashArray(s.dash)
	p.r.Stroke()
}

func (p pen) fill(c drawing.Color) {
	p.r.SetClassName("")
	p.r.SetFillColor(c)
	p.r.Fill()
}

func (p pen) both(c drawing.Color, s stroke) {
	p.r.SetClassName("")
	p.r.SetFillColor(c)
	p.r.SetStrokeColor(s.color)
	p.r.SetStrokeWidth(s.width)
	p.r.SetStrokeDashArray(s.dash)
	p.r.FillStroke()
}

func (p pen) line(from, to at, s stroke) {
	p.r.MoveTo(from.x, from.y)
	p.r.LineTo(to.x, to.y)
	p.stroke(s)
}

// shape lays a closed path through the points, to be filled or stroked.
func (p pen) shape(points ...at) {
	for i, pt := range points {
		if i == 0 {
			p.r.MoveTo(pt.x, pt.y)
		} else {
			p.r.LineTo(pt.x, pt.y)
		}
	}
	p.r.Close()
}

func (p pen) box(b chart.Box, fill drawing.Color, s stroke) {
	p.shape(at{b.Left, b.Top}, at{b.Right, b.Top}, at{b.Right, b.Bottom}, at{b.Left, b.Bottom})
	p.both(fill, s)
}

// text writes s with its left end and baseline at a.
func (p pen) text(s string, a at, l letters) {
	p.r.ClearTextRotation()
	p.r.SetClassName("")
	if l.strong {
		p.r.SetClassName("t-strong")
	}
	p.r.SetFont(roman().font)
	p.r.SetFontColor(l.color)
	p.r.SetFontSize(l.size)
	p.r.Text(s, a.x, a.y)
}

func (p pen) textMid(s string, a at, l letters) {
	p.text(s, at{a.x - wide(s, l)/2, a.y}, l)
}

func (p pen) textRight(s string, a at, l letters) {
	p.text(s, at{a.x - wide(s, l), a.y}, l)
}

// link draws what is inside as one link, where the renderer knows links.
func (p pen) link(href, label string, inside func()) {
	s, ok := p.r.(*svg)
	if !ok || href == "" {
		inside()
		return
	}
	s.Link(href, label)
	inside()
	s.EndLink()
}

// hit lays an unseen box that takes the finger and shows focus.
func (p pen) hit(b chart.Box) {
	if s, ok := p.r.(*svg); ok {
		s.raw(`<rect class="hit" x="` + number(float64(b.Left)) + `" y="` + number(float64(b.Top)) +
			`" width="` + number(float64(b.Width())) + `" height="` + number(float64(b.Height())) +
			`" rx="3" fill="none" pointer-events="all"/>`)
	}
}

// tip begins a group that tells text when pointed at; end ends it.
func (p pen) tip(text string, inside func()) {
	s, ok := p.r.(*svg)
	if !ok {
		inside()
		return
	}
	s.raw(`<g><title>`)
	s.escape(text)
	s.raw(`</title>`)
	inside()
	s.raw(`</g>`)
}

// wide returns how many px a text takes.
func wide(s string, l letters) int { return measure(s, l.size, 0).Right }

// fitted cuts a text to room px.
func fitted(s string, l letters, room int) string { return roman().fit(s, l.size, room) }
