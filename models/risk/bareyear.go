package risk

import (
	"math"

	"drylag/models"
	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
)

// Bare works out what a part without its cover takes from its room in each
// month, hour by hour of the room's year while cold water runs through it
// (heat.Bare). What the record does not say and cannot be assumed is in its Gaps.
// The error is Invalid and names what cannot be worked out.
func Bare(s models.CoverSheet, y *RoomYear) (models.BareYear, error) {
	out := models.BareYear{Air: y.Source, AirAssumed: y.Assumed, Tolerance: heat.BareTolerance}
	out.MetalC, out.MetalAssumed = s.ServiceC()
	if s.Component.NPS == nil {
		out.Gaps = []models.Gap{{Of: "cover", Field: "nps", Missing: "the nominal pipe size", For: "its heat and its sweat"}}
		return out, nil
	}
	w := physicist{s: s, y: y, p: &models.Physics{MetalC: out.MetalC}}
	if w.size(); w.p.Part == nil {
		out.Gaps = w.p.Gaps
		return out, nil
	}
	outer := metalOf(s.Cover)
	out.AreaM2 = float64(w.part.Metal)
	out.Assumed = append(bareAssumed(outer), w.p.Part.Assumed...)
	bare := heat.Bare{Fluid: w.shape.Fluid, Shape: heat.HorizontalCylinder, Size: w.shape.Diameter, Emissivity: outer.Low}
	out.Months = y.bareMonths(bare, out.AreaM2)
	for _, m := range out.Months {
		if math.IsNaN(m.KWh + m.WaterKg) {
			return out, models.Errorf(models.Invalid, "The heat of the bare part could not be worked out from what is recorded.")
		}
	}
	return out, nil
}

// bareMonths sums the hours with cold water over the metal's area.
func (y *RoomYear) bareMonths(b heat.Bare, areaM2 float64) [12]models.BareMonth {
	var months [12]models.BareMonth
	for i, h := range y.hours {
		if y.days[i/24] != models.ColdWater {
			continue
		}
		got := b.Solve(heat.Room{Air: h.T, Pressure: y.pressure}, min(h.Vapor, air.SatPressure(h.T)))
		m := &months[climate.MonthOfHour(i, len(y.hours))-1]
		m.ColdDays += 1.0 / 24
		m.KWh += math.Max(0, float64(got.Total())) * areaM2 / 1000 // math.Max keeps NaN
		m.WaterKg += got.Water * areaM2 * 3600
	}
	return months
}

// metalOf is the outside of a bare part: painted where a coating is recorded,
// else oxidized steel.
func metalOf(c models.Cover) heat.Outer {
	if c.CoatedOn != "" {
		return heat.Outers()[0]
	}
	return heat.Outers()[1]
}

// bareAssumed is what is taken of every bare part.
func bareAssumed(outer heat.Outer) []models.Assumption {
	return []models.Assumption{
		{What: "emissivity of the metal", Value: outer.Low, Why: "usual for " + outer.Name},
		{What: "air: still", Why: "a quiet room; moving air brings more heat"},
		{What: "metal: as cold as its water", Why: "on the safe side"},
	}
}
