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
	width          int
	row            int // px from row to row
	nameRoom       int
	nameY, noteY   int // baselines within the row
	noteRight      bool
	stripY, strip  int // px, top and height of the strip within the row
	ruleY, ruleEnd int // px that the row's upright lines keep from its top and bottom
}

const (
	nameWide   = 210 // px of names beside the strips
	dueHeading = 70  // px, height of the heading over the rows
	markGap    = 38  // px: marks nearer than this become one, to leave room for a count
)

func (f Frame) dueLayout(start time.Time) dueLayout {
	w := f.width()
	if f.narrow() {
		return dueLayout{
			months: months{start: monthStart(start), left: 52, right: w - 60, before: 52, after: 60},
			width:  w, row: 66, nameRoom: w, nameY: 20, noteY: 20, noteRight: true, stripY: 30, strip: 26, ruleY: 28, ruleEnd: 6,
		}
	}
	return dueLayout{
		months: months{start: monthStart(start), left: nameWide + 58, right: w - 56, before: 50, after: 56},
		width:  w, row: 46, nameRoom: nameWide - 8, nameY: 20, noteY: 37, stripY: 9, strip: 28,
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
		l.header(p, top-28)
		l.todayLabel(p, c.Today, top-8)
		p.line(at{0, top}, at{l.width, top}, hairline)
		for i, room := range c.Rooms {
			y := top + l.row*i
			p.link(room.Href, room.says(), func() { l.room(p, room, c.Today, y) })
		}
	})
}

// room draws one row whose top is at y.
func (l dueLayout) room(p pen, room Room, today time.Time, y int) {
	p.hit(chart.Box{Right: l.width, Top: y + 1, Bottom: y + l.row - 1})
	note := room.Note
	if l.noteRight { // a room is told by its name
		note = fitted(note, quietText, l.width*2/5)
	}
	l.names(p, room.Name, note, y)
	top, bottom := y+l.stripY, y+l.stripY+l.strip
	l.months.strip(p, room.Sweats, top, bottom)
	l.rules(p, today, y+l.ruleY, y+l.row-l.ruleEnd)
	l.marks(p, l.groups(room.Due), (top+bottom)/2)
	p.line(at{0, y + l.row}, at{l.width, y + l.row}, hairline)
}

// names writes name and note: one over the other, or on one line where the
// note keeps its length up to two thirds and the name takes what is left.
func (l dueLayout) names(p pen, name, note string, y int) {
	room := l.nameRoom
	if l.noteRight {
		note = fitted(note, quietText, l.width*2/3)
		room -= wide(note, quietText) + 30
		p.textRight(note, at{l.width, y + l.noteY}, quietText)
	} else {
		p.text(fitted(note, quietText, room), at{0, y + l.noteY}, quietText)
	}
	p.text(fitted(name, strongText, room), at{0, y + l.nameY}, strongText)
}

// dueGroup is marks so near each other that they are drawn as one.
type dueGroup struct {
	x, count int
	reason   Reason // the most hasty of them
	mixed    bool   // not all have that reason
	shown    bool   // on the twelve months, not before or later
}

func (g *dueGroup) add(r Reason) {
	g.count++
	g.mixed = g.mixed || r != g.reason
	g.reason = min(g.reason, r)
}

// text is what stands beside the mark: how many there are, or how many more
// there are besides the one whose shape is shown.
func (g dueGroup) text() string {
	switch {
	case g.count == 1:
		return ""
	case g.count > 999: // no room for more
		return "999+"
	case g.mixed:
		return fmt.Sprintf("+%d", g.count-1)
	}
	return fmt.Sprint(g.count)
}

// groups joins marks nearer than markGap, from the earliest on. The joined
// mark stands where its first one is due.
func (l dueLayout) groups(due []DueMark) (groups []dueGroup) {
	sorted := slices.SortedFunc(slices.Values(due), func(a, b DueMark) int { return a.Date.Compare(b.Date) })
	for _, d := range sorted {
		x, shown := l.x(d.Date), l.shows(d.Date)
		if n := len(groups); n > 0 && groups[n-1].shown == shown && x-groups[n-1].x < markGap {
			groups[n-1].add(d.Reason)
			continue
		}
		groups = append(groups, dueGroup{x: x, count: 1, reason: d.Reason, shown: shown})
	}
	return groups
}

// marks draws a row's groups on a clear ground, each with its count when it is
// several. Marks of one shape are one path: a page may hold hundreds of rows.
func (l dueLayout) marks(p pen, groups []dueGroup, y int) {
	for _, g := range groups {
		left, right := g.x-9, g.x+9+wide(g.text(), countText)
		p.shape(at{left, y - 10}, at{right, y - 10}, at{right, y + 10}, at{left, y + 10})
	}
	p.fill(paperColor)
	for reason := PutBack; reason <= Worth; reason++ {
		var places []at
		for _, g := range groups {
			if g.reason == reason {
				places = append(places, at{g.x, y})
			}
		}
		p.mark(reason, places...)
	}
	for _, g := range groups {
		p.text(g.text(), at{g.x + 9, y + 5}, countText)
	}
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
func (c DueStrips) key() *key {
	var used [Worth + 1]bool
	sweats := false
	for _, room := range c.Rooms {
		sweats = sweats || slices.Contains(room.Sweats[:], true)
		for _, d := range room.Due {
			used[d.Reason] = true
		}
	}
	k := c.dueKey(used, sweats, false)
	if c.anyMixed() {
		k.add("more about that time", func(p pen, b chart.Box) { p.text("+3", at{b.Left, b.Top + 12}, countText) })
	}
	return k
}

// anyMixed tells whether a group of several reasons is drawn.
func (c DueStrips) anyMixed() bool {
	l := c.dueLayout(c.Start)
	for _, room := range c.Rooms {
		if slices.ContainsFunc(l.groups(room.Due), func(g dueGroup) bool { return g.mixed }) {
			return true
		}
	}
	return false
}

func (f Frame) dueKey(used [Worth + 1]bool, sweats, past bool) *key {
	k := &key{width: f.width(), top: 2}
	for reason := PutBack; reason <= Worth; reason++ {
		if used[reason] {
			k.add(reason.String(), func(p pen, b chart.Box) { p.mark(reason, at{b.Left + 8, (b.Top + b.Bottom) / 2}) })
		}
	}
	if past {
		k.add("past its date", func(p pen, b chart.Box) { p.texture(pastTexture, b) })
	}
	if sweats {
		k.add("bare metal sweats", func(p pen, b chart.Box) { p.texture(sweatTexture, b) })
	}
	return k
}
