package reports

import (
	"cmp"
	"math"
	"slices"

	"github.com/wcharczuk/go-chart/v2/drawing"
)

// sectionWord is a label and the place it belongs to.
type sectionWord struct {
	text  string
	state string
	clock float64
	reach float64 // radius its line starts from
	color drawing.Color
}

var sealWords = map[SealState]string{SealWhole: "whole", SealBroken: "broken", SealAbsent: "absent"}

var amountWords = map[Amount]string{Damp: "damp", Beads: "beads", Pooled: "pooled"}

// words labels the marks on the sheet: left ones in a column at the left edge,
// right ones at the right, each at the height of its place or the next free.
func (d disc) words(s Section) {
	var left, right []sectionWord
	for _, w := range d.labels(s) {
		if w.clock > 6 && w.clock < 12 {
			left = append(left, w)
		} else {
			right = append(right, w)
		}
	}
	d.column(left, true)
	d.column(right, false)
	if s.Off {
		d.centered("cover off", d.mid.y+int(d.sealR))
	}
	if !s.Seen {
		d.centered("never", d.mid.y-40)
		d.centered("seen", d.mid.y+110)
	}
}

func (d disc) labels(s Section) (words []sectionWord) {
	for _, m := range s.Seal {
		if m.Label != "" && !s.Off {
			words = append(words, sectionWord{m.Label, sealWords[m.State], m.Clock, d.sealR + d.sealW/2, sealColor})
		}
	}
	for _, m := range s.Water {
		word := sectionWord{m.Label, amountWords[m.Amount], m.Clock, d.wetFrom() + d.wetDeep(m.Amount), waterColor}
		if !m.Observed {
			word.text, word.state = cmp.Or(m.Label, word.state), "estimate"
		}
		words = append(words, word)
	}
	return words
}

var (
	sheetText   = letters{size: 120, color: inkColor}
	sheetStrong = letters{size: 120, color: inkColor, strong: true}
)

func (d disc) centered(text string, y int) {
	d.p.textMid(text, at{d.mid.x, y}, sheetStrong)
}

const (
	wordHeight = 290 // grid units for two lines
	wordEdge   = 30  // from the edge of the picture
)

// column places words from top to bottom without touching each other.
func (d disc) column(words []sectionWord, left bool) {
	high := func(w sectionWord) float64 { return math.Sin(turn(w.clock)) }
	slices.SortStableFunc(words, func(a, b sectionWord) int { return cmp.Compare(high(a), high(b)) })
	height := 2 * d.mid.y
	most := height / wordHeight
	if len(words) > most {
		words = words[:most]
	}
	next := 20
	for i, w := range words {
		y := d.mid.y + int(1.25*d.sealR*high(w)) - wordHeight/2
		y = max(next, min(y, height-20-wordHeight*(len(words)-i)))
		next = y + wordHeight
		d.word(w, y, left)
	}
}

// word writes one label in two lines, its top at y, with a fine line to its
// place.
func (d disc) word(w sectionWord, y int, left bool) {
	middle := y + wordHeight/2
	room := d.room(y)
	text, state := fitted(w.text, sheetText, room), fitted(w.state, sheetStrong, room)
	long := max(wide(text, sheetText), wide(state, sheetStrong))
	x, end := wordEdge, wordEdge+long+40
	if !left {
		x, end = 2*d.mid.x-wordEdge-long, 2*d.mid.x-wordEdge-long-40
	}
	d.p.text(text, at{x, middle - 20}, sheetText)
	d.p.text(state, at{x, middle + 110}, letters{size: 120, color: w.color, strong: true})
	d.p.line(at{end, middle}, d.polar(w.reach+10, turn(w.clock)), stroke{color: mutedColor, width: d.hair * 0.8})
}

// room is how much lies free between the edge and the ring for a label whose
// top is at y.
func (d disc) room(y int) int {
	near := math.Min(math.Abs(float64(y-d.mid.y)), math.Abs(float64(y+wordHeight-d.mid.y)))
	if y < d.mid.y && y+wordHeight > d.mid.y {
		near = 0
	}
	outer := d.sealR + d.sealW*1.3
	half := math.Sqrt(math.Max(0, outer*outer-near*near))
	return d.mid.x - int(half) - wordEdge - 40
}
