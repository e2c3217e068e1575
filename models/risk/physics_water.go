package risk

import (
	"math"

	"drylag/models"
	"drylag/models/unit"
	"drylag/models/vapor"
)

// What is taken of seal and facing where the record says nothing: the most that
// chilled-water practice lets through (read), and a seam open by a millimeter
// over its whole length (judgement).
const (
	assumedPerm            = 0.1
	assumedGap  unit.Meter = 0.001
)

// soaked is the moisture by volume up to which time is counted.
const soaked unit.Fraction = 0.05

// secondsPerHour turns a flow over hours into a mass.
const secondsPerHour = 3600

// water works out what comes in by diffusion in a year: facing and seams whole,
// and with the long seam open. Conductance times the year's drive, so it holds
// where the metal is what wets.
func (w *physicist) water() {
	delta, assumed := permeabilityOf(w.s.Cover)
	perm := assumedPerm
	if w.s.Cover.PermeancePerm != nil {
		perm = *w.s.Cover.PermeancePerm
	} else {
		assumed = append(assumed, models.Assumption{What: "permeance of the facing", Value: assumedPerm * vapor.Perm,
			Why: "the most that chilled-water practice allows", Field: "permeance"})
	}
	facing := unit.KgPerM2SPa(perm) * vapor.Perm
	whole, none := w.conductance(delta, &facing), w.conductance(delta, nil)
	low, high := vapor.Defect{Length: w.part.Seam, Gap: assumedGap, Thickness: w.layer, Permeability: delta}.Conductances()
	drive := unit.Pascal(w.p.DrivePaH / w.p.Hours)
	open := vapor.Total(whole.Flow(drive), none.Flow(drive), vapor.Bounds{Low: low.Flow(drive), High: high.Flow(drive)})
	year := w.p.Hours * secondsPerHour
	gain := models.WaterGain{Perm: perm, SeamM: float64(w.part.Seam), GapMM: float64(assumedGap) * 1000, VolumeM3: float64(w.volume())}
	gain.IntactKg = float64(min(whole.Flow(drive), none.Flow(drive))) * year
	gain.LowKg, gain.HighKg = float64(open.Low)*year, float64(open.High)*year
	gain.Intact, gain.Late, gain.Early = w.yearsTo(gain, gain.IntactKg), w.yearsTo(gain, gain.LowKg), w.yearsTo(gain, gain.HighKg)
	gain.Assumed = append(assumed,
		models.Assumption{What: "length of the open seam", Value: w.part.Seam, Why: "the whole long seam"},
		models.Assumption{What: "its gap", Value: unit.Millimeter(assumedGap * 1000), Why: "judgement"})
	w.p.Water = &gain
}

// permeabilityOf is that of the filling. Without a published value still air is
// taken, the most that it can be.
func permeabilityOf(c models.Cover) (unit.KgPerMSPa, []models.Assumption) {
	i, found := vapor.InsulationOf(c.Insulation)
	if found && !i.UpperBound {
		return i.Permeability, nil
	}
	return vapor.StillAir, []models.Assumption{{What: "permeability of the filling", Value: vapor.StillAir,
		Why: "as still air, the most that it can be", Field: "insulation"}}
}

// conductance is what the cover lets through per pascal: its side as a cylinder
// and its two ends as flat layers. It is 0 for a tight filling or facing.
func (w *physicist) conductance(delta unit.KgPerMSPa, facing *unit.KgPerM2SPa) vapor.Conductance {
	inner := w.shape.Diameter / 2
	side := vapor.Cylinder{Inner: inner, Outer: inner + w.layer, Permeability: delta, Facing: facing}.Conductance(w.part.Length)
	z := vapor.FlatResistance(w.layer, delta)
	if facing != nil {
		z += vapor.FacingResistance(*facing)
	}
	return side + vapor.Conductance(2*float64(w.part.End)/z)
}

// volume is that of the insulation.
func (w *physicist) volume() unit.M3 {
	d, t := float64(w.shape.Diameter), float64(w.layer)
	ring := math.Pi / 4 * ((d+2*t)*(d+2*t) - d*d)
	return unit.M3(ring*float64(w.part.Length) + 2*float64(w.part.End)*t)
}

// yearsTo is how long the water that stays takes to wet 5 % of the volume: what
// comes in less what the year's dry hours take out again. Nil: never.
func (w *physicist) yearsTo(g models.WaterGain, kgAYear float64) *float64 {
	if w.p.NetPaH <= 0 || kgAYear <= 0 {
		return nil
	}
	stays := kgAYear * w.p.NetPaH / w.p.DrivePaH
	flow := unit.KgPerS(stays / (w.p.Hours * secondsPerHour))
	years := float64(vapor.TimeToMoisture(flow, unit.M3(g.VolumeM3), soaked)) / w.p.Hours
	if math.IsInf(years, 0) {
		return nil
	}
	return &years
}
