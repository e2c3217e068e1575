package takeoff

import (
	"math"

	"drylag/models/unit"
)

// Closing is one re-closing of one cover, in the words of the record: what is
// known of its sizes, and what is to be made anew. A nil size is not known;
// ForCover then assumes one and says so.
type Closing struct {
	Kind       string // component: gate_valve, strainer, flange_pair, pump, ...; another word: a straight fitting
	Connection string // flanged, threaded, ...; "" is taken as flanged
	Closure    string // of the cover: tape, sealant, tape_sealant, straps, lacing, hook_loop; "" is taken as tape

	Standard Standard
	Measured Measured

	Thickness    *unit.Meter  // insulation as installed
	Penetrations *int         // through the cover; nil: not counted
	Perimeters   []unit.Meter // of the penetrations from the first, as far as measured

	Places     []string // to be re-made: long_seam, near_end, far_end, edges_corners, penetration_1, ...; nil: all
	NewBlanket bool     // the cover itself is made anew

	TapeLap *unit.Meter    // tape on tape, for each line
	Waste   *unit.Fraction // of tape
	Leg     *unit.Meter    // of the fillet round a penetration
	Joint   *unit.Meter    // width of a sealed seam; it is as deep as the insulation
	Coat    *Coat          // nil: the metal is not coated
}

// Standard are the sizes that tables of standards give for the nominal size;
// nil where a table has none.
type Standard struct {
	Pipe            *unit.Meter // outer diameter, ASME B36.10M
	Flange          *unit.Meter // outer diameter, ASME B16.5
	FlangeThickness *unit.Meter // of one flange, ASME B16.5
	GateLength      *unit.Meter // face to face of a flanged gate valve, ASME B16.10
}

// Measured are the sizes of the bare part as someone measured them; they go
// before those of standards. Box is the finished cover of a pump, outside.
type Measured struct {
	Pipe, Flange, FaceToFace *unit.Meter
	Bonnet, BonnetHeight     *unit.Meter // or the basket leg of a strainer
	Seam                     *unit.Meter // length of all long seams together
	Box                      *Box
}

// Coat is a coating of the metal while it is open.
type Coat struct {
	Area *unit.M2 // nil: all of the bare part
	Coating
}

// Assumption is a size that nobody gave. Value is nil where it is no size.
type Assumption struct {
	What  string // "insulation thickness"
	Value unit.Quantity
	Why   string // "usual on chilled water"
}

// Need is an amount of one material and what had to be assumed for it; an empty
// list means that every size was measured or stands in a standard.
type Need[Q ~float64] struct {
	Amount  Q
	Assumed []Assumption
}

// Materials is what one re-closing takes. 0 is none. Rolls and cartridges are
// counted over a round, by Rolls and Cartridges.
type Materials struct {
	Cover   Need[unit.M2]         // outside of the whole cover, new or not
	Blanket Need[unit.M2]         // to be made anew
	Tape    Need[unit.Meter]      // with its waste
	Sealant Need[unit.Milliliter] // as laid, without loss
	Coating Need[unit.Liter]      // with its loss
}

// ForCover returns what one re-closing takes:
//
//   - blanket: the outside of the cover, if it is made anew;
//   - tape, unless the cover closes without: the long seam, the girth at each
//     end, the edges and the perimeter of each penetration that is re-made, with
//     lap and waste;
//   - sealant: a fillet round each penetration that is re-made, and a joint along
//     seam, ends and edges where the cover closes with sealant;
//   - coating, if asked for: the bare part or the area given.
//
// Every amount is NaN for a place that is not a place, and for sizes out of the
// range of the formulas of this package. A patched facing takes no material
// here. Assumed sizes are judgement, for estimates only.
func ForCover(c Closing) Materials {
	places, ok := c.remade()
	if !ok {
		return Materials{unknown[unit.M2](), unknown[unit.M2](), unknown[unit.Meter](), unknown[unit.Milliliter](), unknown[unit.Liter]()}
	}
	m := Materials{
		Cover:   need(c, (*ruler).area),
		Tape:    need(c, func(r *ruler) unit.Meter { return r.tape(places) }),
		Sealant: need(c, func(r *ruler) unit.Milliliter { return r.sealant(places) }),
		Coating: need(c, (*ruler).coating),
	}
	if c.NewBlanket {
		m.Blanket = m.Cover
	}
	return m
}

func unknown[Q ~float64]() Need[Q] { return Need[Q]{Amount: Q(math.NaN())} }

// need takes one amount and keeps what was assumed for it alone.
func need[Q ~float64](c Closing, amount func(*ruler) Q) Need[Q] {
	r := &ruler{c: c}
	return Need[Q]{amount(r), r.assumed}
}

func (r *ruler) tape(p places) unit.Meter {
	switch r.c.Closure {
	case "", "tape", "tape_sealant":
	default:
		return 0
	}
	s := Seams{Ends: r.ends(p), Seams: r.seams(p), Penetrations: r.penetrations(p)}
	lines := len(s.Ends) + len(s.Seams) + len(s.Penetrations)
	if lines == 0 {
		return 0
	}
	s.Overlap = unit.Meter(lines) * r.or(r.c.TapeLap, "lap of tape on tape", assumedTapeLap, "usual")
	s.Waste = TapeWaste
	if r.c.Waste != nil {
		s.Waste = *r.c.Waste
	} else {
		r.assume("waste of tape", TapeWaste, "usual on fittings")
	}
	return s.Tape()
}

func (r *ruler) sealant(p places) unit.Milliliter {
	sum := unit.Milliliter(0)
	for _, perimeter := range r.penetrations(p) {
		sum += Fillet(perimeter, r.or(r.c.Leg, "leg of the fillet", assumedLeg, "usual"))
	}
	if r.c.Closure != "sealant" && r.c.Closure != "tape_sealant" {
		return sum
	}
	for _, line := range append(r.seams(p), r.ends(p)...) {
		sum += Joint(line, r.or(r.c.Joint, "width of the joint", assumedJoint, "usual"), r.thickness())
	}
	return sum
}

func (r *ruler) coating() unit.Liter {
	switch {
	case r.c.Coat == nil:
		return 0
	case r.c.Coat.Area != nil:
		return r.c.Coat.Volume(*r.c.Coat.Area)
	}
	area := r.bare()
	r.assume("metal to coat", area, "the whole part")
	return r.c.Coat.Volume(area)
}
