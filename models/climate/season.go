package climate

import (
	"math"
	"slices"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// Season is a part of the year with one metal temperature. It starts on a day
// and runs, over the turn of the year if need be, until the next season starts.
type Season struct {
	Month time.Month
	Day   int
	Metal *unit.Celsius // nil: the loop is stopped and the metal is at room temperature
}

// seasonStart is a season with its first hour and the saturation at its metal.
type seasonStart struct {
	first   int
	stopped bool
	sat     unit.Pascal
}

// Seasonal returns the exposure of metal on a loop with seasons in each month,
// hour by hour. While the loop is stopped the metal is at room temperature: no
// drive and no hour below the dew point, and the net drive of those hours dries.
// One season holds all year. Drive, net drive and counts are NaN where there is
// no season, a start is no day of the year, or a metal is outside -100 to 200 °C.
func (s *Summary) Seasonal(seasons []Season) [12]Exposure {
	starts, ok := startsOf(seasons, len(s.hours))
	if !ok {
		return s.ByMonth(unit.Celsius(math.NaN()))
	}
	var months [12]Exposure
	current := starts[len(starts)-1] // 1 January lies in the season begun last
	for i, h := range s.hours {
		for len(starts) > 0 && starts[0].first <= i {
			current, starts = starts[0], starts[1:]
		}
		sat := current.sat
		if current.stopped {
			sat = s.sat[i]
		}
		months[s.month[i]].add(h.Vapor, sat)
	}
	return months
}

// startsOf sorts the seasons by their first hour in a year of the given length.
func startsOf(seasons []Season, hours int) (starts []seasonStart, ok bool) {
	for _, season := range seasons {
		first, valid := HourOfYear(season.Month, season.Day, 0, hours)
		start := seasonStart{first: first, stopped: season.Metal == nil}
		if season.Metal != nil {
			start.sat = air.SatPressure(*season.Metal)
		}
		if !valid || math.IsNaN(float64(start.sat)) {
			return nil, false
		}
		starts = append(starts, start)
	}
	slices.SortStableFunc(starts, func(a, b seasonStart) int { return a.first - b.first })
	return starts, len(starts) > 0
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
