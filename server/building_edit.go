package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

type buildingEditPage struct {
	shell
	Building models.Building
}

func (s *Server) newBuilding(c *gin.Context) error {
	p := &buildingEditPage{shell: titled("New building", "/buildings")}
	p.Form = blank()
	p.Form.set("currency", "$")
	return s.show(c, "building_edit", p)
}

func (s *Server) editBuilding(c *gin.Context) error {
	b, err := s.register.Building(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p := &buildingEditPage{shell: titled("Edit "+b.Name, "/buildings"), Building: b}
	p.Form = buildingForm(b)
	return s.show(c, "building_edit", p)
}

func (s *Server) saveBuilding(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	b := readBuilding(f)
	p := &buildingEditPage{shell: titled("Building", "/buildings"), Building: models.Building{ID: b.ID}}
	p.Form = f
	if err := f.check(b.Validate()); err != nil {
		return s.again(c, "building_edit", p, err)
	}
	saved, err := s.register.SaveBuilding(c.Request.Context(), actor(c), b)
	if err != nil {
		return s.again(c, "building_edit", p, err)
	}
	s.said(c, saved.Name+" is saved.")
	return seeOther(c, "/buildings/"+string(saved.ID))
}

// readBuilding reads the form as it was typed.
func readBuilding(f *form) models.Building {
	return models.Building{
		ID: f.id("id"), Version: f.version(), Name: f.text("name"), TimeZone: f.text("time_zone"), Currency: f.text("currency"),
		YearBuilt: f.whole("year_built"), AsbestosRegister: f.text("asbestos_register"), AltitudeM: f.number("altitude"),
		LaborRate: f.number("labor_rate"), TapePrice: f.number("tape_price"), COP: f.number("cop"), Tariff: f.number("tariff"),
		TonHourCost: f.number("ton_hour_cost"), LimitYears: f.number("limit_years"),
		FirstLookYears: f.number("first_look_years"), Note: f.text("note"),
	}
}

func buildingForm(b models.Building) *form {
	f := blank()
	f.set("id", string(b.ID))
	f.setWhole("version", &b.Version)
	f.set("name", b.Name)
	f.set("time_zone", b.TimeZone)
	f.set("currency", b.Currency)
	f.setWhole("year_built", b.YearBuilt)
	f.set("asbestos_register", b.AsbestosRegister)
	f.set("note", b.Note)
	for name, v := range map[string]*float64{"altitude": b.AltitudeM, "labor_rate": b.LaborRate, "tape_price": b.TapePrice,
		"cop": b.COP, "tariff": b.Tariff, "ton_hour_cost": b.TonHourCost, "limit_years": b.LimitYears, "first_look_years": b.FirstLookYears} {
		f.setNumber(name, v)
	}
	return f
}
