package reports

import (
	"fmt"
	"io"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"
)

// Section is the cut section: a covered part cut across and looked at along
// the pipe, everything at its true clock position. The metal in the middle is
// hollow until it was seen; around it lies the water that was found, and the
// seal as a ring that is whole, broken, or not there because the cover is off.
//
// It has neither pointer nor scale. Alt says the same in words.
type Section struct {
	Size SectionSize // how much is told
	Alt  string      // such as "gate valve NPS 6, rust Ri 2, damp at 6 o'clock, near end lifting"

	Seen       bool      // the metal was bared at least once
	RustedArea *float64  // % of the bared metal, 0 to 100; nil = not graded
	Pits       bool      // pitting was found
	PitClock   *float64  // where, if it was said; else the whole rim is nicked
	Points     []float64 // clock positions of thickness points
	Water      []WaterMark
	Seal       []SealMark
	Off        bool // the cover is off: no ring at all
}

// SectionSize is the width in px, and with it how much the section tells. The
// sheet is less high than wide: its words stand left and right.
type SectionSize int

const (
	SectionIcon  SectionSize = 24  // two facts: metal seen or not; ring whole, broken or absent
	SectionCard  SectionSize = 96  // all but the words
	SectionSheet SectionSize = 320 // with words at the marks
)

func (s SectionSize) extent() at {
	if s == SectionSheet {
		return at{int(s) * sectionGrid, 260 * sectionGrid}
	}
	return at{int(s) * sectionGrid, int(s) * sectionGrid}
}

// Amount is how much water lies there.
type Amount int

const (
	Damp   Amount = iota + 1 // a film or sweat
	Beads                    // drops
	Pooled                   // standing water, or ice
)

// WaterMark is water at a place on the metal.
type WaterMark struct {
	Clock    float64 // 0 to 12, 12 or 0 is up
	Observed bool    // seen at an opening; else an estimate, drawn hatched
	Amount   Amount
	Label    string // a few words; "" = none
}

// SealState is how the vapor seal is at one place.
type SealState int

const (
	SealWhole  SealState = iota + 1
	SealBroken           // lifting, split, punctured: a gap with its edges turned out
	SealAbsent           // nothing there: a bare gap
)

// SealMark is a seam, an end or a penetration in the ring.
type SealMark struct {
	Clock float64 // 0 to 12, its middle
	Width float64 // clock hours it takes of the ring, over 0 to 12
	State SealState
	Label string // a few words; "" = none
}

// A px is ten grid units, so that whole numbers draw smoothly at 24 px.
const sectionGrid = 10

func (s Section) frame() Frame { return Frame{Title: s.Alt, Width: int(s.Size)} }
func (s Section) units() int   { return sectionGrid }

func (s Section) check() error {
	if s.Size != SectionIcon && s.Size != SectionCard && s.Size != SectionSheet {
		return fmt.Errorf("cut section: no size %d", s.Size)
	}
	if s.Alt == "" {
		return fmt.Errorf("cut section: no words for it")
	}
	if a := s.RustedArea; a != nil && !(*a >= 0 && *a <= 100) {
		return fmt.Errorf("cut section: rusted area %v %%, want 0 to 100", *a)
	}
	if s.PitClock != nil {
		if err := onClock("pits", *s.PitClock); err != nil {
			return err
		}
	}
	return s.checkMarks()
}

func (s Section) checkMarks() error {
	for _, clock := range s.Points {
		if err := onClock("thickness point", clock); err != nil {
			return err
		}
	}
	for _, w := range s.Water {
		if err := onClock("water", w.Clock); err != nil {
			return err
		}
		if w.Amount < Damp || w.Amount > Pooled {
			return fmt.Errorf("cut section: water at %g: no amount %d", w.Clock, w.Amount)
		}
	}
	for _, m := range s.Seal {
		if err := onClock("seal", m.Clock); err != nil {
			return err
		}
		if !(m.Width > 0 && m.Width <= 12) {
			return fmt.Errorf("cut section: seal at %g: width %v, want over 0 to 12 hours", m.Clock, m.Width)
		}
		if m.State < SealWhole || m.State > SealAbsent {
			return fmt.Errorf("cut section: seal at %g: no state %d", m.Clock, m.State)
		}
	}
	return nil
}

func onClock(what string, clock float64) error {
	if !(clock >= 0 && clock <= 12) {
		return fmt.Errorf("cut section: %s at %v o'clock, want 0 to 12", what, clock)
	}
	return nil
}

// turn is a clock position as an angle, radians clockwise from the right.
func turn(clock float64) float64 { return (clock - 3) * math.Pi / 6 }

func (s Section) draw(rp chart.RendererProvider, w io.Writer) error {
	return sketch(rp, w, s.Size.extent(), func(p pen) {
		d := newDisc(p, s.Size)
		if s.Size == SectionIcon {
			d.icon(s)
			return
		}
		d.metal(s)
		for _, m := range s.Water {
			d.water(m)
		}
		d.seal(s)
		for _, clock := range s.Points {
			d.point(clock)
		}
		if s.Size == SectionSheet {
			d.words(s)
		}
	})
}

// broken returns the first place at which the seal is broken or absent, for the
// icon.
func (s Section) broken() (clock float64, broken bool) {
	for _, m := range s.Seal {
		if m.State != SealWhole {
			return m.Clock, true
		}
	}
	return 0, false
}
