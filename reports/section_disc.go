package reports

import (
	"math"
	"slices"
)

// disc draws the parts of the cut section. Radii are grid units.
type disc struct {
	p      pen
	mid    at
	metalR float64 // the metal
	wetR   float64 // outermost water
	sealR  float64 // middle of the seal's ring
	sealW  float64 // its width
	hair   float64 // thinnest line
}

func newDisc(p pen, size SectionSize) disc {
	all := size.extent()
	d := disc{p: p, mid: at{all.x / 2, all.y / 2}}
	switch size {
	case SectionIcon:
		d.metalR, d.sealR, d.sealW, d.hair = 56, 98, 26, 20
	case SectionCard:
		d.metalR, d.wetR, d.sealR, d.sealW, d.hair = 215, 322, 405, 60, 10
	default:
		d.metalR, d.wetR, d.sealR, d.sealW, d.hair = 390, 585, 710, 92, 12
	}
	return d
}

// polar returns the point at a radius and an angle around the middle.
func (d disc) polar(r, a float64) at {
	return at{d.mid.x + int(math.Round(r*math.Cos(a))), d.mid.y + int(math.Round(r*math.Sin(a)))}
}

// sector lays a closed path: the ring between two radii from angle a over
// sweep.
func (d disc) sector(inner, outer, a, sweep float64) {
	start := d.polar(outer, a)
	d.p.r.MoveTo(start.x, start.y)
	d.p.r.ArcTo(d.mid.x, d.mid.y, outer, outer, a, sweep)
	end := d.polar(inner, a+sweep)
	d.p.r.LineTo(end.x, end.y)
	d.p.r.ArcTo(d.mid.x, d.mid.y, inner, inner, a+sweep, -sweep)
	d.p.r.Close()
}

// icon tells two facts only.
func (d disc) icon(s Section) {
	d.p.r.Circle(d.metalR, d.mid.x, d.mid.y)
	if s.Seen {
		d.p.both(metalColor, stroke{color: metalColor, width: d.hair})
	} else {
		d.p.stroke(stroke{color: metalColor, width: d.hair})
	}
	if s.Off {
		return
	}
	ring := stroke{color: sealColor, width: d.sealW}
	clock, broken := s.broken()
	if !broken {
		d.p.r.Circle(d.sealR, d.mid.x, d.mid.y)
		d.p.stroke(ring)
		return
	}
	const gap = math.Pi * 0.42 // wide enough to be seen at 24 px
	from := turn(clock) + gap/2
	start := d.polar(d.sealR, from)
	d.p.r.MoveTo(start.x, start.y)
	d.p.r.ArcTo(d.mid.x, d.mid.y, d.sealR, d.sealR, from, 2*math.Pi-gap)
	d.p.stroke(ring)
}

// metal draws the part itself: hollow and dashed when never seen, else filled,
// with dots for rust and nicks for pits.
func (d disc) metal(s Section) {
	edge := stroke{color: metalColor, width: 2 * d.hair}
	d.p.r.Circle(d.metalR, d.mid.x, d.mid.y)
	if !s.Seen {
		edge.dash = []float64{4 * d.hair, 3 * d.hair}
		d.p.stroke(edge)
		return
	}
	d.p.both(metalColor.WithAlpha(64), edge)
	if s.RustedArea != nil {
		d.rust(*s.RustedArea)
	}
	if !s.Pits {
		return
	}
	if s.PitClock != nil {
		d.nick(turn(*s.PitClock), 0.30)
		return
	}
	for i := range 9 {
		d.nick(turn(float64(i)*12/9), 0.13)
	}
}

// rust puts dots on the metal, the more the larger the rusted area in percent.
// Their number grows with its root, so that 0.05 % still shows and 40 % is not
// a blot: they rank by eye and are not to be measured.
func (d disc) rust(area float64) {
	const golden = 2.399963229728653 // radians; spreads points evenly over a disc
	n := int(math.Ceil(11 * math.Sqrt(area)))
	spread := float64(max(n, 12))
	for i := range n {
		r := d.metalR * 0.86 * math.Sqrt((float64(i)+0.5)/spread)
		a := d.polar(r, float64(i)*golden)
		d.p.r.Circle(d.metalR*0.055, a.x, a.y)
	}
	d.p.fill(metalColor)
}

// nick cuts a notch into the rim: how deep, as a part of the radius.
func (d disc) nick(a, deep float64) {
	half := deep * 0.6
	d.p.shape(d.polar(d.metalR*1.06, a-half), d.polar(d.metalR*(1-deep), a), d.polar(d.metalR*1.06, a+half))
	d.p.fill(paperColor)
	from, tip, to := d.polar(d.metalR, a-half*0.94), d.polar(d.metalR*(1-deep), a), d.polar(d.metalR, a+half*0.94)
	d.p.r.MoveTo(from.x, from.y)
	d.p.r.LineTo(tip.x, tip.y)
	d.p.r.LineTo(to.x, to.y)
	d.p.stroke(stroke{color: metalColor, width: 2 * d.hair})
}

