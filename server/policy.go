package server

import (
	"math"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// constantsPage are the organization's constants of judgement.
type constantsPage struct {
	shell
	Policy  models.Policy
	Default models.Policy
	Scoring models.Scoring
}

// ScoringSays is how far the scoring of the fleet has come.
func (p *constantsPage) ScoringSays() string { return scoringSays(p.Scoring) }

func (s *Server) showConstants(c *gin.Context) error {
	p, err := s.register.Policy(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	page := &constantsPage{shell: titled("Constants", "/constants"), Policy: p, Default: models.DefaultPolicy()}
	if page.Scoring, err = s.register.Scoring(c.Request.Context(), actor(c)); err != nil {
		return err
	}
	page.Form = policyForm(p)
	return s.show(c, "constants", page)
}

func (s *Server) saveConstants(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p := readPolicy(f)
	page := &constantsPage{shell: titled("Constants", "/constants"), Policy: p, Default: models.DefaultPolicy()}
	page.Form = f
	if err := f.check(p.Validate()); err != nil {
		return s.again(c, "constants", page, err)
	}
	if _, err := s.register.SavePolicy(c.Request.Context(), actor(c), p); err != nil {
		return s.again(c, "constants", page, err)
	}
	s.said(c, "Saved. Every cover is being scored afresh with these constants.")
	return seeOther(c, "/constants")
}

// readPolicy reads the form; what is empty is no number and refused by its range.
func readPolicy(f *form) models.Policy {
	p := models.Policy{Version: f.version(), ThresholdP: f.number("threshold"), FleetIntervalMonths: f.number("fleet_interval_months")}
	for name, to := range policyNumbers(&p) {
		*to = math.NaN()
		if v := f.number(name); v != nil {
			*to = *v
		}
	}
	if days := f.whole("round_days"); days != nil {
		p.RoundDays = *days
	}
	return p
}

func policyForm(p models.Policy) *form {
	f := blank()
	f.setWhole("version", &p.Version)
	f.setWhole("round_days", &p.RoundDays)
	f.setNumber("threshold", p.ThresholdP)
	f.setNumber("fleet_interval_months", p.FleetIntervalMonths)
	for name, from := range policyNumbers(&p) {
		f.setNumber(name, from)
	}
	return f
}

// policyNumbers are the fields of the form that are plain numbers.
func policyNumbers(p *models.Policy) map[string]*float64 {
	return map[string]*float64{"limit_years": &p.LimitYears, "first_look_years": &p.FirstLookYears, "horizon_years": &p.HorizonYears,
		"gauge_error": &p.GaugeErrorMM, "wet_year_cost": &p.WetYearCost, "look_years": &p.LookYears, "drive_ref": &p.DriveRef,
		"found_wet_cost": &p.FoundWetCost, "spoil_chance": &p.SpoilChance}
}
