package register

import (
	"math"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/metal"
)

// WallPoint is one point of a wall with what its readings show.
type WallPoint struct {
	Name     string
	Readings []models.ThicknessReading // oldest first
	ErrorMM  float64                   // a reading may be off by so much either way, 90 %

	Rate  *models.Range // loss in mm a year; nil: the readings show none
	Trend []WallDay     // from the first reading on; empty without a rate
	Meets WallMeets
}

// WallDay is the trend of a wall and its interval on one day, in mm.
type WallDay struct {
	On           models.Date
	Low, Mid, Hi float64
}

// WallMeets is when the trend reaches the required thickness: the day, and the
// ends of its 90 % interval. "" is not within wallAhead.
type WallMeets struct{ On, Early, Late models.Date }

// wallAhead is how many years ahead of the last reading a trend is drawn
// (judgement).
const wallAhead = 15.0

// WallPoints are the points of a cover's wall by name. The rate is the one that
// scores reckon with (metal.MeasuredRate); the trend runs from the last reading
// with that rate and its interval, and back to the first reading. gaugeErrorMM
// is the policy's standard error of one reading.
func WallPoints(file models.CoverFile, gaugeErrorMM float64) []WallPoint {
	var out []WallPoint
	at := map[string]int{}
	for _, r := range file.Readings {
		i, have := at[r.Point]
		if !have {
			i = len(out)
			at[r.Point] = i
			out = append(out, WallPoint{Name: r.Point, ErrorMM: z90 * gaugeErrorMM})
		}
		out[i].Readings = append(out[i].Readings, r)
	}
	var required *float64
	if file.Score != nil {
		required = file.Score.RequiredMM
	}
	for i := range out {
		out[i].follow(gaugeErrorMM, required)
	}
	slices.SortFunc(out, func(a, b WallPoint) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// follow finds the rate of the readings and draws it out.
func (p *WallPoint) follow(gaugeErrorMM float64, required *float64) {
	readings := make([]metal.Reading, len(p.Readings))
	for i, r := range p.Readings {
		readings[i] = metal.Reading{Year: r.On.YearsSince(p.Readings[0].On), MM: r.MM()}
	}
	m, ok := metal.MeasuredRate(readings, gaugeErrorMM)
	if !ok {
		return
	}
	p.Rate = &models.Range{Mid: m.Rate, Lo: m.Low, Hi: m.High}
	last := p.Readings[len(p.Readings)-1]
	ahead := wallAhead
	if required != nil {
		p.Meets = WallMeets{On: p.meets(*required, m.Rate), Early: p.meets(*required, m.High), Late: p.meets(*required, m.Low)}
		if p.Meets.On != "" {
			ahead = p.Meets.On.YearsSince(last.On) + 1
		}
	}
	p.Trend = []WallDay{p.day(p.Readings[0].On), p.day(last.On), p.day(last.On.AddYears(ahead))}
}

// day is the trend on a day. Its interval opens from the last reading on, and
// is that of a single reading before.
func (p *WallPoint) day(on models.Date) WallDay {
	last := p.Readings[len(p.Readings)-1]
	years := on.YearsSince(last.On)
	d := WallDay{On: on, Mid: last.MM() - p.Rate.Mid*years}
	d.Low, d.Hi = d.Mid-p.ErrorMM, d.Mid+p.ErrorMM
	if years > 0 {
		d.Low = min(d.Low, last.MM()-p.Rate.Hi*years)
		d.Hi = max(d.Hi, last.MM()-p.Rate.Lo*years)
	}
	return d
}

// meets is when the wall reaches what is required at a rate, "" where it does
// not within wallAhead. A wall that is there already met it at the last reading.
func (p *WallPoint) meets(required, rate float64) models.Date {
	last := p.Readings[len(p.Readings)-1]
	years := metal.RemainingLife(last.MM(), required, rate)
	if math.IsNaN(years) || years > wallAhead {
		return ""
	}
	return last.On.AddYears(years)
}