// water lies on the metal: thicker and longer the more there is. Beads are
// drops side by side. What is only an estimate is hatched.
func (d disc) water(m WaterMark) {
	a, gap, deep := turn(m.Clock), d.wetFrom(), d.wetDeep(m.Amount)
	switch m.Amount {
	case Beads:
		d.beads(a, gap, deep/2, m.Observed)
	case Pooled:
		d.wet(a, gap, deep, 0.95, m.Observed)
	default:
		d.wet(a, gap, deep, 0.62, m.Observed)
	}
}

// wetFrom is the radius at which water begins, clear of the metal's edge.
func (d disc) wetFrom() float64 { return d.metalR + 2.5*d.hair }

// wetDeep is how far an amount of water reaches from there.
func (d disc) wetDeep(m Amount) float64 {
	most := d.wetR - d.wetFrom()
	return map[Amount]float64{Damp: 0.32, Beads: 0.42, Pooled: 0.9}[m] * most
}

// wet draws a crescent around angle a, half as wide as half, in radians.
func (d disc) wet(a, inner, deep, half float64, observed bool) {
	d.crescent(a, inner, deep, half)
	edge := stroke{color: waterColor, width: d.hair}
	if observed {
		d.p.both(waterColor, edge)
		return
	}
	d.p.stroke(edge)
	for t := -half; t <= half; t += 2.6 * d.hair / inner * 2 {
		depth := deep * crescent(t/half)
		from, to := d.polar(inner, a+t), d.polar(inner+depth, a+t)
		d.p.r.MoveTo(from.x, from.y)
		d.p.r.LineTo(to.x, to.y)
	}
	d.p.stroke(edge)
}

// crescent is the depth of a crescent across its width, t from -1 to 1.
func crescent(t float64) float64 { return math.Sqrt(math.Max(0, 1-t*t)) }

func (d disc) crescent(a, inner, deep, half float64) {
	const parts = 24
	for i := 0; i <= parts; i++ {
		t := -1 + 2*float64(i)/parts
		pt := d.polar(inner+deep*crescent(t), a+t*half)
		if i == 0 {
			d.p.r.MoveTo(pt.x, pt.y)
		} else {
			d.p.r.LineTo(pt.x, pt.y)
		}
	}
	d.p.r.ArcTo(d.mid.x, d.mid.y, inner, inner, a+half, -2*half)
	d.p.r.Close()
}

func (d disc) beads(a, inner, r float64, observed bool) {
	s := stroke{color: waterColor, width: d.hair}
	for _, t := range []float64{-1, 0, 1} {
		pt := d.polar(inner+r+d.hair, a+t*2.5*r/inner)
		d.p.r.Circle(r, pt.x, pt.y)
		if observed {
			d.p.both(waterColor, s)
		} else {
			d.p.stroke(s)
		}
	}
}

// point marks where a thickness reading is taken: a short line off the metal.
func (d disc) point(clock float64) {
	a := turn(clock)
	d.p.line(d.polar(d.metalR-3*d.hair, a), d.polar(d.metalR+5*d.hair, a), stroke{color: inkColor, width: 1.6 * d.hair})
}

// seal draws the ring with its gaps, and a stitch where a place is whole.
func (d disc) seal(s Section) {
	if s.Off {
		return
	}
	marks := slices.SortedFunc(slices.Values(s.Seal), func(a, b SealMark) int {
		switch {
		case a.Clock < b.Clock:
			return -1
		case a.Clock > b.Clock:
			return 1
		}
		return 0
	})
	for _, run := range wholeRuns(marks) {
		d.sector(d.sealR-d.sealW/2, d.sealR+d.sealW/2, turn(run.from), (run.to-run.from)*math.Pi/6)
		d.p.fill(sealColor)
	}
	for _, m := range marks {
		switch m.State {
		case SealWhole:
			d.stitch(m)
		case SealBroken:
			d.lift(m)
		}
	}
}

// stitch shows a seam or penetration that is sealed: two fine cuts in the ring.
func (d disc) stitch(m SealMark) {
	for _, side := range []float64{-1, 1} {
		a := turn(m.Clock + side*m.Width/2)
		d.p.line(d.polar(d.sealR-d.sealW/2, a), d.polar(d.sealR+d.sealW/2, a), stroke{color: paperColor, width: 1.5 * d.hair})
	}
}

// lift turns the edges of a broken place outward.
func (d disc) lift(m SealMark) {
	half := sectionGap(m) / 2
	for _, side := range []float64{-1, 1} {
		foot, tip := turn(m.Clock+side*half), turn(m.Clock+side*half*0.45)
		d.p.shape(
			d.polar(d.sealR-d.sealW/2, foot), d.polar(d.sealR+d.sealW/2, foot),
			d.polar(d.sealR+d.sealW*1.25, tip), d.polar(d.sealR+d.sealW*0.75, tip))
		d.p.fill(sealColor)
	}
}
