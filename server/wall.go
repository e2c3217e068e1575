package server

import (
	"fmt"
	"slices"

	"drylag/models"
	"drylag/reports"
)

// wallPoint is one point of the wall with its readings and their picture.
type wallPoint struct {
	Name     string
	Readings []models.ThicknessReading // oldest first
	Plot     picture
	Says     string
}

// gaugeSpread is 1.645 times the default standard error of one reading, in mm
// (judgement), drawn at each reading.
const gaugeSpread = 1.645 * 0.13

// wallPoints draws the wall at each point that was ever read, in the reader's
// unit.
func wallPoints(file models.CoverFile, units string) ([]wallPoint, error) {
	byPoint := map[string][]models.ThicknessReading{}
	var names []string
	for _, r := range file.Readings {
		if byPoint[r.Point] == nil {
			names = append(names, r.Point)
		}
		byPoint[r.Point] = append(byPoint[r.Point], r)
	}
	slices.Sort(names)
	var out []wallPoint
	for i, name := range names {
		pt := wallPoint{Name: name, Readings: byPoint[name]}
		last := pt.Readings[len(pt.Readings)-1]
		pt.Says = fmt.Sprintf("%s: %s on %s.", name, wallWords(last.MM(), units), last.On.Say())
		plot := thicknessPlot(fmt.Sprintf("wall-%d", i+1), pt, file.Score, units)
		var err error
		if pt.Plot, err = drawn(&plot.Frame, func() reports.Plot { return plot }); err != nil {
			return nil, err
		}
		out = append(out, pt)
	}
	return out, nil
}

func thicknessPlot(id string, pt wallPoint, score *models.Score, units string) reports.ThicknessPlot {
	unit, decimals, per := "mm", 1, 1.0
	if units == "IP" {
		unit, decimals, per = "in", 3, 1/25.4
	}
	plot := reports.ThicknessPlot{Frame: reports.Frame{ID: id, Title: "Wall at " + pt.Name, Desc: pt.Says}, Unit: unit, Decimals: decimals}
	for _, r := range pt.Readings {
		plot.Readings = append(plot.Readings, reports.WallReading{At: r.On.Time(), Wall: r.MM() * per, Error: gaugeSpread * per})
	}
	if score != nil && score.RequiredMM != nil {
		required := *score.RequiredMM * per
		plot.Required = &required
	}
	return plot
}

// wallWords is a wall in the reader's unit.
func wallWords(mm float64, units string) string {
	if units == "IP" {
		return fmt.Sprintf("%.3f in", mm/25.4)
	}
	return fmt.Sprintf("%.2f mm", mm)
}
