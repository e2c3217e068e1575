package reports

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	chart "github.com/wcharczuk/go-chart/v2"
)

// DueStrips shows twelve months of due dates, one line to a room. Marks that
// would touch become one with their count; each line leads to its room.
type DueStrips struct {
	Frame
	Start time.Time // any day of the first month
	Today time.Time // drawn as a line; need not lie within the twelve months
	Rooms []Room    // from top to bottom
}

// Room is one line of the due chart.
type Room struct {
	Name   string
	Note   string            // a few words under the name, such as "14 covers"
	Href   string            // its expanded view; "" = no link
	Sweats [monthsShown]bool // from Start on: bare metal there sweats in this month
	Due    []DueMark
}

// DueMark is one cover's due date.
type DueMark struct {
	Date   time.Time
	Reason Reason
}

func (c DueStrips) check() error {
	if err := c.Frame.check(); err != nil {
		return err
	}
	if err := checkDates("due chart", c.Start, c.Today); err != nil {
		return err
	}
	for _, room := range c.Rooms {
		if err := room.check(); err != nil {
			return fmt.Errorf("due chart: %s: %w", room.Name, err)
		}
	}
	return nil
}

func (r Room) check() error {
	if err := local(r.Href); err != nil {
		return err
	}
	for _, d := range r.Due {
		if err := checkDates("due date", d.Date); err != nil {
			return err
		}
		if err := d.Reason.check(); err != nil {
			return err
		}
	}
	return nil
}

// dueLayout is where the parts of a row lie.
type dueLayout struct {
	months
	width         int
	row           int // px from row to row
	nameRoom      int
	nameY, noteY  int // baselines within the row
	noteRight     bool
	stripY, strip int // px, top and height of the strip within the row
	gap           int // marks nearer than this become one
}

const (
	nameWide   = 210 // px of names beside the strips
	dueHeading = 64  // px, height of the heading over the rows
)

func (f Frame) dueLayout(start time.Time) dueLayout {
	w := f.width()
	if f.narrow() {
		return dueLayout{
			months: months{start: monthStart(start), left: 38, right: w - 38, before: 38, after: 38},
			width:  w, row: 66, nameRoom: w * 6 / 10, nameY: 20, noteY: 20, noteRight: true, stripY: 28, strip: 26, gap: 24,
		}
	}
	return dueLayout{
		months: months{start: monthStart(start), left: nameWide + 58, right: w - 56, before: 50, after: 56},
		width:  w, row: 46, nameRoom: nameWide - 8, nameY: 20, noteY: 37, stripY: 9, strip: 28, gap: 28,
	}
}

func (c DueStrips) draw(rp chart.RendererProvider, w io.Writer) error {
	if len(c.Rooms) == 0 {
		return empty(rp, w, c.width(), "No room has a cover due.")
	}
	l := c.dueLayout(c.Start)
	key := c.key()
	top := key.height + dueHeading
	bottom := top + l.row*len(c.Rooms)
	return sketch(rp, w, at{l.width, bottom + 1}, func(p pen) {
		key.draw(p)
		l.header(p, top-10)
		p.line(at{0, top}, at{l.width, top}, hairline)
		for i, room := range c.Rooms {
			y := top + l.row*i
			p.link(room.Href, room.says(), func() { l.room(p, room, y) })
		}
		l.today(p, c.Today, key.height+18, bottom)
	})
}

// room draws one row whose top is at y.
func (l dueLayout) room(p pen, room Room, y int) {
	p.hit(chart.Box{Right: l.width, Top: y + 1, Bottom: y + l.row - 1})
	l.names(p, room.Name, room.Note, y)
	top, bottom := y+l.stripY, y+l.stripY+l.strip
	l.months.strip(p, room.Sweats, top, bottom)
	for _, g := range l.groups(room.Due) {
		l.group(p, g, (top+bottom)/2)
	}
	p.line(at{0, y + l.row}, at{l.width, y + l.row}, hairline)
}

