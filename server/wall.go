package server

import (
	"fmt"

	"drylag/models"
	"drylag/models/register"
	"drylag/reports"
)

// wallPlot is one point of the wall with its picture.
type wallPlot struct {
	register.WallPoint
	Plot picture
	Says string
}

// wallPlots draws the wall at each point that was ever read, in the reader's
// units.
func wallPlots(file models.CoverFile, gaugeErrorMM float64, units string) ([]wallPlot, error) {
	var out []wallPlot
	for i, pt := range register.WallPoints(file, gaugeErrorMM) {
		w := wallPlot{WallPoint: pt, Says: wallSays(pt, units)}
		plot := thicknessPlot(pt, file.Score, units)
		plot.Frame = reports.Frame{ID: fmt.Sprintf("wall-%d", i+1), Title: "Wall at " + pt.Name, Desc: w.Says}
		var err error
		if w.Plot, err = drawn(&plot.Frame, func() reports.Plot { return plot }); err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

// wallSays is the sentence of a point: its last reading, what it loses, when it
// meets the required thickness.
func wallSays(pt register.WallPoint, units string) string {
	last := pt.Readings[len(pt.Readings)-1]
	says := fmt.Sprintf("%s: %s on %s", capital(pt.Name), asThick.show(units, last.MM()), last.On.Say())
	switch {
	case len(pt.Readings) == 1:
		return says + ", read once, so no loss can be stated."
	case pt.Rate == nil:
		return says + "; no loss beyond gauge error since " + pt.Readings[0].On.Say() + "."
	case pt.Meets.On == "":
		return says + fmt.Sprintf(", losing about %s; the required thickness is not in sight.", asRate.show(units, pt.Rate.Mid))
	}
	return says + fmt.Sprintf(", losing about %s; it meets the required thickness about %s%s.",
		asRate.show(units, pt.Rate.Mid), pt.Meets.On.Month(), betweenWords(pt.Meets))
}

// betweenWords is the interval of that month.
func betweenWords(m register.WallMeets) string {
	switch {
	case m.Early != "" && m.Late != "":
		return fmt.Sprintf(" (between %d and %d)", m.Early.Year(), m.Late.Year())
	case m.Early != "":
		return fmt.Sprintf(" (%d at the earliest)", m.Early.Year())
	}
	return ""
}

// thicknessPlot fills the chart of a point.
func thicknessPlot(pt register.WallPoint, score *models.Score, units string) reports.ThicknessPlot {
	in := func(mm float64) float64 { return asThick.kind.In(systemOf(units), mm/asThick.perSI) }
	plot := reports.ThicknessPlot{Unit: asThick.unit(units), Decimals: 1}
	if plot.Unit == "in" {
		plot.Decimals = 3
	}
	for _, r := range pt.Readings {
		plot.Readings = append(plot.Readings, reports.WallReading{At: r.On.Time(), Wall: in(r.MM()), Error: in(pt.ErrorMM)})
	}
	for _, d := range pt.Trend {
		plot.Trend = append(plot.Trend, reports.TrendPoint{At: d.On.Time(), Low: in(d.Low), Mid: in(d.Mid), High: in(d.Hi)})
	}
	if score != nil && score.RequiredMM != nil {
		plot.Required = new(in(*score.RequiredMM))
		plot.Crossing = crossingOf(pt.Meets)
	}
	return plot
}

func crossingOf(m register.WallMeets) *reports.Crossing {
	if m.On == "" {
		return nil
	}
	out := &reports.Crossing{At: m.On.Time()}
	if m.Early != "" {
		out.Early = new(m.Early.Time())
	}
	if m.Late != "" {
		out.Late = new(m.Late.Time())
	}
	return out
}
