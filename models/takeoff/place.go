package takeoff

import (
	"strconv"
	"strings"

	"drylag/models/unit"
)

// places are the places of a seal that are re-made.
type places struct {
	seam, edges  bool
	ends         int
	penetrations []int // by number, from one
}

// remade reads the places of a closing. It reports false for a word that is
// none, and for a negative count of penetrations.
func (c Closing) remade() (places, bool) {
	if c.Places == nil {
		n := len(c.Perimeters)
		if c.Penetrations != nil {
			n = *c.Penetrations
		}
		all := places{seam: true, edges: true, ends: 2}
		for i := range max(n, 0) {
			all.penetrations = append(all.penetrations, i+1)
		}
		return all, n >= 0
	}
	var p places
	for _, word := range c.Places {
		switch word {
		case "long_seam":
			p.seam = true
		case "near_end", "far_end":
			p.ends++
		case "edges_corners":
			p.edges = true
		case "facing": // a patch, which no rule measures
		default:
			number, found := strings.CutPrefix(word, "penetration_")
			n, err := strconv.Atoi(number)
			if !found || err != nil || n < 1 {
				return places{}, false
			}
			p.penetrations = append(p.penetrations, n)
		}
	}
	return p, true
}

// ends are the girths of the ends that are re-made: of the cover, or of the
// insulated pipe where it enters a box.
func (r *ruler) ends(p places) []unit.Meter {
	var out []unit.Meter
	for range p.ends {
		if r.c.Kind == "pump" {
			out = append(out, StretchOut(r.pipe(), r.thickness()))
			continue
		}
		out = append(out, StretchOut(r.flange(), r.thickness()))
	}
	return out
}

// seams are the long seam and the edges that are re-made.
func (r *ruler) seams(p places) []unit.Meter {
	var out []unit.Meter
	if p.seam {
		out = append(out, r.seam())
	}
	if !p.edges {
		return out
	}
	if edge := r.edges(); edge != 0 {
		out = append(out, edge)
	}
	return out
}

// seam is the length of the long seam: along the cover and up the bonnet, or
// once round a box.
func (r *ruler) seam() unit.Meter {
	if r.c.Measured.Seam != nil {
		return *r.c.Measured.Seam
	}
	if r.c.Kind == "pump" {
		box := r.box()
		seam := 2 * (box.Length + box.Height)
		r.assume("long seam", seam, "once round the box, lengthwise")
		return seam
	}
	_, height := r.bonnet()
	seam := r.faceToFace() + 2*r.thickness() + height
	r.assume("long seam", seam, "along the cover and up its bonnet")
	return seam
}

// edges are where the bonnet's cover meets the body's, or the four upright edges
// of a box.
func (r *ruler) edges() unit.Meter {
	if r.c.Kind == "pump" {
		return 4 * r.box().Height
	}
	diameter, height := r.bonnet()
	if height == 0 {
		return 0
	}
	return StretchOut(diameter, r.thickness())
}

// penetrations are the perimeters of those that are re-made.
func (r *ruler) penetrations(p places) []unit.Meter {
	if r.c.Places == nil && r.c.Penetrations == nil && len(r.c.Perimeters) == 0 {
		r.assume("penetrations", nil, "not counted: taken as none")
	}
	var out []unit.Meter
	for _, n := range p.penetrations {
		if n <= len(r.c.Perimeters) {
			out = append(out, r.c.Perimeters[n-1])
			continue
		}
		r.assume("perimeter of a penetration", assumedPerimeter, "a stem or a gauge")
		out = append(out, assumedPerimeter)
	}
	return out
}