func (l dueLayout) names(p pen, name, note string, y int) {
	p.text(fitted(name, strongText, l.nameRoom), at{0, y + l.nameY}, strongText)
	if l.noteRight {
		p.textRight(fitted(note, quietText, l.width-l.nameRoom-8), at{l.width, y + l.noteY}, quietText)
		return
	}
	p.text(fitted(note, quietText, l.nameRoom), at{0, y + l.noteY}, quietText)
}

// dueGroup is marks so near each other that they are drawn as one.
type dueGroup struct {
	x, count int
	reason   Reason // the most hasty of them
}

// groups joins marks nearer than the gap, from the earliest on. The joined
// mark stands where its first one is due.
func (l dueLayout) groups(due []DueMark) (groups []dueGroup) {
	sorted := slices.SortedFunc(slices.Values(due), func(a, b DueMark) int { return a.Date.Compare(b.Date) })
	for _, d := range sorted {
		x := l.x(d.Date)
		if n := len(groups); n > 0 && x-groups[n-1].x < l.gap {
			groups[n-1].count++
			groups[n-1].reason = min(groups[n-1].reason, d.Reason)
			continue
		}
		groups = append(groups, dueGroup{x, 1, d.Reason})
	}
	return groups
}

// group draws a mark on a clear ground, with its count when it is several.
func (l dueLayout) group(p pen, g dueGroup, y int) {
	if g.count == 1 {
		p.box(chart.Box{Left: g.x - 9, Right: g.x + 9, Top: y - 10, Bottom: y + 10}, paperColor, stroke{color: noColor})
		p.mark(g.reason, at{g.x, y})
		return
	}
	text := fmt.Sprint(g.count)
	w := wide(text, countText)
	x := min(g.x, l.width-w-12) // a large count at the right edge stays inside
	p.box(chart.Box{Left: x - 9, Right: x + 12 + w, Top: y - 10, Bottom: y + 10}, paperColor, stroke{color: noColor})
	p.mark(g.reason, at{x, y})
	p.text(text, at{x + 10, y + 5}, countText)
}

// says is the room's line in words.
func (r Room) says() string {
	if len(r.Due) == 0 {
		return r.Name + ": nothing due"
	}
	first := slices.MinFunc(r.Due, func(a, b DueMark) int { return a.Date.Compare(b.Date) })
	var kinds []string
	for reason := PutBack; reason <= Worth; reason++ {
		n := 0
		for _, d := range r.Due {
			if d.Reason == reason {
				n++
			}
		}
		if n > 0 {
			kinds = append(kinds, fmt.Sprintf("%d %s", n, reason))
		}
	}
	return fmt.Sprintf("%s: %d due, first on %s: %s", r.Name, len(r.Due), dated(first.Date), strings.Join(kinds, ", "))
}

// key names the shapes in use and the hatching.
func (c DueStrips) key() key {
	var used [Worth + 1]bool
	sweats := false
	for _, room := range c.Rooms {
		sweats = sweats || slices.Contains(room.Sweats[:], true)
		for _, d := range room.Due {
			used[d.Reason] = true
		}
	}
	return c.dueKey(used, sweats, false)
}

func (f Frame) dueKey(used [Worth + 1]bool, sweats, past bool) key {
	k := key{width: f.width(), top: 2}
	for reason := PutBack; reason <= Worth; reason++ {
		if used[reason] {
			k.add(reason.String(), func(p pen, b chart.Box) { p.mark(reason, at{b.Left + 8, (b.Top + b.Bottom) / 2}) })
		}
	}
	if past {
		k.add("past its date", func(p pen, b chart.Box) { p.texture(pastTexture, b) })
	}
	if sweats {
		k.add("bare metal sweats", func(p pen, b chart.Box) {
			p.texture(sweatTexture, b)
			p.box(b, noColor, hairline)
		})
	}
	return k.done()
}
