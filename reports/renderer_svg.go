package reports

import (
	"strconv"

	"github.com/wcharczuk/go-chart/v2/drawing"
)

// paint writes the class and attributes of a fill and a stroke.
func (s *svg) paint(fill, stroke drawing.Color) {
	class := s.class
	add := func(name string) {
		if class != "" {
			class += " "
		}
		class += name
	}
	if fill.A > 0 && token(fill) != "" {
		add("f-" + token(fill))
	}
	if stroke.A > 0 && token(stroke) != "" {
		add("s-" + token(stroke))
	}
	if class != "" {
		s.raw(` class="`)
		s.escape(class)
		s.raw(`"`)
	}
	s.color("fill", fill)
	if stroke.A > 0 {
		s.color("stroke", stroke)
		s.strokeAttributes()
	}
}

// color writes what the class does not say: no paint, part of the opacity, or
// a color that is not of the palette.
func (s *svg) color(name string, c drawing.Color) {
	if c.A == 0 {
		s.raw(` ` + name + `="none"`)
		return
	}
	if token(c) == "" {
		s.raw(` ` + name + `="#` + hex(c.R) + hex(c.G) + hex(c.B) + `"`)
	}
	if c.A < 255 {
		s.number(name+"-opacity", float64(c.A)/255)
	}
}

func (s *svg) strokeAttributes() {
	if s.strokeWidth != 1 {
		s.number("stroke-width", s.strokeWidth)
	}
	if len(s.dash) == 0 {
		return
	}
	s.raw(` stroke-dasharray="`)
	for i, d := range s.dash {
		if i > 0 {
			s.raw(` `)
		}
		s.raw(number(d))
	}
	s.raw(`"`)
}

func hex(b uint8) string {
	const digits = "0123456789abcdef"
	return string([]byte{digits[b>>4], digits[b&15]})
}

// Link begins a link; everything up to EndLink belongs to it. It is named by
// the text in it, so that what is seen and what is spoken agree; label is its
// description. What lies between links is drawing only: the picture's title and
// description say it.
func (s *svg) Link(href, label string) {
	s.linked, s.label = true, label
	s.raw(`</g><a href="`)
	s.escape(href)
	s.raw(`">`)
}

// EndLink ends the link.
func (s *svg) EndLink() {
	s.raw(`<desc>`)
	s.escape(s.label)
	s.raw(`</desc></a><g aria-hidden="true">`)
}

// head returns everything up to the body. A picture with links is a group: the
// role of an image would hide them from a screen reader.
func (s *svg) head() []byte {
	h := &svg{frame: s.frame}
	h.raw(`<svg xmlns="http://www.w3.org/2000/svg" class="chart ` + s.frame.layout() + `"`)
	h.raw(` width="` + strconv.Itoa(s.width/s.grid) + `" height="` + strconv.Itoa(s.height/s.grid) + `"`)
	h.raw(` viewBox="0 0 ` + strconv.Itoa(s.width) + ` ` + strconv.Itoa(s.height) + `"`)
	if s.linked {
		h.raw(` role="group"`)
	} else {
		h.raw(` role="img"`)
	}
	h.names()
	if len(s.textures) > 0 {
		h.raw(`<defs>`)
		for _, t := range s.textures {
			h.pattern(t)
		}
		h.raw(`</defs>`)
	}
	if s.linked {
		h.raw(`<g aria-hidden="true">`)
	}
	return h.body.Bytes()
}

// names ties title and description to the picture and ends its opening tag.
func (s *svg) names() {
	f := s.frame
	if f.ID == "" { // many on a page and no description: the title alone names it
		s.raw(` aria-label="`)
		s.escape(f.Title)
		s.raw(`"><title>`)
		s.escape(f.Title)
		s.raw(`</title>`)
		return
	}
	s.raw(` aria-labelledby="` + f.ID + `-title"`)
	if f.Desc != "" {
		s.raw(` aria-describedby="` + f.ID + `-desc"`)
	}
	s.raw(`><title id="` + f.ID + `-title">`)
	s.escape(f.Title)
	s.raw(`</title>`)
	if f.Desc != "" {
		s.raw(`<desc id="` + f.ID + `-desc">`)
		s.escape(f.Desc)
		s.raw(`</desc>`)
	}
}
