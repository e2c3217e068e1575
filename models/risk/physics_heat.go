package risk

import (
	"fmt"
	"math"

	"drylag/models"
	"drylag/models/air"
	"drylag/models/heat"
	"drylag/models/unit"
)

// kWhPerTonHour is a ton-hour of chilled water in kWh: a ton of refrigeration is
// 12,000 Btu/h.
const kWhPerTonHour = 3.5168528

// heat sums the heat into the bare part over the hours with cold water.
func (w *physicist) heat() {
	if w.p.Part == nil {
		return
	}
	outer := metalOf(w.s.Cover)
	bare := w.y.surface.BareHeat(heat.Bare{Fluid: w.shape.Fluid, Shape: heat.HorizontalCylinder, Size: w.shape.Diameter, Emissivity: outer.Low}, 0)
	kWh := bare.GainKWh * float64(w.part.Metal)
	if math.IsNaN(kWh) {
		w.p.Gaps = append(w.p.Gaps, models.Gap{Of: "cover", Missing: "a temperature within the range of the formulas", For: "its heat"})
		return
	}
	w.p.Heat = &models.HeatYear{Bare: models.HeatCost{KWh: kWh, Tolerance: heat.BareTolerance}, Assumed: bareAssumed(outer)}
}

// covered sums the heat into the part under the cover that is fitted.
func (w *physicist) covered() {
	kWh := w.y.surface.BodyHeat(w.body, w.shape, 0).GainKWh
	if w.p.Heat == nil || math.IsNaN(kWh) {
		return
	}
	w.p.Heat.Covered = &models.HeatCost{KWh: kWh, Tolerance: heat.BodyTolerance}
}

// prices turns heat into electricity and money where the building's record
// says what they cost. There is no default: what is missing is named.
func (w *physicist) prices() {
	h, b := w.p.Heat, w.s.Building
	if h == nil {
		return
	}
	costs := []*models.HeatCost{&h.Bare}
	if h.Covered != nil {
		costs = append(costs, h.Covered)
	}
	h.TonHours, h.Price = b.TonHourCost != nil, priceSaid(b)
	if h.Price == "" {
		w.p.Gaps = append(w.p.Gaps, priceGap(b))
	}
	for _, c := range costs {
		price(c, b)
	}
}

// priceSaid says what money rests on, "" where a price is missing.
func priceSaid(b models.Building) string {
	switch {
	case b.TonHourCost != nil:
		return fmt.Sprintf("%s%g a ton-hour of chilled water", b.Currency, *b.TonHourCost)
	case b.COP != nil && b.Tariff != nil:
		return fmt.Sprintf("a plant with a COP of %g and %s%g a kWh", *b.COP, b.Currency, *b.Tariff)
	}
	return ""
}

func price(c *models.HeatCost, b models.Building) {
	if b.COP != nil {
		c.Electricity = new(heat.Plant{COP: *b.COP}.Cost(c.KWh).Electricity)
	}
	switch {
	case b.TonHourCost != nil:
		c.Money = new(c.KWh / kWhPerTonHour * *b.TonHourCost)
	case b.COP != nil && b.Tariff != nil:
		c.Money = new(heat.Plant{COP: *b.COP, Tariff: *b.Tariff}.Cost(c.KWh).Money)
	}
}

// priceGap names the price that is missing.
func priceGap(b models.Building) models.Gap {
	gap := models.Gap{Of: "building", Field: "cop", Missing: "the COP of the plant and the tariff, or the price of a ton-hour", For: "what the heat costs"}
	switch {
	case b.COP != nil:
		gap.Field, gap.Missing = "tariff", "the tariff of electricity"
	case b.Tariff != nil:
		gap.Missing = "the COP of the plant"
	}
	return gap
}

// designDewC is the dew point of the published design air in °C.
func designDewC() float64 {
	return float64(air.DewPoint(unit.Celsius(designC), unit.Fraction(designRH)))
}
