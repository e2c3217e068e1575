package risk

import (
	"time"

	"drylag/models"
)

// Off sets a cover that is off against its room's year: what its bare part
// sweats now, what it has taken up since the cover came off and what it will
// take. today is the day it is in its building. The error is that of Bare.
func Off(s models.CoverSheet, y *RoomYear, today models.Date) (models.OffCover, error) {
	out := models.OffCover{Currency: s.Building.Currency, Price: priceSaid(s.Building)}
	if since := s.Cover.OffSince; since != "" && since <= today {
		out.Since, out.Days = since, new(today.DaysSince(since))
	}
	out.Stopped = water(s, today) != models.ColdWater
	var err error
	if out.Year, out.Gaps, err = Bare(s, y); err != nil || len(out.Gaps) > 0 {
		return out, err
	}
	if out.Price == "" {
		out.Gaps = append(out.Gaps, priceGap(s.Building))
	}
	now := out.Year.Day(today.Time().Month())
	if out.Stopped {
		now = models.BareMonth{}
	}
	out.Sweat = &now.WaterKg
	if out.Days != nil {
		out.SoFar = costOf(s.Building, takenUp(s, out.Year, out.Since, today))
	}
	out.Month = costOf(s.Building, out.Year.Months[today.Time().Month()-1])
	out.Annual = costOf(s.Building, out.Year.Year())
	return out, nil
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

func water(s models.CoverSheet, on models.Date) models.Water {
	return s.WaterOn(int(on.Time().Month()), on.Time().Day())
}

// costOf puts the building's own price to heat; without one the money is nil.
func costOf(b models.Building, m models.BareMonth) *models.OffCost {
	c := models.HeatCost{KWh: m.KWh}
	price(&c, b)
	return &models.OffCost{KWh: m.KWh, WaterKg: m.WaterKg, Money: c.Money}
}
