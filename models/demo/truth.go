package demo

import (
	"math"

	"drylag/models"
)

// part is one cover in truth: what the record does not know.
type part struct {
	sheet     models.CoverSheet
	house     *house
	hidden    float64 // quality of its own: times the scale of breach
	drive     float64 // vapor drive over the reference
	closed    models.Date
	wetFrom   models.Date // "" dry
	wetDays   int         // in its whole life
	rust      float64     // rusted area in percent
	lossMM    float64
	opened    int
	seal      models.SealState
	off       bool
	untouched bool        // nobody opens it in the six years
	back      models.Date // day of the visit that puts right what the last one left
}

const shape = 1.5 // of the Weibull time to breach

// breachScale is the scale of the time to breach in years.
func (p *part) breachScale() float64 {
	scale := 3.8
	mechanical := p.sheet.Cover.Method() == "mechanical"
	if mechanical {
		scale = 2.4
	}
	switch p.seal {
	case models.SealRepaired:
		scale *= 0.7
	case models.SealPoor:
		scale *= 0.4
		if mechanical {
			scale *= 0.6
		}
	}
	return scale * p.hidden * p.house.quality
}

// close starts a new stretch: the day on which the metal will turn wet is drawn
// now, and only an opening finds out.
func (p *part) close(c chance, on models.Date, seal models.SealState, dry bool) {
	p.closed, p.seal, p.wetFrom = on, seal, ""
	if !dry {
		p.wetFrom = on
		return
	}
	breach := p.breachScale() * math.Pow(-math.Log(1-c.Float64()), 1/shape)
	lag := 0.5 * math.Exp(0.5*c.NormFloat64()) / math.Min(2, math.Max(0.2, p.drive))
	if age := breach + lag; age < 40 {
		p.wetFrom = on.AddYears(age)
	}
}

// wet tells whether water is under the cover on a day.
func (p *part) wet(on models.Date) bool { return p.wetFrom != "" && p.wetFrom <= on }

// age carries rust and loss up to a day on which the metal is seen.
func (p *part) age(on models.Date) {
	if !p.wet(on) {
		return
	}
	days := on.DaysSince(max(p.wetFrom, p.closed))
	p.wetDays += days
	wetYears := float64(days) / models.DaysPerYear
	p.lossMM += 0.08 * wetYears
	p.rust = math.Min(70, p.rust+1.2*wetYears+0.1*p.rust*wetYears)
}

// moisture is what an inspector writes down: 3 % of wet covers are missed, 1 %
// of dry ones called damp.
func (p *part) moisture(c chance, on models.Date) string {
	called := c.yes(0.01)
	if p.wet(on) {
		called = c.yes(0.97)
	}
	switch {
	case called && p.wet(on):
		return pick(c, "damp", "damp", "beads", "wet", "wet", "pooled")
	case called:
		return "damp"
	case c.yes(0.35):
		return "sweat"
	}
	return "dry"
}

// leaves draws how the crew of that year leaves the seal.
func (p *part) leaves(c chance, year float64) models.SealState {
	bad := math.Max(0.2, 1-p.house.improves*year)
	switch c.weighted(1-0.20*bad, 0.13*bad, 0.07*bad) {
	case 1:
		return models.SealRepaired
	case 2:
		return models.SealPoor
	}
	return models.SealSound
}

// ri is the rust grade on ISO 4628-3 that an inspector chooses for an area.
func ri(area float64) string {
	for i, upTo := range []float64{0.02, 0.1, 0.7, 3, 16} {
		if area <= upTo {
			return []string{"Ri 0", "Ri 1", "Ri 2", "Ri 3", "Ri 4"}[i]
		}
	}
	return "Ri 5"
}
