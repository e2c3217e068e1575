package risk

import (
	"fmt"

	"drylag/models"
	"drylag/models/seal"
)

// wetness is what the fit says of the running episode.
type wetness struct {
	cov   seal.Covariates
	look  seal.Outlook
	after seal.Outlook // as the next closing will leave it
	age   float64      // years since the clock started
	now   models.Range
	year  models.Range // within 12 months of closing
	w     float64      // the index, in openings
}

// covariates are those at the closing that began the episode.
func covariates(in Input, e episode) seal.Covariates {
	service, _ := in.Sheet.ServiceC()
	drive := in.Air.Drive / in.Policy.DriveRef
	c := seal.Covariates{
		Building: string(in.Sheet.Building.ID), Drive: &drive,
		Seal: seal.State(e.seal), Method: seal.Method(in.Sheet.Cover.Method()),
		ServiceC: &service, Dual: in.Sheet.Dual(), Openings: e.openings,
		PrevWet: e.prevWet, Kind: seal.Kind(in.Sheet.Component.ModelKind()),
	}
	if fitted := in.Sheet.Cover.Fitted; fitted != "" {
		age := max(0, e.from.YearsSince(fitted))
		c.AgeYears = &age
	}
	return c
}

// wetnessOf is the chance of water under the cover today. Closed wet is wet
// until an opening finds it dry; a bare component is wet while it sweats.
func wetnessOf(in Input, t timeline) wetness {
	e := episode{from: t.start, to: in.Today, seal: models.SealUnknown}
	if n := len(t.episodes); n > 0 && t.condition != models.Bare {
		e = t.episodes[n-1]
	}
	w := wetness{cov: covariates(in, e), age: e.years()}
	w.look, w.after = in.Fit.Outlook(w.cov), in.Fit.Outlook(w.cov.NextClosing())
	w.year = asRange(w.look.At(1))
	w.w = w.look.Index(w.after, w.age, in.Policy.WetYearCost)
	if in.OldestFirst != nil {
		w.w = w.age / *in.OldestFirst // ranks by age, and reaches one opening at the due date
	}
	switch {
	case t.condition == models.Bare:
		s := in.Air.belowShare()
		w.now = models.Range{Mid: s, Lo: s, Hi: s}
	case t.condition == models.WetKnown:
		w.now = models.Range{Mid: 1, Lo: 1, Hi: 1}
		w.w = max(w.w, in.Policy.WetYearCost*w.after.MeanLife())
	case e.dryPort != "":
		w.now = asRange(w.look.AfterDryLook(max(0, e.dryPort.YearsSince(e.from)), w.age))
	default:
		w.now = asRange(w.look.At(w.age))
	}
	return w
}

func asRange(p seal.Probability) models.Range { return models.Range{Mid: p.P, Lo: p.Lo, Hi: p.Hi} }

// wetShareOf gives the expected share of wet time of an episode between two of
// its ages in years: the mean chance of being wet by then, given what the
// opening at its end found, times the share of time the metal wets.
func wetShareOf(in Input) func(e episode, a, b float64) float64 {
	return func(e episode, a, b float64) float64 {
		if e.wet {
			return in.Air.wetting()
		}
		if e.found == "dry" {
			return 0
		}
		look := in.Fit.Outlook(covariates(in, e))
		share := look.WetShare(a, b)
		if e.found == "wet" {
			if p := look.At(e.years()).P; p > 0 {
				share = min(1, share/p)
			}
		}
		return share * in.Air.wetting()
	}
}

// Clamps of rule c in years (learning.md 5): no plan opens a cover more often
// than each quarter, and none waits longer than ten years.
const (
	leastInterval = 0.25
	mostInterval  = 10
)

// oldestFirst is rule c where the predictions do not hold: the cover closed
// longest ago comes first.
func oldestFirst(closed models.Date, years float64) *models.DueDate {
	return &models.DueDate{Rule: models.RuleWorth, On: closed.AddYears(years),
		Why: fmt.Sprintf("the predictions do not hold here, so oldest first: %.0f months after the last closing", 12*years)}
}

// worthDate is rule c: the age at which the index reaches the cost of one
// opening, or P(wet) the owner's threshold. Nil where the record already knows.
func worthDate(in Input, t timeline, w wetness) *models.DueDate {
	if t.condition != models.WetEstimated {
		return nil
	}
	if in.OldestFirst != nil {
		return oldestFirst(max(t.start, t.lastOpen), *in.OldestFirst)
	}
	if in.Policy.WetYearCost*w.after.MeanLife() < 1 {
		return &models.DueDate{Rule: models.RuleSealFirst, On: in.Today,
			Why: "opening alone will not keep it dry: re-make the seal or replace the cover"}
	}
	age, why := mostInterval+0.0, "the chance of water is worth one opening by then"
	if p := in.Policy.ThresholdP; p != nil {
		why = "the chance of water reaches the owner's threshold"
		if u, ok := w.look.AgeAt(*p); ok {
			age = u
		}
	} else if u, ok := w.look.DueAge(w.after, 1, in.Policy.WetYearCost); ok {
		age = u
	}
	age = min(max(age, leastInterval), mostInterval)
	start := max(t.start, t.lastOpen)
	return &models.DueDate{Rule: models.RuleWorth, On: start.AddYears(age), Why: why}
}
