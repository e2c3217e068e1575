// Package vapor is the way of water vapor through a cover to the cold metal:
// resistances, the ingress through a whole facing and through an open seam,
// how soon that wets the insulation and what it does to its conductivity.
//
// The metal is an impermeable cold wall: whatever enters stays. A vapor
// pressure in the room above saturation at the metal, held long enough, ends
// wet however good the facing; facing and seams set only the speed. All of it
// is diffusion: air pumped through a seam (fan rooms, breathing covers) is not
// bounded by anything here, and a page that shows these numbers says so.
//
// No function returns an error. Outside its stated range, and for NaN, a
// function answers NaN. Each formula carries its source and how it came here:
// read, from memory, derived here or common practice, as [Tag].
package vapor

import (
	"math"

	"drylag/models/unit"
)

// positive tells whether x is a finite number above 0.
func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

// counts tells whether x is a finite number, 0 or above.
func counts(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }

// FacingResistance returns the resistance of a facing of permeance M:
//
//	Z = 1/M
//
// in m² s Pa/kg. M = 0 is tight: +Inf. NaN for a negative or infinite M.
// Source: ISO 12572, definition (from memory).
func FacingResistance(permeance unit.KgPerM2SPa) float64 {
	if !counts(float64(permeance)) {
		return math.NaN()
	}
	return 1 / float64(permeance)
}

// FlatResistance returns the resistance of a flat layer t thick, of
// permeability delta:
//
//	Z = t/δ
//
// in m² s Pa/kg. It is +Inf for δ = 0 (cellular glass) and NaN unless 0 < t
// and 0 <= δ. Source: ISO 12572, definition (from memory); in series checked on
// Cengel, Heat and Mass Transfer, Example 14-6 (read).
func FlatResistance(t unit.Meter, delta unit.KgPerMSPa) float64 {
	if !positive(float64(t)) || !counts(float64(delta)) {
		return math.NaN()
	}
	return float64(t) / float64(delta)
}

// CylinderFacingResistance returns the resistance, for one meter of pipe, of a
// facing of permeance M on a cylinder of radius outer:
//
//	Z = 1/(M · 2π·r_o)
//
// in m s Pa/kg. +Inf for M = 0; NaN unless 0 <= M and 0 < outer. Derived here
// from FacingResistance and the area 2π·r_o of one meter.
func CylinderFacingResistance(permeance unit.KgPerM2SPa, outer unit.Meter) float64 {
	if !positive(float64(outer)) {
		return math.NaN()
	}
	return FacingResistance(permeance) / (2 * math.Pi * float64(outer))
}

// CylinderResistance returns the resistance, for one meter of pipe, of the
// layer between the radii inner and outer, of permeability delta:
//
//	Z = ln(r_o/r_i)/(2π·δ)
//
// in m s Pa/kg. 0 for equal radii, else +Inf for δ = 0; NaN unless
// 0 < inner <= outer and 0 <= δ. The same form as heat conduction (Cengel
// chapter 14 takes it over from chapter 3; from memory).
func CylinderResistance(inner, outer unit.Meter, delta unit.KgPerMSPa) float64 {
	r, o := float64(inner), float64(outer)
	if !positive(r) || !positive(o) || r > o || !counts(float64(delta)) {
		return math.NaN()
	}
	if r == o {
		return 0
	}
	return math.Log(o/r) / (2 * math.Pi * float64(delta))
}

// SeriesFlux returns the steady flow of vapor per area from the pressure p1 to
// p2 through resistances in m² s Pa/kg one behind another:
//
//	g = (p_1 − p_2)/ΣZ
//
// Negative where it runs from 2 to 1. NaN for a negative pressure, a negative
// resistance, or a sum of 0 (none). Source: Cengel, Heat and Mass Transfer,
// Example 14-6 (read).
func SeriesFlux(p1, p2 unit.Pascal, resistances ...float64) unit.KgPerM2S {
	sum := 0.0
	for _, z := range resistances {
		if !(z >= 0) {
			return unit.KgPerM2S(math.NaN())
		}
		sum += z
	}
	if !counts(float64(p1)) || !counts(float64(p2)) || sum == 0 {
		return unit.KgPerM2S(math.NaN())
	}
	return unit.KgPerM2S(float64(p1-p2) / sum)
}
