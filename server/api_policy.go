package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// policyJSON are the organization's constants of judgement. Its version is 0
// until somebody has changed them.
type policyJSON struct {
	Version     int      `json:"version"`
	Limit       float64  `json:"limit_years"`
	FirstLook   float64  `json:"first_look_years"`
	Horizon     float64  `json:"horizon_years"`
	GaugeError  float64  `json:"gauge_error_mm"`
	WetYearCost float64  `json:"wet_year_cost_openings"`
	Threshold   *float64 `json:"threshold,omitempty"`
	Look        float64  `json:"look_years"`
	DriveRef    float64  `json:"drive_ref_pa_h"`
	RoundDays   int      `json:"round_days"`
	FoundWet    *float64 `json:"found_wet_cost_openings"` // nil in what is sent: as it ships
	Spoil       *float64 `json:"spoil_chance"`            // likewise
	Interval    *float64 `json:"fleet_interval_months,omitempty"`
}

var policyNames = map[string]string{"gauge_error": "gauge_error_mm", "wet_year_cost": "wet_year_cost_openings", "drive_ref": "drive_ref_pa_h",
	"found_wet_cost": "found_wet_cost_openings"}

func (j policyJSON) policy(version int) models.Policy {
	ships := models.DefaultPolicy()
	return models.Policy{Version: version, LimitYears: j.Limit, FirstLookYears: j.FirstLook, HorizonYears: j.Horizon, GaugeErrorMM: j.GaugeError,
		WetYearCost: j.WetYearCost, ThresholdP: j.Threshold, LookYears: j.Look, DriveRef: j.DriveRef, RoundDays: j.RoundDays,
		FoundWetCost: given(j.FoundWet, ships.FoundWetCost), SpoilChance: given(j.Spoil, ships.SpoilChance), FleetIntervalMonths: j.Interval}
}

// given is v, else what holds where nothing was said.
func given(v *float64, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return *v
}

func policyFrom(p models.Policy) policyJSON {
	return policyJSON{p.Version, p.LimitYears, p.FirstLookYears, p.HorizonYears, p.GaugeErrorMM, p.WetYearCost, p.ThresholdP,
		p.LookYears, p.DriveRef, p.RoundDays, &p.FoundWetCost, &p.SpoilChance, p.FleetIntervalMonths}
}

func (s *Server) apiPolicy(c *gin.Context) error {
	p, err := s.register.Policy(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.version(c, p.Version, policyFrom(p))
}

func (s *Server) apiSavePolicy(c *gin.Context) error {
	version, err := ifMatch(c)
	if err != nil {
		return err
	}
	var sent policyJSON
	if err := readJSON(c, &sent); err != nil {
		return err
	}
	if err := (kept{Version: sent.Version}).check(models.None, version); err != nil {
		return err
	}
	p, err := s.register.SavePolicy(c.Request.Context(), actor(c), sent.policy(version))
	if err != nil {
		return named(err, policyNames)
	}
	return s.saved(c, p.Version, policyFrom(p))
}
