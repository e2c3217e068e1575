package risk

import (
	"drylag/models"
	"drylag/models/metal"
	"drylag/models/takeoff"
	"drylag/models/unit"
)

const (
	meterPerInch = 0.0254
	ownPipe      = 14 // NPS from which the outer diameter is the size itself (ASME B36.10M)
)

// closingOf puts a cover into the words of takeoff, with the sizes that
// standards give for its nominal size. guessed is a pipe diameter that the
// table does not hold, nil otherwise.
func closingOf(s models.CoverSheet, w Remake) (c takeoff.Closing, guessed *models.Assumption) {
	c = takeoff.Closing{Kind: s.Component.Kind, Connection: s.Component.Connection, Closure: s.Cover.Closure,
		Penetrations: s.Cover.Penetrations, NewBlanket: w.Blanket}
	for _, p := range w.Places {
		c.Places = append(c.Places, string(p))
	}
	if s.Cover.ThicknessMM != nil {
		t := unit.Meter(*s.Cover.ThicknessMM / 1000)
		c.Thickness = &t
	}
	if w.Coat {
		c.Coat = &takeoff.Coat{Coating: takeoff.Coating{Film: assumedFilm, VolumeSolids: assumedSolids, Loss: takeoff.BrushLoss, Coats: assumedCoats}}
	}
	if s.Component.NPS != nil {
		c.Standard, guessed = standardOf(*s.Component.NPS)
	}
	return c, guessed
}

// standardOf are the sizes of ASME B36.10M, B16.5 class 150 and B16.10 for a
// nominal size.
func standardOf(nps float64) (takeoff.Standard, *models.Assumption) {
	out := takeoff.Standard{}
	od, guessed := pipeOD(nps)
	out.Pipe = &od
	if f, ok := metal.FlangeOf(nps); ok {
		d, t := unit.Meter(f.ODMM/1000), unit.Meter(f.ThicknessMM/1000)
		out.Flange, out.FlangeThickness = &d, &t
	}
	if mm, ok := metal.GateFaceToFace(nps); ok {
		l := unit.Meter(mm / 1000)
		out.GateLength = &l
	}
	return out, guessed
}

// pipeOD is the outer diameter of a nominal size: from the table, the size
// itself from NPS 14 up, else on the line through the neighbors in the table,
// which is then listed as assumed.
func pipeOD(nps float64) (unit.Meter, *models.Assumption) {
	if p, ok := metal.PipeOf(nps, "STD"); ok {
		return unit.Meter(p.ODMM / 1000), nil
	}
	if nps >= ownPipe {
		return unit.Meter(nps * meterPerInch), nil
	}
	sizes := metal.PipeSizes()
	i := 1
	for i < len(sizes)-1 && sizes[i] < nps {
		i++
	}
	low, _ := metal.PipeOf(sizes[i-1], "STD")
	high, _ := metal.PipeOf(sizes[i], "STD")
	od := low.ODMM + (high.ODMM-low.ODMM)*(nps-sizes[i-1])/(sizes[i]-sizes[i-1])
	return unit.Meter(od / 1000), &models.Assumption{What: "pipe diameter", Value: unit.Millimeter(od), Why: "between its neighbors in the table", Field: "nps"}
}

// fields say where what takeoff assumes can be entered in the record.
var fields = map[string]string{
	"insulation thickness": "thickness", "pipe diameter": "nps", "connection": "connection", "penetrations": "penetrations",
}

// assumedOf turns takeoff's assumptions into the record's. Lengths below half a
// meter are put in mm, as they are read on a rule.
func assumedOf(list []takeoff.Assumption, more *models.Assumption) []models.Assumption {
	var out []models.Assumption
	for _, a := range list {
		value := a.Value
		if m, ok := value.(unit.Meter); ok && m < 0.5 {
			value = unit.Millimeter(m * 1000)
		}
		out = append(out, models.Assumption{What: a.What, Value: value, Why: a.Why, Field: fields[a.What]})
	}
	if more != nil {
		out = append(out, *more)
	}
	return out
}
