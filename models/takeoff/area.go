// Package takeoff says what a cover takes: areas, tape, sealant and coating,
// and what one re-closing of one cover needs.
//
// It takes and gives plain quantities and never sees a record. No function
// returns an error: outside its stated range, and for NaN, it answers NaN.
// Sizes are measured over the outside of the finished cover, cut-outs below
// 1 m² are not taken off and end caps are counted (TIASA handbook 2001, section
// 5.3, read). Unless a comment names another source, a rule is common practice.
package takeoff

import (
	"math"

	"drylag/models/unit"
)

// counts tells whether every size is a finite number, 0 or above.
func counts[Q ~float64](sizes ...Q) bool {
	for _, x := range sizes {
		if !(x >= 0) || math.IsInf(float64(x), 1) {
			return false
		}
	}
	return true
}

// StretchOut returns the girth of a cover with insulation t thick on a
// diameter d:
//
//	C = π·(d + 2t)
//
// t is the thickness as installed, compressed. From 0 up, else NaN.
func StretchOut(d, t unit.Meter) unit.Meter {
	if !counts(d, t) {
		return unit.Meter(math.NaN())
	}
	return math.Pi * (d + 2*t)
}

// Wrap is a plain cylinder laid round a diameter: pipe, or a flexible
// connector. Its ends are not in its area.
type Wrap struct{ Diameter, Length, Thickness, Lap unit.Meter }

// Area returns (C + lap)·L, C as StretchOut. Sizes from 0 up, else NaN.
func (w Wrap) Area() unit.M2 {
	if !counts(w.Length, w.Lap) {
		return unit.M2(math.NaN())
	}
	return unit.M2((StretchOut(w.Diameter, w.Thickness) + w.Lap) * w.Length)
}

// EndCap returns the ring that closes a cover of outer diameter cover on a pipe:
//
//	A = π/4·(D_c² − D_p²)
//
// 0 <= pipe <= cover, else NaN.
func EndCap(cover, pipe unit.Meter) unit.M2 {
	if !counts(pipe, cover-pipe) {
		return unit.M2(math.NaN())
	}
	return unit.M2(math.Pi / 4 * (cover*cover - pipe*pipe))
}

// FlangePair is the cover of two bolted flanges: Width is that of the finished
// cover, Pipe the outer diameter of the pipe.
type FlangePair struct{ Flange, Width, Thickness, Pipe unit.Meter }

// Area returns π·D_c·w + 2 end caps, D_c = flange + 2t. Sizes from 0 up and the
// pipe within the cover, else NaN.
func (f FlangePair) Area() unit.M2 {
	wrap := Wrap{Diameter: f.Flange, Length: f.Width, Thickness: f.Thickness}
	return wrap.Area() + 2*EndCap(f.Flange+2*f.Thickness, f.Pipe)
}

// Valve is the cover of a valve with its bonnet.
type Valve struct {
	Flange, FaceToFace   unit.Meter // of the bare valve
	Bonnet, BonnetHeight unit.Meter // diameter, and height out of the body's cover; 0: none
	Thickness            unit.Meter
	Pipe                 unit.Meter // outer diameter
}

// Area returns the outside of the cover:
//
//	A = π·D_c·L + 2 end caps + π·d_b·h_b
//
// with D_c = flange + 2t, L = face-to-face + 2t, d_b = bonnet + 2t; the top of
// the bonnet equals the hole that it leaves. Sizes from 0 up and the pipe within
// the cover, else NaN.
func (v Valve) Area() unit.M2 {
	if !counts(v.BonnetHeight) {
		return unit.M2(math.NaN())
	}
	body := FlangePair{Flange: v.Flange, Width: v.FaceToFace + 2*v.Thickness, Thickness: v.Thickness, Pipe: v.Pipe}
	bonnet := StretchOut(v.Bonnet, v.Thickness) * v.BonnetHeight
	return body.Area() + unit.M2(bonnet)
}

// Strainer is the cover of a strainer with its basket leg.
type Strainer struct {
	Flange, FaceToFace unit.Meter // of the bare strainer
	Leg, LegLength     unit.Meter // diameter, and length out of the body's cover
	Thickness          unit.Meter
	Pipe               unit.Meter // outer diameter
}

// Area is that of a valve whose bonnet is the leg.
func (s Strainer) Area() unit.M2 {
	return Valve{s.Flange, s.FaceToFace, s.Leg, s.LegLength, s.Thickness, s.Pipe}.Area()
}

// Connector is the cover of a flexible connector: a cylinder over its flanges.
type Connector struct{ Flange, FaceToFace, Thickness, Pipe unit.Meter }

// Area is that of a valve without a bonnet.
func (c Connector) Area() unit.M2 {
	return Valve{Flange: c.Flange, FaceToFace: c.FaceToFace, Thickness: c.Thickness, Pipe: c.Pipe}.Area()
}

// Box is the cover of a pump or a casing, measured outside.
type Box struct {
	Length, Width, Height unit.Meter
	OpenBottom            bool
}

// Area returns 2·(l + w)·h + 2·l·w, or one l·w with an open bottom. Sizes from 0
// up, else NaN.
func (b Box) Area() unit.M2 {
	if !counts(b.Length, b.Width, b.Height) {
		return unit.M2(math.NaN())
	}
	lids := unit.Meter(2)
	if b.OpenBottom {
		lids = 1
	}
	return unit.M2(2*(b.Length+b.Width)*b.Height + lids*b.Length*b.Width)
}
