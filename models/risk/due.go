package risk

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"drylag/models"
	"drylag/models/metal"
)

// openSoonDays is how near a must date is "Open now" (risk.md 6).
const openSoonDays = 30

// dueDates lists every date that holds for the cover, earliest first.
func dueDates(in Input, t timeline, w wall, worth *models.DueDate) []models.DueDate {
	var dates []models.DueDate
	add := func(rule models.DueRule, on models.Date, why string) {
		if on != "" {
			dates = append(dates, models.DueDate{Rule: rule, On: on, Why: why})
		}
	}
	if t.condition == models.Bare {
		since := in.Sheet.Cover.OffSince
		if since == "" {
			since = in.Today
		}
		add(models.RuleOff, since, "off since "+since.Say()+"; the metal sweats and rusts until the cover is put back")
	}
	dates = append(dates, t.reports...)
	dates = append(dates, followUpDates(in, t)...)
	thicknessDates(in, w, add)
	if t.condition == models.NeverSeen {
		years := firstLookYears(in)
		on := t.start.AddYears(years * in.FirstLookRank)
		add(models.RuleFirstLook, on, fmt.Sprintf("never seen: the first-look program of %g years opens it by its rank", years))
	} else if years, say := limitYears(in); t.condition != models.Bare {
		from := max(t.start, t.lastOpen)
		add(models.RuleLimit, from.AddYears(years), fmt.Sprintf("%g years after %s, %s", years, from.Say(), say))
	}
	if worth != nil {
		dates = append(dates, *worth)
	}
	sort.SliceStable(dates, func(i, j int) bool { return dates[i].On < dates[j].On })
	return dates
}

// followUpDates are the open follow-ups that keep a cover reported.
func followUpDates(in Input, t timeline) []models.DueDate {
	var out []models.DueDate
	for _, f := range in.FollowUps {
		if !f.Open() || (f.Kind == "dry" && len(t.reports) > 0) {
			continue
		}
		switch f.Kind {
		case "look", "engineer", "dry":
			out = append(out, models.DueDate{Rule: models.RuleReported, On: f.By,
				Why: "follow-up open: " + models.FollowUpKinds.Say(f.Kind)})
		}
	}
	return out
}

// thicknessDates are rule a: half the remaining life after the last reading,
// from measured rates only, within the limit of the class.
func thicknessDates(in Input, w wall, add func(models.DueRule, models.Date, string)) {
	if w.lastMM == nil {
		return
	}
	if w.required != nil && *w.lastMM <= *w.required {
		add(models.RuleThickness, in.Today, "the wall is at or below the required thickness: a licensed engineer decides")
		return
	}
	limits, _ := metal.ClassLimits(in.Sheet.Component.StakeClass())
	life := math.Inf(1)
	if w.life != nil {
		life = w.life.Mid
	}
	years := metal.ThicknessInterval(life, limits.Thickness)
	if math.IsInf(years, 1) {
		return
	}
	why := fmt.Sprintf("half of the remaining life of %.1f years after the reading of %s", life, w.lastOn.Say())
	if w.life == nil || years < life/2 {
		why = fmt.Sprintf("%g years after the reading of %s, the thickness limit of class %d", years, w.lastOn.Say(), in.Sheet.Component.StakeClass())
	}
	add(models.RuleThickness, w.lastOn.AddYears(years), why)
}

// limitYears is rule b: the owner's limit for what is at stake.
func limitYears(in Input) (years float64, say string) {
	class := in.Sheet.Component.StakeClass()
	if limits, ok := metal.ClassLimits(class); ok && limits.Visual != nil {
		return *limits.Visual, fmt.Sprintf("the limit of class %d", class)
	}
	if own := in.Sheet.Building.LimitYears; own != nil {
		return *own, "the owner's limit for this building"
	}
	return in.Policy.LimitYears, "the owner's limit"
}

