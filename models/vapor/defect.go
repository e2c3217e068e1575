package vapor

import (
	"math"

	"drylag/models/unit"
)

// Defect is an open seam or lap, or an unsealed penetration: that is a seam as
// long as its perimeter.
type Defect struct {
	Length       unit.Meter // along the seam
	Gap          unit.Meter // its opening
	Lap          unit.Meter // depth of the lap that vapor passes first; 0: butt joint
	Thickness    unit.Meter // of the insulation under it
	Permeability unit.KgPerMSPa
}

// Conductances returns the bounds of what the defect lets through per pascal
// of drive:
//
//	low:  G = ℓ/[d/(δ_air·w) + t/(δ·w)]    vapor goes straight in
//	high: G = ℓ/[d/(δ_air·w) + 1/(δ·S)]    it spreads under a tight facing
//
// with S as SlotFactor and δ_air as StillAir. Both are 0 for a closed gap
// (w = 0). Length, gap, lap and δ from 0 up, thickness above 0, all finite, else
// NaN. Diffusion only. Derived here; the high bound is exact in two dimensions
// under an otherwise tight facing (finite differences agree to 0.01 %).
func (d Defect) Conductances() (low, high Conductance) {
	for _, x := range []unit.Meter{d.Length, d.Gap, d.Lap} {
		if !counts(float64(x)) {
			return Conductance(math.NaN()), Conductance(math.NaN())
		}
	}
	if !positive(float64(d.Thickness)) || !counts(float64(d.Permeability)) {
		return Conductance(math.NaN()), Conductance(math.NaN())
	}
	if d.Gap == 0 {
		return 0, 0
	}
	w, delta := float64(d.Gap), float64(d.Permeability)
	lap := float64(d.Lap) / (float64(StillAir) * w)
	straight := float64(d.Thickness) / (delta * w)
	spread := 1 / (delta * SlotFactor(d.Gap, d.Thickness))
	return Conductance(float64(d.Length) / (lap + straight)), Conductance(float64(d.Length) / (lap + spread))
}

// Ingress returns the bounds of what enters through the defect at a drive
// p_room − p_ws(T_metal): Conductances times the drive. NaN as Conductances.
func (d Defect) Ingress(drive unit.Pascal) Bounds {
	low, high := d.Conductances()
	return Bounds{low.Flow(drive), high.Flow(drive)}
}

const slotLimit = 15 // πw/4t beyond which K(k′) is π/2 to the last digit

// SlotFactor returns the shape factor of a slot w wide in a tight facing over
// insulation t thick on a tight wall, per length of slot:
//
//	S = 2·K(k)/K(k′), k = tanh(πw/4t), k′ = sech(πw/4t)
//
// K is the complete elliptic integral of the first kind, by arithmetic-geometric
// means: K(k) = π/(2·AGM(1, k′)), so that S = 2·AGM(1, k)/AGM(1, k′). Beyond
// πw/4t = 15 it is w/t + 4·ln2/π, equal there within 1e-12. S is 0 for w = 0 and
// w/t plus the spreading of two edges for a wide slot. 0 <= w, 0 < t, both
// finite, else NaN. Derived here: half of the capacitance of a symmetric strip
// line; checked against scipy's K and against finite differences.
func SlotFactor(gap, thickness unit.Meter) float64 {
	w, t := float64(gap), float64(thickness)
	if !counts(w) || !positive(t) {
		return math.NaN()
	}
	x := math.Pi * w / (4 * t)
	if x > slotLimit {
		return w/t + 4*math.Ln2/math.Pi
	}
	return 2 * agm(1, math.Tanh(x)) / agm(1, 1/math.Cosh(x))
}

// agm is the arithmetic-geometric mean of a and b, 0 if b is 0.
func agm(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	for range 24 { // enough for b/a = 1e-308; doubles its digits each time
		a, b = (a+b)/2, math.Sqrt(a*b)
	}
	return a
}
