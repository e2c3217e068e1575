package risk

import (
	"fmt"
	"math"
	"slices"
	"time"

	"drylag/models"
	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
)

// RoomYear is a room's typical year prepared for the physics of its covers on
// loops of one season rule. It does not change and may be asked from many
// goroutines.
type RoomYear struct {
	Source  string // in words
	Assumed bool   // no humidity is known

	hours    []climate.Hour
	dewC     []float64 // of each hour
	days     []models.Water
	summary  *climate.Summary
	surface  *heat.SurfaceYear // of the hours with cold water alone
	damp     int               // index of the design hour, -1 without cold water
	pressure unit.Pascal
}

// NewRoomYear prepares a year for the seasons of a cover's loop. The error is
// Invalid where the year is not one of air.
func NewRoomYear(year climate.Hourly, s models.CoverSheet, source string, assumed bool) (*RoomYear, error) {
	summary, err := climate.Prepare(year)
	if err != nil {
		return nil, models.Errorf(models.Invalid, "The year of the room's air is not whole: %v", err)
	}
	y := &RoomYear{Source: source, Assumed: assumed, hours: year.Hours, summary: summary, pressure: pressureOf(year, s.Building)}
	y.days = watersOf(s, len(year.Hours))
	y.dewC = make([]float64, len(y.hours))
	var cold []int
	for i, h := range y.hours {
		y.dewC[i] = dewOf(h)
		if y.days[i/24] == models.ColdWater {
			cold = append(cold, i)
		}
	}
	y.damp = dampest(cold, y.dewC)
	y.surface, err = surfaceOf(cold, y.hours, y.pressure)
	if err != nil {
		return nil, models.Errorf(models.Invalid, "The year of the room's air cannot be used: %v", err)
	}
	return y, nil
}

// AssumedRoomYear is NewRoomYear of a room of which no humidity was ever
// recorded.
func AssumedRoomYear(s models.CoverSheet) (*RoomYear, error) {
	return NewRoomYear(climate.Steady(models.AssumedRoomC, models.AssumedRH), s, AssumedSource, true)
}

// SeasonKey tells apart the season rules that a RoomYear is prepared for.
func SeasonKey(s models.CoverSheet) string {
	hot := models.Season{}
	if s.Dual() && s.Loop.HotC != nil {
		hot = s.Loop.Hot
	}
	return fmt.Sprintf("%s/%s %s/%s", s.Loop.Stopped.From, s.Loop.Stopped.To, hot.From, hot.To)
}

// pressureOf is the year's own pressure, else that of the building's altitude,
// else that of sea level.
func pressureOf(year climate.Hourly, b models.Building) unit.Pascal {
	if year.Pressure > 0 {
		return year.Pressure
	}
	if b.AltitudeM != nil {
		return air.PressureAtAltitude(unit.Meter(*b.AltitudeM))
	}
	return air.PressureAtAltitude(0)
}

// watersOf is the water of each day of a year with so many hours.
func watersOf(s models.CoverSheet, hours int) []models.Water {
	days := make([]models.Water, hours/24)
	first := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
	if hours == climate.LeapYear {
		first = first.AddDate(1, 0, 0)
	}
	for i := range days {
		day := first.AddDate(0, 0, i)
		days[i] = s.WaterOn(int(day.Month()), day.Day())
	}
	return days
}

// dewOf is the dew point of an hour in °C, the lowest that can be worked out for
// drier air, and never above the air.
func dewOf(h climate.Hour) float64 {
	dew := float64(h.DewPoint())
	if math.IsNaN(dew) {
		return float64(air.MinTemp)
	}
	return math.Min(dew, float64(h.T))
}

// designShare is the share of the cold hours that are no damper than the design
// hour (judgement).
const designShare = 0.99

// dampest is the hour whose dew point 1 % of the given hours exceed.
func dampest(cold []int, dewC []float64) int {
	if len(cold) == 0 {
		return -1
	}
	sorted := slices.Clone(cold)
	slices.SortStableFunc(sorted, func(a, b int) int {
		switch {
		case dewC[a] < dewC[b]:
			return -1
		case dewC[a] > dewC[b]:
			return 1
		}
		return 0
	})
	return sorted[int(designShare*float64(len(sorted)-1))]
}

func surfaceOf(cold []int, hours []climate.Hour, pressure unit.Pascal) (*heat.SurfaceYear, error) {
	dry, vapor := make([]unit.Celsius, len(cold)), make([]unit.Pascal, len(cold))
	for i, k := range cold {
		dry[i], vapor[i] = hours[k].T, min(hours[k].Vapor, air.SatPressure(hours[k].T))
	}
	return heat.NewSurfaceYear(dry, vapor, pressure)
}
