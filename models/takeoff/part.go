package takeoff

import "drylag/models/unit"

// Part are the sizes of a bare part and its cover that stand behind ForCover,
// for what asks about its heat and its water.
type Part struct {
	Length  unit.Meter // of the bare part along the pipe
	Pipe    unit.Meter // outer diameter
	Metal   unit.M2    // outside of the bare part
	Bare    unit.M2    // of it but for the two ends
	End     unit.M2    // of one end of the cover
	Girth   unit.Meter // of the cover around the body: StretchOut; of a box, once round it
	Seam    unit.Meter // length of the long seam
	Assumed []Assumption
}

// PartOf returns the sizes of a part: the same, measured, standard or assumed,
// that ForCover takes. NaN out of the range of the formulas of this package.
func PartOf(c Closing) Part {
	r := &ruler{c: c}
	p := Part{Length: r.faceToFace(), Pipe: r.pipe(), Metal: r.bare(), Seam: r.seam()}
	if c.Kind == "pump" {
		box, t := r.box(), r.thickness()
		p.Length = box.Length - 2*t
		p.Bare = p.Metal - 2*unit.M2((box.Width-2*t)*(box.Height-2*t))
		p.End = unit.M2(box.Width * box.Height)
		p.Girth = 2 * (box.Width + box.Height)
	} else {
		flange, t := r.flange(), r.thickness()
		p.Bare = p.Metal - 2*EndCap(flange, p.Pipe)
		p.End = EndCap(flange+2*t, p.Pipe)
		p.Girth = StretchOut(flange, t)
	}
	p.Assumed = r.assumed
	return p
}
