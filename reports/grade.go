package reports

import (
	"fmt"
	"io"

	chart "github.com/wcharczuk/go-chart/v2"
)

// GradeMix shows year by year how many of the covers opened had metal of which
// rust grade on the Ri scale (ISO 4628-3: Ri 0 clean to Ri 5), as counts on
// one scale for all years.
type GradeMix struct {
	Frame
	Years []GradeYear // in order of time
}

// GradeYear is the openings of one year.
type GradeYear struct {
	Year      int
	Ri        [6]int // openings by grade, Ri 0 to Ri 5
	NotGraded int    // openings whose metal was not graded
}

func (y GradeYear) total() int {
	n := y.NotGraded
	for _, c := range y.Ri {
		n += c
	}
	return n
}

// parts are the counts in the order drawn.
func (y GradeYear) parts() [7]int {
	return [7]int{y.Ri[0], y.Ri[1], y.Ri[2], y.Ri[3], y.Ri[4], y.Ri[5], y.NotGraded}
}

var gradeNames = [7]string{"Ri 0", "Ri 1", "Ri 2", "Ri 3", "Ri 4", "Ri 5", "not graded"}

// gradeTextures grow denser with the grade, so that the order is read without
// color: clean metal is bare, the worst is solid.
var gradeTextures = [7]*texture{
	1: {name: "ri1", weave: dotted, step: 12, size: 1, color: metalColor},
	2: {name: "ri2", weave: dotted, step: 8, size: 1.1, color: metalColor},
	3: {name: "ri3", weave: dotted, step: 6, size: 1.3, color: metalColor},
	4: {name: "ri4", weave: dotted, step: 4, size: 1.2, color: metalColor},
	6: {name: "ungraded", weave: falling, step: 6, size: 1, color: mutedColor},
}

var gradeTints = [7]uint8{14, 30, 46, 62, 90, 255, 0}

func (c GradeMix) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	for _, y := range c.Years {
		for i, n := range y.parts() {
			if n < 0 {
				return fmt.Errorf("grade mix: %d %s: %d openings", y.Year, gradeNames[i], n)
			}
		}
	}
	return nil
}

// most is the count at the right end of the scale.
func (c GradeMix) most() int {
	most := 0
	for _, y := range c.Years {
		most = max(most, y.total())
	}
	return most
}

const (
	gradeBar = 22 // px, height of a bar
	gradeRow = 54 // px from year to year
)

func (c GradeMix) draw(rp chart.RendererProvider, w io.Writer) error {
	if c.most() == 0 {
		return empty(rp, w, c.width(), "No openings yet in this period.")
	}
	left, room := 56, 0
	if c.narrow() {
		left = 40
	}
	for _, y := range c.Years {
		room = max(room, wide(c.total(y.total()), countText))
	}
	right := c.width() - room - 10
	key := c.key(c.width())
	top := key.height + 14
	height := top + gradeRow*len(c.Years)
	return sketch(rp, w, at{c.width(), height}, func(p pen) {
		p.text("Rust grade of the metal, covers opened", at{0, 14}, strongText)
		key.draw(p)
		for i, y := range c.Years {
			b := chart.Box{Left: left, Right: right, Top: top + gradeRow*i, Bottom: top + gradeRow*i + gradeBar}
			c.year(p, y, b)
		}
	})
}

// year draws one bar; b is as long as the fullest year.
func (c GradeMix) year(p pen, y GradeYear, b chart.Box) {
	base := b.Top + gradeBar/2 + 5
	p.text(fmt.Sprint(y.Year), at{0, base}, plainText)
	most, sum, free := c.most(), 0, 0
	edge := func(n int) int { return b.Left + b.Width()*n/most }
	for i, n := range y.parts() {
		if n == 0 {
			continue
		}
		part := chart.Box{Left: edge(sum), Right: edge(sum + n), Top: b.Top, Bottom: b.Bottom}
		sum += n
		p.tip(fmt.Sprintf("%d, %s: %d of %d", y.Year, gradeNames[i], n, y.total()), func() { gradeSwatch(p, i, part) })
		free = partCount(p, n, part, free)
	}
	p.text(c.total(sum), at{edge(sum) + 8, base}, countText)
}

// total is what stands at the end of a bar.
func (c GradeMix) total(n int) string {
	switch {
	case n == 0:
		return "none opened"
	case c.narrow():
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d opened", n)
}

// partCount writes the count under its part unless it would touch the count
// before, which ends at free. It returns where this one ends.
func partCount(p pen, n int, part chart.Box, free int) int {
	text := fmt.Sprint(n)
	w := wide(text, countText)
	x := (part.Left+part.Right)/2 - w/2
	if x < free {
		return free
	}
	p.text(text, at{x, part.Bottom + 15}, countText)
	return x + w + 6
}

// gradeSwatch draws an area in the manner of a grade: tint, texture, outline.
func gradeSwatch(p pen, grade int, b chart.Box) {
	edge := stroke{color: metalColor, width: 1}
	if grade == 6 {
		edge.color = mutedColor
	}
	p.box(b, metalColor.WithAlpha(gradeTints[grade]), edge)
	if t := gradeTextures[grade]; t != nil {
		p.texture(*t, chart.Box{Left: b.Left + 1, Top: b.Top + 1, Right: max(b.Left+1, b.Right-1), Bottom: b.Bottom - 1})
	}
}

// key names the grades in lines that fit the width.
func (c GradeMix) key(width int) *key {
	k := &key{width: width, top: 26}
	for i, name := range gradeNames {
		if i == 0 {
			name = "Ri 0, clean"
		}
		k.add(name, func(p pen, b chart.Box) { gradeSwatch(p, i, b) })
	}
	return k
}
