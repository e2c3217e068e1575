package risk

import (
	"time"

	"drylag/models"
)

// Off says of a cover that is off what its bare part sweats now, what it has
// taken up since the cover came off and what it will take, by the year of Bare.
// today is the day it is in its building.
func Off(s models.CoverSheet, bare models.BareYear, today models.Date) models.OffCover {
	out := models.OffCover{Currency: s.Building.Currency, Price: priceSaid(s.Building), Year: bare, Gaps: bare.Gaps}
	if since := s.Cover.OffSince; since != "" && since <= today {
		out.Since, out.Days = since, new(today.DaysSince(since))
	}
	month := today.Time().Month()
	out.Stopped = s.WaterOn(int(month), today.Time().Day()) != models.ColdWater
	if len(out.Gaps) > 0 {
		return out
	}
	if out.Price == "" {
		out.Gaps = []models.Gap{priceGap(s.Building)}
	}
	out.Sweat = new(bare.Day(month).WaterKg)
	if out.Stopped {
		out.Sweat = new(0.0)
	}
	if out.Days != nil {
		out.SoFar = costOf(s.Building, takenUp(s, bare, out.Since, today))
	}
	out.Month, out.Annual = costOf(s.Building, bare.Months[month-1]), costOf(s.Building, bare.Year())
	return out
}

// takenUp is what bare metal takes up from one day to the end of the day before
// another. Each day with cold water is the mean of such days of its month.
func takenUp(s models.CoverSheet, y models.BareYear, from, to models.Date) models.BareMonth {
	var days [12]float64
	for d := from.Time(); d.Before(to.Time()); d = d.AddDate(0, 0, 1) {
		if s.WaterOn(int(d.Month()), d.Day()) == models.ColdWater {
			days[d.Month()-1]++
		}
	}
	var sum models.BareMonth
	for i, n := range days {
		sum = sum.Plus(y.Day(time.Month(i+1)), n)
	}
	return sum
}

// costOf puts the building's own price to heat; without one the money is nil.
func costOf(b models.Building, m models.BareMonth) *models.OffCost {
	c := models.HeatCost{KWh: m.KWh}
	price(&c, b)
	return &models.OffCost{KWh: m.KWh, WaterKg: m.WaterKg, Money: c.Money}
}
