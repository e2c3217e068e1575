package reports

import (
	"fmt"
	"io"
	"slices"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// DueRoom shows one room's covers over the same twelve months: a bar for the
// window in which to open, a mark with its word at the due date, hatched from
// there to today when it has passed.
type DueRoom struct {
	Frame
	Start  time.Time // any day of the first month
	Today  time.Time
	Sweats [monthsShown]bool // from Start on: bare metal there sweats in this month
	Covers []DueCover        // from top to bottom
}

// DueCover is one cover's row.
type DueCover struct {
	Name   string
	Note   string    // a few words under the name, such as the part beneath
	Href   string    // the cover's page; "" = no link
	Opens  time.Time // first day of the window
	Due    time.Time // last day of the window
	Reason Reason
}

func (c DueRoom) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	if err := checkDates("due chart", c.Start, c.Today); err != nil {
		return err
	}
	for _, cover := range c.Covers {
		if err := cover.check(); err != nil {
			return fmt.Errorf("due chart: %s: %w", cover.Name, err)
		}
	}
	return nil
}

func (c DueCover) check() error {
	if err := checkDates("window", c.Opens, c.Due); err != nil {
		return err
	}
	if c.Opens.After(c.Due) {
		return fmt.Errorf("window opens on %s, after it is due on %s", dated(c.Opens), dated(c.Due))
	}
	if err := c.Reason.check(); err != nil {
		return err
	}
	return local(c.Href)
}

// says is what stands at the mark: the word of the reason and the date.
func (c DueCover) says() string { return c.Reason.String() + ", " + dated(c.Due) }

func (c DueRoom) draw(rp chart.RendererProvider, w io.Writer) error {
	if len(c.Covers) == 0 {
		return empty(rp, w, c.width(), "No cover in this room.")
	}
	l := c.dueLayout(c.Start)
	key := c.key()
	top := key.height + dueHeading
	bottom := top + l.row*len(c.Covers)
	return sketch(rp, w, at{l.width, bottom + 1}, func(p pen) {
		key.draw(p)
		l.header(p, top-28)
		l.todayLabel(p, c.Today, top-8)
		p.line(at{0, top}, at{l.width, top}, hairline)
		for i, cover := range c.Covers {
			y := top + l.row*i
			p.link(cover.Href, cover.Name+": "+cover.says(), func() { l.cover(p, c, cover, y) })
		}
	})
}

// cover draws one row whose top is at y.
func (l dueLayout) cover(p pen, c DueRoom, cover DueCover, y int) {
	p.hit(chart.Box{Right: l.width, Top: y + 1, Bottom: y + l.row - 1})
	top, bottom := y+l.stripY, y+l.stripY+l.strip
	mid := (top + bottom) / 2
	l.months.strip(p, c.Sweats, top, bottom)
	l.rules(p, c.Today, y+l.ruleY, y+l.row-l.ruleEnd)
	l.window(p, c.Today, cover, mid)
	due := at{l.x(cover.Due), mid}
	l.ground(p, chart.Box{Left: due.x - 9, Right: due.x + 9, Top: mid - 10, Bottom: mid + 10})
	if l.noteRight { // narrow: the words stand over the strip
		l.names(p, cover.Name, cover.says(), y)
		p.mark(cover.Reason, at{l.width - wide(cover.says(), quietText) - 13, y + l.noteY - 5})
	} else {
		l.names(p, cover.Name, cover.Note, y)
		l.word(p, c.Today, cover, mid)
	}
	p.mark(cover.Reason, due)
	p.line(at{0, y + l.row}, at{l.width, y + l.row}, hairline)
}

// window draws the bar up to the due date and the hatching from there to today.
func (l dueLayout) window(p pen, today time.Time, cover DueCover, y int) {
	opens, due, now := l.clamp(cover.Opens), l.clamp(cover.Due), l.clamp(today)
	if due > opens {
		l.ground(p, chart.Box{Left: opens, Right: due, Top: y - 5, Bottom: y + 5})
		p.box(chart.Box{Left: opens, Right: due, Top: y - 5, Bottom: y + 5}, actionColor.WithAlpha(70), stroke{color: actionColor, width: 1})
	}
	if today.After(cover.Due) && now > due {
		b := chart.Box{Left: due, Right: now, Top: y - 5, Bottom: y + 5}
		l.ground(p, b)
		p.texture(pastTexture, b)
	}
}

// clamp returns where a date lies, kept on the twelve months.
func (m months) clamp(t time.Time) int {
	switch age := m.age(t); {
	case age < 0:
		return m.left
	case age >= monthsShown:
		return m.right
	}
	return m.x(t)
}

// word writes reason and date in the row: right of all marks, else left of
// them, else at the right edge.
func (l dueLayout) word(p pen, today time.Time, cover DueCover, y int) {
	text := cover.says()
	w := wide(text, countText)
	right := l.x(cover.Due) + 12
	if today.After(cover.Due) {
		right = max(right, l.clamp(today)+8)
	}
	x := right
	if left := min(l.x(cover.Due), l.clamp(cover.Opens)) - 12 - w; x+w > l.width {
		x = l.width - w
		if left > l.left-l.before {
			x = left
		}
	}
	l.ground(p, chart.Box{Left: x - 3, Right: x + w + 3, Top: y - 10, Bottom: y + 10})
	p.text(text, at{x, y + 5}, countText)
}

// ground clears the hatching under a mark or a word.
func (l dueLayout) ground(p pen, b chart.Box) { p.box(b, paperColor, stroke{color: noColor}) }

func (c DueRoom) key() *key {
	var used [Worth + 1]bool
	past := false
	for _, cover := range c.Covers {
		used[cover.Reason] = true
		past = past || c.Today.After(cover.Due)
	}
	return c.dueKey(used, slices.Contains(c.Sweats[:], true), past)
}
