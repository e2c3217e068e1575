package reports

import (
	"errors"
	"fmt"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

const monthsShown = 12

// Sweating months are hatched lightly; what is past its date is hatched darker
// and the other way.
var (
	sweatTexture = texture{name: "sweat", weave: rising, step: 8, size: 1, color: waterColor.WithAlpha(110)}
	pastTexture  = texture{name: "past", weave: falling, step: 5, size: 1.5, color: actionColor.WithAlpha(200)}
)

// months is the time axis of the due charts: twelve months of equal width,
// with room before for what passed earlier and behind for what comes later.
type months struct {
	start       time.Time // first day of the first month
	left, right int       // px, of the twelve months
	before      int       // px, width of the room to the left of them
	after       int       // px, to the right
}

func monthStart(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC)
}

// age is how many months t lies behind the start, with its part of a month.
func (m months) age(t time.Time) float64 {
	whole := (t.Year()-m.start.Year())*12 + int(t.Month()) - int(m.start.Month())
	length := monthStart(t).AddDate(0, 1, -1).Day()
	return float64(whole) + (float64(t.Day())-0.5)/float64(length)
}

// x returns where a date lies, in the room to the left or right when it is off
// the twelve months.
func (m months) x(t time.Time) int {
	switch age := m.age(t); {
	case age < 0:
		return m.left - m.before + 9
	case age >= monthsShown:
		return m.right + m.after - 28
	default:
		return m.left + int(age*float64(m.right-m.left)/monthsShown)
	}
}

func (m months) shows(t time.Time) bool { return m.age(t) >= 0 && m.age(t) < monthsShown }

// edge returns where a month begins, counted from 0.
func (m months) edge(i int) int { return m.left + (m.right-m.left)*i/monthsShown }

// header writes the months over the strips, the baseline at y.
func (m months) header(p pen, y int) {
	roomy := m.right-m.left > monthsShown*30
	for i := range monthsShown {
		t := m.start.AddDate(0, i, 0)
		name := t.Format("Jan")
		if !roomy {
			name = name[:1]
		}
		p.textMid(name, at{(m.edge(i) + m.edge(i+1)) / 2, y}, quietText)
		if i == 0 || t.Month() == time.January {
			p.text(fmt.Sprint(t.Year()), at{m.edge(i) + 3, y - 16}, quietText)
		}
	}
	p.text("before", at{m.left - m.before, y}, quietText)
	p.text("later", at{m.right + m.after - 36, y}, quietText)
}

// strip hatches the sweating months of one row; dry ones stay plain.
func (m months) strip(p pen, sweats [monthsShown]bool, top, bottom int) {
	for i := 0; i < monthsShown; i++ {
		from := i
		for i < monthsShown && sweats[i] {
			i++
		}
		if i > from {
			p.texture(sweatTexture, chart.Box{Left: m.edge(from), Right: m.edge(i), Top: top, Bottom: bottom})
		}
	}
}

// todayLabel writes the date over the line of today, its baseline at y.
func (m months) todayLabel(p pen, today time.Time, y int) {
	if !m.shows(today) {
		return
	}
	text := "today " + dated(today)
	w := wide(text, strongText)
	x := min(max(m.x(today)-w/2, m.left-m.before), m.right+m.after-w)
	p.box(chart.Box{Left: x - 3, Right: x + w + 3, Top: y - 12, Bottom: y + 4}, paperColor, stroke{color: noColor})
	p.text(text, at{x, y}, strongText)
}

// rules draws the lines of one row: where the twelve months begin and end, and
// today.
func (m months) rules(p pen, today time.Time, top, bottom int) {
	for _, x := range []int{m.left, m.right} {
		p.r.MoveTo(x, top)
		p.r.LineTo(x, bottom)
	}
	p.stroke(hairline)
	if m.shows(today) {
		x := m.x(today)
		p.line(at{x, top}, at{x, bottom}, stroke{color: actionColor, width: 1.5})
	}
}

func checkDates(what string, dates ...time.Time) error {
	for _, t := range dates {
		if t.IsZero() {
			return errors.New(what + ": a date is missing")
		}
	}
	return nil
}
