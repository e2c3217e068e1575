package climate

import (
	"fmt"
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// hourSums collects readings into hourly means. Vapor pressure is averaged, not
// dew point: the drive over an hour is linear in it.
type hourSums struct {
	n      []struct{ dry, vapor int32 }
	dry    []float64
	vapor  []float64
	rows   []int
	sumPa  float64
	countP int
}

func newHourSums(hours int) *hourSums {
	return &hourSums{
		n:     make([]struct{ dry, vapor int32 }, hours),
		dry:   make([]float64, hours),
		vapor: make([]float64, hours),
		rows:  make([]int, hours),
	}
}

// add adds one reading to hour i; a NaN is no reading.
func (s *hourSums) add(i int, dry unit.Celsius, vapor unit.Pascal) {
	if !math.IsNaN(float64(dry)) {
		s.dry[i] += float64(dry)
		s.n[i].dry++
	}
	if !math.IsNaN(float64(vapor)) {
		s.vapor[i] += float64(vapor)
		s.n[i].vapor++
	}
}

func (s *hourSums) addPressure(p float64) {
	if !math.IsNaN(p) {
		s.sumPa += p
		s.countP++
	}
}

// hours returns the means; a column without reading is NaN.
func (s *hourSums) hours() []Hour {
	hours := make([]Hour, len(s.n))
	for i, n := range s.n {
		hours[i] = missingHour()
		if n.dry > 0 {
			hours[i].T = unit.Celsius(s.dry[i] / float64(n.dry))
		}
		if n.vapor > 0 {
			hours[i].Vapor = unit.Pascal(s.vapor[i] / float64(n.vapor))
		}
		if hours[i].known() {
			// the mean of saturated readings can lie a little above saturation
			hours[i].Vapor = min(hours[i].Vapor, air.SatPressure(hours[i].T))
			hours[i].Origin = Measured
		}
	}
	return hours
}

// meanPressure returns the mean of the readings, the standard pressure at z if
// there are none.
func (s *hourSums) meanPressure(z unit.Meter) unit.Pascal {
	if s.countP == 0 {
		return air.PressureAtAltitude(z)
	}
	return unit.Pascal(s.sumPa / float64(s.countP))
}

// wholeYear bridges short gaps and refuses a year in which longer ones remain.
func wholeYear(climate Hourly) (Hourly, error) {
	filled, left := bridge(climate.Hours, true)
	climate.Filled = filled
	if len(left) == 0 {
		return climate, nil
	}
	faults := make([]Fault, len(left))
	for i, gap := range left {
		faults[i] = Fault{Field: "hours", Msg: fmt.Sprintf("no air for %d hours from %s; at most %d are interpolated",
			gap.Hours, hourText(gap.First, len(climate.Hours)), BridgedHours)}
	}
	return Hourly{}, &FileError{Code: CodeRows, Faults: faults}
}
