package risk

import (
	"math"
	"strings"

	"drylag/models"
	"drylag/models/heat"
	"drylag/models/unit"
)

// fillings are the defaults of heat.Materials by the record's word; the needle
// mat is the usual fill of sewn covers.
var fillings = map[string]string{
	"": "E-glass needle mat", "fibrous": "E-glass needle mat", "nitrile": "nitrile rubber", "polyethylene": "polyethylene",
	"cellular_glass": "cellular glass", "foam": "PUR or PIR foam",
}

// conductivityOf is the recorded conductivity, taken for all temperatures, or
// that of a usual material of the filling.
func conductivityOf(c models.Cover) heat.Conductivity {
	if c.Conductivity != nil {
		return heat.Conductivity{AtZero: unit.WPerMK(*c.Conductivity)}
	}
	for _, m := range heat.Materials() {
		if m.Name == fillings[c.Insulation] {
			return m.K
		}
	}
	return heat.Conductivity{AtZero: unit.WPerMK(math.NaN())}
}

// emissivityOf is that of a usual outside: bright metal where the facing's name
// says metal, for a bright surface is colder; else fabric.
func emissivityOf(c models.Cover) unit.Fraction {
	fabric, bright := heat.Outers()[0], heat.Outers()[len(heat.Outers())-1]
	facing := strings.ToLower(c.Facing)
	for _, word := range []string{"foil", "alumin", "stainless", "metal"} {
		if strings.Contains(facing, word) {
			return bright.Low
		}
	}
	return fabric.Low
}

// coverAssumed lists what is taken of a cover that the record does not say.
func coverAssumed(c models.Cover, k heat.Conductivity, emissivity unit.Fraction) []models.Assumption {
	var out []models.Assumption
	if c.Conductivity == nil {
		why := "usual for " + fillings[c.Insulation]
		if c.Insulation == "" {
			why = "the filling is not recorded: usual for sewn covers, " + fillings[""]
		}
		out = append(out, models.Assumption{What: "conductivity at 24 °C", Value: k.At(24), Why: why, Field: "conductivity"})
	}
	why := "usual for painted, fabric or silicone facings"
	if emissivity < 0.5 {
		why = "bright metal, as the facing is described; a dull one sweats less"
	}
	return append(out, models.Assumption{What: "emissivity of the outside", Value: emissivity, Why: why, Field: "facing"},
		models.Assumption{What: "air: still", Why: "a quiet room; moving air keeps a surface drier"})
}

// The published design air for the thickness of insulation on cold pipes:
// 85 °F and 85 % (read in chilled-water practice).
const (
	designC  = (85.0 - 32) / 1.8
	designRH = 0.85
)

// dry works out the least thickness for the room's own damp air and for the
// published design air.
func (w *physicist) dry() {
	if i := w.y.damp; i >= 0 {
		w.dryIn(models.StayDry{Own: true, AirC: float64(w.y.hours[i].T), DewC: w.y.dewC[i]})
	}
	w.dryIn(models.StayDry{AirC: designC, DewC: designDewC()})
}

func (w *physicist) dryIn(d models.StayDry) {
	least := w.shape.LeastThickness(w.k, unit.Celsius(d.DewC), heat.Room{Air: unit.Celsius(d.AirC), Pressure: w.y.pressure})
	switch d.Unattainable = least.Unattainable; {
	case least.Unattainable:
	case math.IsNaN(float64(least.Thickness)): // out of the range of the formula
		return
	default:
		d.LeastMM = new(float64(least.Thickness) * 1000)
	}
	w.p.Dry = append(w.p.Dry, d)
}

// fitted sets the surface of the cover that is fitted beside the least
// thicknesses.
func (w *physicist) fitted() {
	for i := range w.p.Dry {
		d := &w.p.Dry[i]
		out := w.shape.Solve(heat.Room{Air: unit.Celsius(d.AirC), Pressure: w.y.pressure})
		if surface := float64(out.Surface); !math.IsNaN(surface) {
			d.SurfaceC = &surface
		}
	}
}
