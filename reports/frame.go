package reports

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	chart "github.com/wcharczuk/go-chart/v2"
)

// Widths a page asks for. Below 600 a chart takes its narrow layout, which
// stacks what the wide one lays side by side.
const (
	Desk  = 900
	Phone = 340
)

const (
	narrowBelow = 600
	narrowest   = 300
	dpi         = 72 // a point is a pixel
	pngScale    = 2
)

// Frame is what every chart has.
type Frame struct {
	ID    string // names the picture's parts: unique on its page; letters, digits, "-" and "_"
	Title string // what a screen reader calls the picture
	Desc  string // the sentence that says the same as the picture
	Width int    // px; 0 is Desk
}

func (f Frame) frame() Frame { return f }

func (f Frame) width() int {
	if f.Width == 0 {
		return Desk
	}
	return f.Width
}

func (f Frame) narrow() bool { return f.width() < narrowBelow }

// layout is the class that tells a page which of two layouts it holds.
func (f Frame) layout() string {
	if f.narrow() {
		return "chart-narrow"
	}
	return "chart-wide"
}

func (f Frame) check() error {
	if f.ID == "" || strings.Trim(f.ID, idLetters) != "" {
		return fmt.Errorf("chart id %q: want letters, digits, - and _", f.ID)
	}
	if f.Title == "" {
		return fmt.Errorf("chart %s: no title", f.ID)
	}
	if f.width() < narrowest {
		return fmt.Errorf("chart %s: %d px is too narrow, want %d or more", f.ID, f.Width, narrowest)
	}
	return nil
}

const idLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_"

// Plot is a picture of this package.
type Plot interface {
	frame() Frame
	check() error
	draw(rp chart.RendererProvider, w io.Writer) error
	units() int // grid units to a px
}

func (f Frame) units() int { return 1 }

// SVG draws p for a page. It errs when a number is not one, a date is missing
// or a link leaves the site; an empty chart is drawn and says so.
func SVG(p Plot) ([]byte, error) {
	return picture(p, svgProvider(p.frame(), p.units()))
}

// PNG draws p for paper, on white, two pixels to each px of its width. It has
// no links and no hidden text. It errs as SVG does, and when the picture is
// taller than 8000 px.
func PNG(p Plot) ([]byte, error) {
	return picture(p, pngProvider(pngScale/float64(p.units())))
}

func picture(p Plot, rp chart.RendererProvider) ([]byte, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := p.draw(rp, &b); err != nil {
		return nil, fmt.Errorf("draw %q: %w", p.frame().Title, err)
	}
	return b.Bytes(), nil
}

// sketch is for charts that are drawn mark by mark.
func sketch(rp chart.RendererProvider, w io.Writer, size at, marks func(pen)) error {
	r, err := rp(size.x, size.y)
	if err != nil {
		return err
	}
	r.SetDPI(dpi)
	marks(pen{r})
	return r.Save(w)
}

// finite errs when one of the numbers is NaN or infinite.
func finite(what string, numbers ...float64) error {
	for _, n := range numbers {
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return fmt.Errorf("%s: %v cannot be drawn", what, n)
		}
	}
	return nil
}

// local errs when a link would leave the site.
func local(href string) error {
	if href == "" || href[0] == '?' || href[0] == '#' {
		return nil
	}
	if href[0] == '/' && !strings.HasPrefix(href, "//") && !strings.HasPrefix(href, `/\`) {
		return nil
	}
	return errors.New("link " + href + " leaves the site")
}
