package reports

import (
	chart "github.com/wcharczuk/go-chart/v2"
)

// key says in words what marks and areas mean, in as many lines as the width
// asks for.
type key struct {
	width, top int
	height     int // bottom of the last line; 0 = no entry
	entries    []keyEntry
	next       at
}

type keyEntry struct {
	name string
	at   at // top left
	mark func(pen, chart.Box)
}

const (
	keyLine   = 22 // px from line to line
	keySwatch = 18 // px, width of the mark
)

func (k *key) add(name string, mark func(pen, chart.Box)) {
	w := keySwatch + 6 + wide(name, countText)
	if k.next.x > 0 && k.next.x+w > k.width {
		k.next = at{0, k.next.y + keyLine}
	}
	k.entries = append(k.entries, keyEntry{name, at{k.next.x, k.top + k.next.y}, mark})
	k.next.x += w + 16
	k.height = k.top + k.next.y + keyLine
}

func (k *key) draw(p pen) {
	for _, e := range k.entries {
		e.mark(p, chart.Box{Left: e.at.x + 1, Right: e.at.x + keySwatch, Top: e.at.y, Bottom: e.at.y + 14})
		p.text(fitted(e.name, countText, k.width-e.at.x-keySwatch-6), at{e.at.x + keySwatch + 6, e.at.y + 12}, countText)
	}
}
