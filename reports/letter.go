package reports

import (
	"sync"
	"unicode"

	"github.com/golang/freetype/truetype"
	"github.com/wcharczuk/go-chart/v2/roboto"
	"golang.org/x/image/math/fixed"
)

// typeface knows how wide a text is. It is read-only once made, so all
// pictures share one; go-chart's own default font is made under a data race.
type typeface struct {
	font *truetype.Font
	em   float64
	wide [0x180]float64 // advance of the Latin letters, in em; 0 = not in the font
}

// roman returns the one typeface, Roboto Medium.
var roman = sync.OnceValue(func() *typeface {
	font, err := truetype.Parse(roboto.Roboto)
	if err != nil {
		panic("reports: built-in font: " + err.Error()) // compiled in: cannot fail at run time
	}
	t := &typeface{font: font, em: float64(font.FUnitsPerEm())}
	for r := range t.wide {
		t.wide[r], _ = t.read(rune(r))
	}
	return t
})

// read looks a letter up in the font: its advance in em and whether the font
// has it.
func (t *typeface) read(r rune) (float64, bool) {
	i := t.font.Index(r)
	if i == 0 {
		return 0, false
	}
	m := t.font.HMetric(fixed.Int26_6(t.em), i)
	return float64(m.AdvanceWidth) / t.em, true
}

// advance returns the width of one letter in em. A letter that the font lacks
// counts a full em, the widest a reader's own font will draw it; a combining
// mark counts nothing.
func (t *typeface) advance(r rune) (em float64, known bool) {
	if int(r) < len(t.wide) && t.wide[r] > 0 {
		return t.wide[r], true
	}
	if em, known = t.read(r); known {
		return em, true
	}
	if unicode.Is(unicode.Mn, r) {
		return 0, false
	}
	return 1, false
}

// width returns how wide s is at the given letter size, in the unit of size,
// and whether the font has all its letters.
func (t *typeface) width(s string, size float64) (w float64, known bool) {
	known = true
	for _, r := range s {
		em, ok := t.advance(r)
		w += em
		known = known && ok
	}
	return w * size, known
}

// fit returns s, or as much of its beginning as goes into room with "…" at the
// end. It returns "" where not even that fits.
func (t *typeface) fit(s string, size float64, room int) string {
	if w, _ := t.width(s, size); w <= float64(room) {
		return s
	}
	dots, _ := t.width("…", size)
	left := float64(room) - dots
	if left < 0 {
		return ""
	}
	for i, r := range s {
		em, _ := t.advance(r)
		if left -= em * size; left < 0 {
			return trimSpace(s[:i]) + "…"
		}
	}
	return s
}

func trimSpace(s string) string {
	for len(s) > 0 && (s[len(s)-1] == ' ' || s[len(s)-1] == ',') {
		s = s[:len(s)-1]
	}
	return s
}
