package climate

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// BridgedHours is the longest gap that is interpolated (a judgement of this
// project, no source).
const BridgedHours = 6

// Gap is a run of hours without air that was too long to interpolate.
type Gap struct {
	First int // index of the first missing hour
	Hours int
}

// bridge interpolates gaps of at most BridgedHours linearly in temperature and
// in dew point, in place, and returns the hours filled and the gaps left. In a
// cyclic series the last hour is followed by the first, as in a typical year.
func bridge(hours []Hour, cyclic bool) (filled int, left []Gap) {
	before := make([]bool, len(hours))
	for i, h := range hours {
		before[i] = h.known()
	}
	for _, c := range []column{dryBulbOf(hours), dewPointOf(hours)} {
		c.bridge(cyclic)
	}
	for i := range hours {
		if before[i] || !hours[i].known() {
			continue
		}
		hours[i].Vapor = min(hours[i].Vapor, air.SatPressure(hours[i].T))
		hours[i].Origin = Interpolated
		filled++
	}
	return filled, gaps(hours)
}

// column is one quantity over a run of hours.
type column struct {
	n   int
	has func(i int) bool
	get func(i int) float64
	set func(i int, value float64)
}

func dryBulbOf(hours []Hour) column {
	return column{
		n:   len(hours),
		has: func(i int) bool { return !math.IsNaN(float64(hours[i].T)) },
		get: func(i int) float64 { return float64(hours[i].T) },
		set: func(i int, value float64) { hours[i].T = unit.Celsius(value) },
	}
}

func dewPointOf(hours []Hour) column {
	return column{
		n:   len(hours),
		has: func(i int) bool { return !math.IsNaN(float64(hours[i].Vapor)) },
		get: func(i int) float64 { return float64(hours[i].DewPoint()) },
		set: func(i int, value float64) { hours[i].Vapor = air.SatPressure(unit.Celsius(value)) },
	}
}

// bridge fills runs of at most BridgedHours without value between two values.
func (c column) bridge(cyclic bool) {
	end := c.n
	if cyclic {
		end += BridgedHours + 1
	}
	last := -1 // last hour with a value
	for i := range end {
		if !c.has(i % c.n) {
			continue
		}
		if missing := i - last - 1; last >= 0 && missing > 0 && missing <= BridgedHours {
			from, to := c.get(last%c.n), c.get(i%c.n)
			for k := 1; k <= missing; k++ {
				c.set((last+k)%c.n, from+(to-from)*float64(k)/float64(missing+1))
			}
		}
		last = i
	}
}

// gaps lists the runs of hours that are not known and marks them missing.
func gaps(hours []Hour) []Gap {
	var list []Gap
	for i := range hours {
		if hours[i].known() {
			continue
		}
		hours[i] = missingHour()
		if k := len(list) - 1; k >= 0 && list[k].First+list[k].Hours == i {
			list[k].Hours++
			continue
		}
		list = append(list, Gap{First: i, Hours: 1})
	}
	return list
}