func firstLookYears(in Input) float64 {
	if own := in.Sheet.Building.FirstLookYears; own != nil {
		return *own
	}
	return in.Policy.FirstLookYears
}

// putOff is the deferral in force: the last one, as long as its day is ahead
// and the cover was not opened since.
func putOff(in Input, t timeline) models.Date {
	var until models.Date
	for _, d := range in.Deferrals {
		made := models.DateOf(d.EnteredAt, in.Sheet.Building.Zone())
		if made >= t.lastOpen {
			until = max(until, d.Until)
		}
	}
	if until <= in.Today {
		return ""
	}
	return until
}

// settle picks the date that is shown, its word of action and its window.
func settle(s *models.Score, in Input, t timeline, dates []models.DueDate) {
	if len(dates) == 0 {
		s.Action = models.NotBefore
		return
	}
	s.PutOffTo = putOff(in, t)
	s.Due, s.Others = shownFirst(dates, in.Today, s.PutOffTo)
	s.Overdue = passed(s.Due, in.Today, s.PutOffTo)
	if s.Due.Rule != models.RuleOff && s.PutOffTo > s.Due.On {
		s.Due.On = s.PutOffTo
		s.Due.Why += "; put off to " + s.PutOffTo.Say()
	}
	s.Action = actionFor(s.Due, in)
	start := max(t.start, t.lastOpen)
	span := s.Due.On.DaysSince(start) / 4
	s.Window = s.Due.On.AddDays(-min(90, max(0, span)))
}

// shownFirst takes the date that leads out of those that hold, earliest first:
// a cover that is off comes first of all; then what must be kept and has
// passed, so that the date shown is the one that makes it overdue; then the
// earliest.
func shownFirst(dates []models.DueDate, today, putOff models.Date) (first models.DueDate, others []models.DueDate) {
	lead := max(0, slices.IndexFunc(dates, func(d models.DueDate) bool { return passed(d, today, putOff) }))
	if off := slices.IndexFunc(dates, func(d models.DueDate) bool { return d.Rule == models.RuleOff }); off >= 0 {
		lead = off
	}
	return dates[lead], slices.Delete(slices.Clone(dates), lead, lead+1)
}

// passed tells whether a date that must be kept has passed, and is not put off.
// A cover that is off cannot be put off.
func passed(d models.DueDate, today, putOff models.Date) bool {
	if d.Rule != models.RuleOff {
		d.On = max(d.On, putOff)
	}
	return d.Rule.Must() && d.On < today
}

// actionFor is the word of action of a date (risk.md 6).
func actionFor(d models.DueDate, in Input) models.Action {
	left := d.On.DaysSince(in.Today)
	span := in.Policy.RoundDays
	if in.RoundEnd != "" && in.RoundEnd > in.Today {
		span = in.RoundEnd.DaysSince(in.Today)
	}
	switch {
	case d.Rule == models.RuleOff:
		return models.PutBack
	case d.Rule == models.RuleReported && left <= openSoonDays:
		return models.LookNow
	case left <= 0, d.Rule.Must() && left <= openSoonDays:
		return models.OpenNow
	case left <= span:
		return models.ThisRound
	case left <= 2*span:
		return models.NextRound
	}
	return models.NotBefore
}

// Minutes is the handling time of one opening (risk.md 7, judgement): the
// median of the team's own last five where there are that many.
func Minutes(s models.CoverSheet, own []float64) float64 {
	if len(own) >= 5 {
		last := append([]float64(nil), own[len(own)-5:]...)
		sort.Float64s(last)
		return last[2]
	}
	base := 35.0
	switch s.Component.ModelKind() {
	case "flange":
		base = 25
	case "strainer":
		base = 45
	case "pump":
		base = 100
	case "valve":
		if s.Component.NPS != nil && *s.Component.NPS > 6 {
			base = 60
		}
	}
	if s.Component.Access == "ladder" {
		base *= 1.5
	}
	return base
}
