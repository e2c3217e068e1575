package server

import (
	"time"

	"drylag/models"
)

// fullScoreJSON is a score with everything that it says. What a score cannot
// say is left out.
type fullScoreJSON struct {
	On     models.Date `json:"on"`
	At     time.Time   `json:"at"`
	Method string      `json:"method"`
	Fit    string      `json:"fit"`

	Condition string    `json:"condition"`
	PWet      rangeJSON `json:"chance_wet"`
	PWetYear  rangeJSON `json:"chance_wet_in_year"`
	Age       float64   `json:"age_years"`
	ExpertFit bool      `json:"expert_fit"`

	HoursBelow    float64   `json:"hours_below_dew_point"`
	YearHours     float64   `json:"hours_of_year"`
	Drive         float64   `json:"drive_index"`
	WaterStays    bool      `json:"water_stays"`
	SweatMonths   []bool    `json:"sweat_months"`    // January first
	DryHoursShare []float64 `json:"dry_hours_share"` // January first

	Driver     string     `json:"driver,omitempty"`
	TableRate  *float64   `json:"table_rate_mm_per_year,omitempty"`
	Rate       *float64   `json:"rate_mm_per_year,omitempty"`
	RateFrom   string     `json:"rate_from,omitempty"`
	ScoredPart string     `json:"scored_part,omitempty"`
	Required   *float64   `json:"required_mm,omitempty"`
	Last       *float64   `json:"last_mm,omitempty"`
	Life       *rangeJSON `json:"remaining_life_years,omitempty"`

	Likelihood  float64    `json:"likelihood"`
	Consequence int        `json:"consequence"`
	Risk        int        `json:"risk"`
	Sentences   []string   `json:"sentences"`
	Why         []termJSON `json:"why"`

	Worth   float64 `json:"worth_opening"`
	Benefit float64 `json:"benefit_pct"`
	Minutes float64 `json:"minutes"`

	Action    string      `json:"action"`
	Due       *dueJSON    `json:"due,omitempty"`
	Others    []dueJSON   `json:"other_dates"`
	Overdue   bool        `json:"overdue"`
	PutOffTo  models.Date `json:"put_off_to,omitempty"`
	Window    models.Date `json:"not_before,omitempty"`
	FollowUps int         `json:"follow_ups"`
}

// termJSON is one line of a "why?".
type termJSON struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Method string `json:"method"`
	Source string `json:"source"`
}

// dueJSON is one date with the rule and the sentence behind it.
type dueJSON struct {
	On   models.Date `json:"on,omitempty"`
	Rule string      `json:"rule"`
	Why  string      `json:"why"`
}

// changeJSON is one step in the history of scores.
type changeJSON struct {
	At     time.Time   `json:"at"`
	Risk   int         `json:"risk"`
	PWet   float64     `json:"chance_wet"`
	DueOn  models.Date `json:"due_on,omitempty"`
	Action string      `json:"action"`
	Rule   string      `json:"rule,omitempty"`
	Cause  string      `json:"cause"`
	Method string      `json:"method"`
	Fit    string      `json:"fit"`
}

func fullScoreFrom(sc *models.Score) *fullScoreJSON {
	if sc == nil {
		return nil
	}
	out := &fullScoreJSON{On: sc.On, At: sc.At.UTC(), Method: sc.Method, Fit: sc.Fit, Condition: string(sc.Condition),
		PWet: rangeJSON(sc.PWet), PWetYear: rangeJSON(sc.PWetYear), Age: sc.AgeYears, ExpertFit: sc.ExpertFit,
		HoursBelow: sc.HoursBelow, YearHours: sc.YearHours, Drive: sc.DriveIndex, WaterStays: sc.NetDriveUp,
		SweatMonths: sc.SweatMonths[:], DryHoursShare: sc.DryHoursShare[:], Driver: sc.Driver, TableRate: sc.TableRateMMY,
		Rate: sc.RateMMY, RateFrom: sc.RateFrom, ScoredPart: sc.ScoredPart, Required: sc.RequiredMM, Last: sc.LastMM,
		Likelihood: sc.Likelihood, Consequence: sc.Consequence, Risk: sc.Risk, Sentences: append([]string{}, sc.Sentences...),
		Why: each(sc.Why, func(t models.Term) termJSON { return termJSON(t) }), Worth: sc.W, Benefit: sc.Benefit, Minutes: sc.Minutes,
		Action: string(sc.Action), Others: each(sc.Others, dueFrom), Overdue: sc.Overdue, PutOffTo: sc.PutOffTo, Window: sc.Window,
		FollowUps: sc.FollowUps}
	if sc.RemainingLife != nil {
		out.Life = new(rangeJSON(*sc.RemainingLife))
	}
	if sc.Due != (models.DueDate{}) {
		out.Due = new(dueFrom(sc.Due))
	}
	return out
}

func dueFrom(d models.DueDate) dueJSON { return dueJSON{d.On, string(d.Rule), d.Why} }

func changeFrom(ch models.ScoreChange) changeJSON {
	return changeJSON{ch.At.UTC(), ch.Risk, ch.PWet, ch.DueOn, string(ch.Action), string(ch.Rule), ch.Cause, ch.Method, ch.Fit}
}
