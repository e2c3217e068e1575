package climate

import (
	"math"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// MetalOn gives the metal temperature on a day of the year, 29 February
// included; nil: the loop is stopped and the metal is at room temperature.
type MetalOn func(month time.Month, day int) *unit.Celsius

// Seasonal returns the exposure of metal on a loop with seasons in each month,
// hour by hour. While the loop is stopped the metal is at room temperature: no
// drive and no hour below the dew point, and the net drive of those hours dries.
// A metal outside -100 to 200 °C makes its months NaN but for the hours.
func (s *Summary) Seasonal(metalOn MetalOn) [12]Exposure {
	var months [12]Exposure
	for first := 0; first < len(s.hours); first += 24 {
		day := startOf(first, len(s.hours))
		metal := metalOn(day.Month(), day.Day())
		month := &months[day.Month()-1]
		if metal == nil {
			month.addStopped(s.hours[first:first+24], s.sat[first:first+24])
			continue
		}
		month.addDay(s.hours[first:first+24], air.SatPressure(*metal))
	}
	return months
}

// addDay adds hours of air over metal whose saturation pressure is sat.
func (e *Exposure) addDay(hours []Hour, sat unit.Pascal) {
	if math.IsNaN(float64(sat)) {
		unknown := Table{}.At(unit.Celsius(math.NaN()))
		unknown.Hours = unit.Hours(len(hours))
		*e = e.Plus(unknown)
		return
	}
	for _, h := range hours {
		e.add(h.Vapor, sat)
	}
}

// addStopped adds hours of air over metal at room temperature.
func (e *Exposure) addStopped(hours []Hour, sat []unit.Pascal) {
	for i, h := range hours {
		e.add(h.Vapor, sat[i])
	}
}

// add adds one hour of air over metal whose saturation pressure is sat.
func (e *Exposure) add(vapor, sat unit.Pascal) {
	e.Hours++
	e.Net += unit.PascalHour(vapor - sat)
	if vapor > sat {
		e.BelowDewPoint++
		e.Drive += unit.PascalHour(vapor - sat)
	}
	if vapor > wetSurface*sat {
		e.OverRH80++
	}
}
