package risk

import (
	"math"

	"drylag/models"
	"drylag/models/seal"
)

// Lesson is what one record teaches the wetness model, or why it teaches
// nothing.
type Lesson struct {
	seal.Episode
	Building models.ID
	Cover    models.ID
	Tag      string      // of the component
	Opening  models.ID   // root of the opening that ended it, None: an earlier record
	On       models.Date // day on which it ended
	LeftOut  string      // why it teaches nothing, in words; "" it teaches
}

// Lessons are what one cover's record teaches (learning.md 1): each time from a
// dry closing to the next record that says wet or dry, in order. A record that
// says neither, a cover closed damp and one whose closing day is not known teach
// nothing, and say so. A dry sight port in between is the last age at which it
// was known dry. The error is that of AirAssumed.
func Lessons(in Input) ([]Lesson, error) {
	if in.Air.Hours == 0 {
		assumed, err := AirAssumed(in.Sheet)
		if err != nil {
			return nil, err
		}
		in.Air = assumed
	}
	t := lifeOf(in)
	var out []Lesson
	for i, e := range t.episodes {
		if !e.ended {
			continue
		}
		l := lesson(in, e)
		switch {
		case e.found == "":
			l.LeftOut = "the record does not say wet or dry"
		case e.wet:
			l.LeftOut = "closed damp or wet before: it was wet from the start"
		case i == 0 && t.flagged && e.from == t.start:
			l.LeftOut = "nobody knows since when the cover was closed"
		}
		out = append(out, l)
	}
	return out, nil
}

func lesson(in Input, e episode) Lesson {
	x := seal.Episode{ID: string(in.Sheet.Cover.ID) + " " + string(e.to), Covariates: covariates(in, e), Dry: e.years(), Wet: math.Inf(1)}
	if e.found == "wet" {
		x.Dry, x.Wet = 0, e.years()
		if port := lastDryPort(in.Looks, e); port != "" {
			x.Dry = port.YearsSince(e.from)
		}
	}
	return Lesson{Episode: x, Building: in.Sheet.Building.ID, Cover: in.Sheet.Cover.ID, Tag: in.Sheet.Component.Tag, Opening: e.by, On: e.to}
}

// Years is the time under cover in years.
func (l Lesson) Years() float64 {
	if math.IsInf(l.Wet, 1) {
		return l.Dry
	}
	return l.Wet
}

// lastDryPort is the last day within an episode on which a look from outside
// saw its sight port dry.
func lastDryPort(looks []models.Look, e episode) models.Date {
	var last models.Date
	for _, l := range looks {
		if l.Port == "dry" && l.On > e.from && l.On < e.to {
			last = max(last, l.On)
		}
	}
	return last
}
