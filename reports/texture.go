package reports

import (
	"strconv"

	chart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// weave is how a texture repeats.
type weave int

const (
	rising  weave = iota // hatched like this: /
	falling              // hatched like this: \
	dotted
)

// texture fills an area so that it is told apart without color.
type texture struct {
	name  string // part of its id on the page
	weave weave
	step  int     // px from one repeat to the next
	size  float64 // px, width of a line or radius of a dot
	color drawing.Color
}

// texture covers a box with the texture.
func (s *svg) texture(t texture, b chart.Box) {
	s.use(t)
	s.raw(`<rect x="` + strconv.Itoa(b.Left) + `" y="` + strconv.Itoa(b.Top) +
		`" width="` + strconv.Itoa(b.Width()) + `" height="` + strconv.Itoa(b.Height()) +
		`" fill="url(#` + s.frame.ID + `-` + t.name + `)"/>`)
}

func (s *svg) use(t texture) {
	for _, have := range s.textures {
		if have.name == t.name {
			return
		}
	}
	s.textures = append(s.textures, t)
}

// pattern writes the definition of a texture: one tile that repeats.
func (s *svg) pattern(t texture) {
	side := strconv.Itoa(t.step)
	s.raw(`<pattern id="` + s.frame.ID + `-` + t.name + `" width="` + side + `" height="` + side + `" patternUnits="userSpaceOnUse">`)
	switch t.weave {
	case dotted:
		s.Circle(t.size, t.step/4, t.step/4)
		s.Circle(t.size, t.step/4+t.step/2, t.step/4+t.step/2)
		s.flush(t.color, noColor)
	default:
		s.strokeWidth = t.size
		s.hatchTile(t)
		s.flush(noColor, t.color)
	}
	s.raw(`</pattern>`)
}

// hatchTile draws the diagonal and the two neighbors whose edges reach in.
func (s *svg) hatchTile(t texture) {
	for _, off := range []int{-t.step, 0, t.step} {
		if t.weave == rising {
			s.MoveTo(off-1, t.step+1)
			s.LineTo(off+t.step+1, -1)
		} else {
			s.MoveTo(off-1, -1)
			s.LineTo(off+t.step+1, t.step+1)
		}
	}
}

// texture covers a box with the texture: as a repeating tile where the
// renderer can, else mark by mark.
func (p pen) texture(t texture, b chart.Box) {
	if s, ok := p.r.(*svg); ok {
		s.texture(t, b)
		return
	}
	if t.weave == dotted {
		p.dots(t, b)
		return
	}
	for _, l := range hatch(t, b) {
		p.r.MoveTo(l[0].x, l[0].y)
		p.r.LineTo(l[1].x, l[1].y)
	}
	p.stroke(stroke{color: t.color, width: t.size})
}

func (p pen) dots(t texture, b chart.Box) {
	for y, odd := b.Top+t.step/4, false; y < b.Bottom; y, odd = y+t.step/2, !odd {
		x := b.Left + t.step/4
		if odd {
			x += t.step / 2
		}
		for ; x < b.Right; x += t.step {
			p.r.Circle(t.size, x, y)
		}
	}
	p.fill(t.color)
}

// hatch returns the diagonals that cross a box, cut at its edges.
func hatch(t texture, b chart.Box) (lines [][2]at) {
	for c := 0; c < b.Width()+b.Height(); c += t.step {
		x0, x1 := max(0, c-b.Height()), min(c, b.Width())
		if x0 >= x1 {
			continue
		}
		if t.weave == rising {
			lines = append(lines, [2]at{{b.Left + x0, b.Top + c - x0}, {b.Left + x1, b.Top + c - x1}})
		} else {
			lines = append(lines, [2]at{{b.Left + x0, b.Bottom - c + x0}, {b.Left + x1, b.Bottom - c + x1}})
		}
	}
	return lines
}
