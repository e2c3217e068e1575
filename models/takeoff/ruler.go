package takeoff

import (
	"slices"

	"drylag/models/unit"
)

// Sizes taken where nobody gave one. Judgement, for estimates only; the lines
// through tables of standards are derived here and stay within a tenth of them
// (class 150, NPS 2 to 24).
const (
	assumedThickness unit.Meter = 0.025
	assumedPipe      unit.Meter = 0.1143 // NPS 4
	assumedPerimeter unit.Meter = 0.150
	assumedTapeLap   unit.Meter = 0.050
	assumedLeg       unit.Meter = 0.006
	assumedJoint     unit.Meter = 0.003
)

// lengths are face-to-face lengths in lengths of a gate valve of the same size.
// A butterfly valve has the flanges of the pipe with it. Judgement.
var lengths = map[string]unit.Meter{
	"gate_valve": 1, "butterfly_valve": 0.45, "check_valve": 1.25, "control_valve": 1.25, "strainer": 1.3, "flexible_connector": 1,
}

// ruler gives the sizes of one closing and notes those that it had to assume.
type ruler struct {
	c       Closing
	assumed []Assumption
}

func (r *ruler) assume(what string, value unit.Quantity, why string) {
	if !slices.ContainsFunc(r.assumed, func(a Assumption) bool { return a.What == what }) {
		r.assumed = append(r.assumed, Assumption{what, value, why})
	}
}

// or is the size given, else the assumed one.
func (r *ruler) or(given *unit.Meter, what string, assumed unit.Meter, why string) unit.Meter {
	if given != nil {
		return *given
	}
	r.assume(what, assumed, why)
	return assumed
}

func (r *ruler) thickness() unit.Meter {
	return r.or(r.c.Thickness, "insulation thickness", assumedThickness, "usual on chilled water")
}

func (r *ruler) pipe() unit.Meter {
	if r.c.Measured.Pipe != nil {
		return *r.c.Measured.Pipe
	}
	return r.or(r.c.Standard.Pipe, "pipe diameter", assumedPipe, "as NPS 4")
}

// flange is the diameter that the body's cover spans: over the flanges, or over
// the pipe where the part has none.
func (r *ruler) flange() unit.Meter {
	if r.c.Measured.Flange != nil {
		return *r.c.Measured.Flange
	}
	flanged := r.c.Connection == "flanged" || r.c.Kind == "flange_pair"
	switch {
	case !flanged && r.c.Connection != "":
		return r.or(nil, "diameter of the part", r.pipe(), "as the pipe, for it has no flanges")
	case !flanged:
		r.assume("connection", nil, "not known: taken as flanged")
	}
	if r.c.Standard.Flange != nil {
		return *r.c.Standard.Flange
	}
	return r.or(nil, "flange diameter", 1.3*r.pipe()+0.075, "from the pipe, class 150")
}

// faceToFace is the length of the bare part along the pipe.
func (r *ruler) faceToFace() unit.Meter {
	given, kind := r.c.Measured.FaceToFace, r.c.Kind
	if given == nil && kind == "gate_valve" {
		given = r.c.Standard.GateLength
	}
	if given != nil {
		return *given
	}
	if kind == "flange_pair" {
		return 2 * r.flangeThickness()
	}
	if share, ok := lengths[kind]; ok {
		return r.or(nil, "face-to-face length", share*r.gateLength(), "from a gate valve of this size")
	}
	return r.or(nil, "length of the part", 2*r.pipe(), "twice the pipe's diameter")
}

func (r *ruler) flangeThickness() unit.Meter {
	if r.c.Standard.FlangeThickness != nil {
		return *r.c.Standard.FlangeThickness
	}
	return r.or(nil, "flange thickness", 0.05*r.pipe()+0.0175, "from the pipe, class 150")
}

func (r *ruler) gateLength() unit.Meter {
	if r.c.Standard.GateLength != nil {
		return *r.c.Standard.GateLength
	}
	return 0.62*r.pipe() + 0.150
}

// bonnet is the diameter and the height of the bonnet, or of the basket leg of a
// strainer; both are 0 for a part without, unless measured.
func (r *ruler) bonnet() (diameter, height unit.Meter) {
	m := r.c.Measured
	if m.Bonnet != nil && m.BonnetHeight != nil {
		return *m.Bonnet, *m.BonnetHeight
	}
	switch r.c.Kind {
	case "gate_valve", "control_valve", "strainer":
	default:
		return 0, 0
	}
	flange := r.flange()
	diameter = r.or(m.Bonnet, "bonnet or leg diameter", 0.6*flange, "from the flange")
	return diameter, r.or(m.BonnetHeight, "bonnet or leg height", 0.87*flange, "from the flange")
}

// box is the finished cover of a pump.
func (r *ruler) box() Box {
	if r.c.Measured.Box != nil {
		return *r.c.Measured.Box
	}
	l, across := 3*r.gateLength(), 1.5*r.flange()
	r.assume("length of the pump", l, "three gate valves of this size")
	r.assume("width and height of the pump", across, "from the flange")
	t := r.thickness()
	return Box{Length: l + 2*t, Width: across + 2*t, Height: across + 2*t}
}

// area is the outside of the whole cover.
func (r *ruler) area() unit.M2 {
	if r.c.Kind == "pump" {
		return r.box().Area()
	}
	return r.around(r.thickness())
}

// bare is the metal under the cover.
func (r *ruler) bare() unit.M2 {
	if r.c.Kind == "pump" {
		b, t := r.box(), r.thickness()
		b.Length, b.Width, b.Height = b.Length-2*t, b.Width-2*t, b.Height-2*t
		return b.Area()
	}
	return r.around(0)
}

// around is the outside of the part with insulation t thick.
func (r *ruler) around(t unit.Meter) unit.M2 {
	bonnet, height := r.bonnet()
	return Valve{r.flange(), r.faceToFace(), bonnet, height, t, r.pipe()}.Area()
}
