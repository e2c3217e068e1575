package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// buildingJSON is a building as it is edited. Money is in its own currency.
type buildingJSON struct {
	kept
	Name             string   `json:"name"`
	TimeZone         string   `json:"time_zone"`
	Currency         string   `json:"currency,omitempty"`
	YearBuilt        *int     `json:"year_built,omitempty"`
	AsbestosRegister string   `json:"asbestos_register,omitempty"`
	Altitude         *float64 `json:"altitude_m,omitempty"`
	LaborRate        *float64 `json:"labor_rate_per_h,omitempty"`
	TapePrice        *float64 `json:"tape_price_per_m,omitempty"`
	COP              *float64 `json:"cop,omitempty"`
	Tariff           *float64 `json:"tariff_per_kwh,omitempty"`
	TonHour          *float64 `json:"cost_per_ton_hour,omitempty"`
	Limit            *float64 `json:"limit_years,omitempty"`
	FirstLook        *float64 `json:"first_look_years,omitempty"`
	Note             string   `json:"note,omitempty"`
}

// buildingNames are the fields that models names otherwise.
var buildingNames = map[string]string{"altitude": "altitude_m", "labor_rate": "labor_rate_per_h", "tape_price": "tape_price_per_m",
	"tariff": "tariff_per_kwh", "ton_hour_cost": "cost_per_ton_hour"}

func (j buildingJSON) building(id models.ID, version int) models.Building {
	return models.Building{ID: id, Version: version, Name: j.Name, TimeZone: j.TimeZone, Currency: j.Currency, YearBuilt: j.YearBuilt,
		AsbestosRegister: j.AsbestosRegister, AltitudeM: j.Altitude, LaborRate: j.LaborRate, TapePrice: j.TapePrice, COP: j.COP,
		Tariff: j.Tariff, TonHourCost: j.TonHour, LimitYears: j.Limit, FirstLookYears: j.FirstLook, Note: j.Note}
}

func buildingFrom(b models.Building) buildingJSON {
	return buildingJSON{kept{b.ID, b.Version}, b.Name, b.TimeZone, b.Currency, b.YearBuilt, b.AsbestosRegister, b.AltitudeM, b.LaborRate,
		b.TapePrice, b.COP, b.Tariff, b.TonHourCost, b.LimitYears, b.FirstLookYears, b.Note}
}

// numbersJSON are the owner's five numbers and what stands beside them.
type numbersJSON struct {
	ID        models.ID `json:"id"`
	Name      string    `json:"name"`
	Covers    int       `json:"covers"`
	Off       int       `json:"off"`
	WetOpen   int       `json:"found_wet_open"`
	NeverSeen int       `json:"never_seen"`
	Overdue   int       `json:"past_limit"`
	Due       int       `json:"due"`
	Hours     float64   `json:"crew_hours_to_clear"`
	Tape      float64   `json:"tape_m_to_clear"`
	Money     *float64  `json:"money_to_clear,omitempty"`
	Currency  string    `json:"currency,omitempty"`
}

func numbersFrom(n models.BuildingNumbers) numbersJSON {
	return numbersJSON{n.Building.ID, n.Building.Name, n.Covers, n.Off, n.WetOpen, n.NeverSeen, n.Overdue, n.Due,
		n.Clear.Hours, n.Clear.TapeM, n.Clear.Money, n.Building.Currency}
}

func (s *Server) apiBuildings(c *gin.Context) error {
	all, err := s.register.Buildings(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]numbersJSON{"buildings": each(all, numbersFrom)})
}

func (s *Server) apiBuilding(c *gin.Context) error {
	b, err := s.register.Building(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, b.Version, buildingFrom(b))
}

func (s *Server) apiAddBuilding(c *gin.Context) error {
	var sent buildingJSON
	if err := add(c, &sent, &sent.kept); err != nil {
		return err
	}
	b, err := s.register.SaveBuilding(c.Request.Context(), actor(c), sent.building(models.None, 0))
	if err != nil {
		return named(err, buildingNames)
	}
	return s.added(c, "buildings", b.ID, b.Version, buildingFrom(b))
}

func (s *Server) apiSaveBuilding(c *gin.Context) error {
	var sent buildingJSON
	version, err := edit(c, &sent, &sent.kept)
	if err != nil {
		return err
	}
	b, err := s.register.SaveBuilding(c.Request.Context(), actor(c), sent.building(param(c, "id"), version))
	if err != nil {
		return named(err, buildingNames)
	}
	return s.saved(c, b.Version, buildingFrom(b))
}
