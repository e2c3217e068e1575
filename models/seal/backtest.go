package seal

import (
	"fmt"
	"slices"
	"strings"

	"drylag/models"
)

// Dated is an episode with the day on which it ended.
type Dated struct {
	Episode
	On models.Date
}

// Foretold is what the openings before a month had taught of one opening in it,
// with what was found then. Scored.Round is the month, "2027-03".
type Foretold struct {
	Scored
	ID     string // of the opening
	On     models.Date
	Age    float64 // years since closing, as it was opened
	Lo, Hi float64 // 90 % interval of P
	Eta    float64 // the log cumulative hazard behind P
	Fit    string  // version of the fit that foretold it
}

// Backtest walks through the months that have openings on or after from ("" is
// all): it learns from the openings dated strictly before the month, foretells
// each opening in it at its actual age, and puts three yardsticks beside: the
// share found wet before that month, a model that knows the age alone, and the
// prior that never learned. Dry looks in between are not used to foretell, since
// the episodes tell of them only where water was found later.
//
// Episodes belong through Sift before. The order is that of the days. An error
// means that a month's past has no fit.
func Backtest(p Prior, episodes []Dated, from models.Date) ([]Foretold, error) {
	order := slices.Clone(episodes)
	slices.SortStableFunc(order, func(a, b Dated) int { return strings.Compare(string(a.On), string(b.On)) })
	w := walk{prior: p, expert: Expert(p)}
	var out []Foretold
	for len(order) > 0 {
		month := monthOf(order[0].On)
		n := slices.IndexFunc(order, func(e Dated) bool { return monthOf(e.On) != month })
		if n < 0 {
			n = len(order)
		}
		if order[n-1].On >= from {
			said, err := w.foretell(month, order[:n], from)
			if err != nil {
				return nil, fmt.Errorf("before %s: %w", month, err)
			}
			out = append(out, said...)
		}
		w.pass(order[:n])
		order = order[n:]
	}
	return out, nil
}

// monthOf is the month of a day as "2027-03".
func monthOf(d models.Date) string { return string(d[:min(7, len(d))]) }

// walk is what is known before a month.
type walk struct {
	prior  Prior
	expert Fit
	past   []Episode
	wet    int
	fit    *Fit // of the last month that was foretold
	byAge  *Fit
}

// pass adds a month to the past.
func (w *walk) pass(month []Dated) {
	for i := range month {
		w.past = append(w.past, month[i].Episode)
		w.wet += int(oneIf(month[i].endedWet()))
	}
}

// foretell learns from the past and answers for the openings of a month from
// the given day on.
func (w *walk) foretell(month string, openings []Dated, from models.Date) ([]Foretold, error) {
	fit, err := Learn(w.prior, w.past, Options{Start: w.fit})
	if err != nil {
		return nil, err
	}
	ageOnly := w.prior.Only(colIntercept)
	ageOnly.Spread = 0
	byAge, err := Learn(ageOnly, w.past, Options{Start: w.byAge})
	if err != nil {
		return nil, err
	}
	w.fit, w.byAge = &fit, &byAge
	var base *float64
	if len(w.past) > 0 {
		base = defined(float64(w.wet) / float64(len(w.past)))
	}
	var out []Foretold
	for i := range openings {
		e := &openings[i]
		if e.On < from {
			continue
		}
		u := e.lastLook()
		at := fit.Predict(e.Covariates, u)
		out = append(out, Foretold{
			Scored: Scored{P: at.P, Wet: e.endedWet(), Base: base, Round: month, Building: e.Covariates.Building,
				AgeOnly: defined(byAge.Predict(Covariates{}, u).P), Expert: defined(w.expert.Predict(e.Covariates, u).P)},
			ID: e.ID, On: e.On, Age: u, Lo: at.Lo, Hi: at.Hi, Eta: at.Eta, Fit: fit.Version,
		})
	}
	return out, nil
}
