package register

import (
	"math"

	"drylag/models"
	"drylag/models/metal"
)

// tapeWaste is the share of tape lost on fittings (common practice, no source).
const tapeWaste = 0.20

// Sizes taken where the record has none (judgement, for estimates only).
const (
	assumedCoverMM  = 25.0 // insulation thickness
	assumedNPS      = 4.0
	stemPerimeterMM = 150.0 // one penetration
)

// tapeMeters estimates the tape that closing one cover takes, in m:
//
//	(2·π·(D + 2t) + (L + 2t) + n·p) · (1 + waste)
//
// with D the diameter under the cover, t its thickness, L the length between
// its ends and n penetrations of perimeter p. It is 0 for a cover closed
// without tape. Sizes that the record lacks are assumed; it is an estimate.
func tapeMeters(s models.CoverSheet) float64 {
	if s.Cover.Closure != "" && !s.Cover.Taped() {
		return 0
	}
	nps, t, n := assumedNPS, assumedCoverMM, 0.0
	if s.Component.NPS != nil {
		nps = *s.Component.NPS
	}
	if s.Cover.ThicknessMM != nil {
		t = *s.Cover.ThicknessMM
	}
	if s.Cover.Penetrations != nil {
		n = float64(*s.Cover.Penetrations)
	}
	d, l := underCover(s.Component, nps)
	return (2*math.Pi*(d+2*t) + l + 2*t + n*stemPerimeterMM) * (1 + tapeWaste) / 1000
}

// underCover is the diameter and the length in mm that a cover spans: over the
// flanges where the part is flanged (ASME B16.5 class 150), else over the pipe
// (ASME B36.10M); face to face as a gate valve (ASME B16.10), three times that
// for a pump, two flanges for a flange pair.
func underCover(c models.Component, nps float64) (diameter, length float64) {
	const inch = 25.4
	diameter = 1.1 * nps * inch
	if pipe, ok := metal.PipeOf(nps, "STD"); ok {
		diameter = pipe.ODMM
	}
	length = 2 * diameter
	if face, ok := metal.GateFaceToFace(nps); ok {
		length = face
	}
	flange, flanged := metal.FlangeOf(nps)
	if flanged && (c.Connection == "" || c.Connection == "flanged" || c.Kind == "flange_pair") {
		diameter = flange.ODMM
	}
	switch {
	case c.Kind == "pump":
		length *= 3
	case c.Kind == "flange_pair" && flanged:
		length = 2 * flange.ThicknessMM
	}
	return diameter, length
}
