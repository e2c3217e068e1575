package risk

import (
	"time"

	"drylag/models"
	"drylag/models/climate"
	"drylag/models/metal"
	"drylag/models/unit"
)

// AirOver is the year of a room's prepared air against a cover's own metal,
// with the loop's seasons. Source says in words where the air came from.
func AirOver(year *climate.Summary, s models.CoverSheet, source string) Air {
	months := year.Seasonal(func(month time.Month, day int) *unit.Celsius {
		c, stopped := metalOn(s, int(month), day)
		if stopped {
			return nil
		}
		t := unit.Celsius(c)
		return &t
	})
	a := Air{Seasons: seasonsOf(s), Source: source}
	for i, e := range months {
		a.Months[i] = MonthAir{Hours: float64(e.Hours), Dry: float64(e.Dry())}
	}
	total := climate.Total(months)
	a.Hours, a.Below = float64(total.Hours), float64(total.BelowDewPoint)
	a.Drive, a.Net = float64(total.Drive), float64(total.Net)
	return a
}

// AssumedSource says what AssumedYear is.
const AssumedSource = "no humidity data: 24 °C and 50 % all year assumed"

// AssumedYear is the year of a room of which no humidity was ever recorded:
// models.AssumedRoomC and models.AssumedRH in every hour.
func AssumedYear() (*climate.Summary, error) {
	return climate.Prepare(climate.Steady(models.AssumedRoomC, models.AssumedRH))
}

// AirAssumed is AssumedYear against a cover's own metal, marked as assumed.
func AirAssumed(s models.CoverSheet) (Air, error) {
	year, err := AssumedYear()
	if err != nil {
		return Air{}, err
	}
	a := AirOver(year, s, AssumedSource)
	a.Assumed = true
	return a, nil
}

// metalOn is the metal temperature on a day of the year: room temperature
// while the loop is stopped, hot in the hot season, else the service
// temperature.
func metalOn(s models.CoverSheet, month, day int) (c float64, stopped bool) {
	switch s.WaterOn(month, day) {
	case models.StandingWater:
		return RoomC(s.Room), true
	case models.HotWater:
		return *s.Loop.HotC, false
	}
	c, _ = s.ServiceC()
	return c, false
}

// RoomC is the usual temperature of a room in °C, assumed where nobody gave it.
func RoomC(r models.Room) float64 {
	if r.TempC != nil {
		return *r.TempC
	}
	return models.AssumedRoomC
}

// seasonsOf counts the hours of a common year at each metal temperature, in
// the order in which the year meets them.
func seasonsOf(s models.CoverSheet) []metal.Season {
	var seasons []metal.Season
	at := map[float64]int{}
	for day := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() == 2023; day = day.AddDate(0, 0, 1) {
		c, _ := metalOn(s, int(day.Month()), day.Day())
		i, met := at[c]
		if !met {
			i = len(seasons)
			at[c], seasons = i, append(seasons, metal.Season{MetalC: c})
		}
		seasons[i].Hours += 24
	}
	return seasons
}
