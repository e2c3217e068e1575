package climate

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// Summary is a year prepared for questions about metal: the year as one table
// and each month as another. The methods of Table answer for the year.
type Summary struct {
	Table
	Months [12]Table

	hours []Hour
	sat   []unit.Pascal // saturation at the dry bulb of each hour
	month []uint8       // 0 to 11, of each hour
}

// Prepare sorts a year. The error is a *FileError if the year is not whole.
func Prepare(climate Hourly) (*Summary, error) {
	if err := checkLength(climate); err != nil {
		return nil, err
	}
	n := len(climate.Hours)
	s := &Summary{hours: climate.Hours, sat: make([]unit.Pascal, n), month: make([]uint8, n)}
	year := make([]float64, 0, n)
	var months [12][]float64
	for i, h := range climate.Hours {
		s.sat[i] = air.SatPressure(h.T)
		if !h.known() || math.IsNaN(float64(s.sat[i])) {
			return nil, whole(CodeRows, "hours", "no air for the hour from %s", hourText(i, n))
		}
		s.month[i] = uint8(MonthOfHour(i, n) - 1)
		year = append(year, float64(h.Vapor))
		months[s.month[i]] = append(months[s.month[i]], float64(h.Vapor))
	}
	s.Table = newTable(year)
	for m := range months {
		s.Months[m] = newTable(months[m])
	}
	return s, nil
}

// checkLength refuses a year that is not whole.
func checkLength(climate Hourly) error {
	if n := len(climate.Hours); n != CommonYear && n != LeapYear {
		return whole(CodeRows, "hours", "%d hours; a whole year has %d or %d", n, CommonYear, LeapYear)
	}
	return nil
}

// hourText prints the start of hour i.
func hourText(i, hours int) string { return startOf(i, hours).Format("2 January 15:04") }

// ByMonth returns the exposure of metal held at one temperature in each month.
func (s *Summary) ByMonth(metal unit.Celsius) [12]Exposure {
	var months [12]Exposure
	for m, table := range s.Months {
		months[m] = table.At(metal)
	}
	return months
}

// DryHoursByMonth returns the hours of each month with the dew point at or below
// the metal: when a cover can be opened and closed dry.
func (s *Summary) DryHoursByMonth(metal unit.Celsius) [12]unit.Hours {
	var dry [12]unit.Hours
	for m, e := range s.ByMonth(metal) {
		dry[m] = e.Dry()
	}
	return dry
}

// TimeOfWetness counts the hours with relative humidity above 80 % and a
// temperature above 0 °C, both strictly. Source: ISO 9223:1992, as quoted in a
// service-life paper of the 1990s; the standard itself was not read.
func (s *Summary) TimeOfWetness() unit.Hours {
	count := 0
	for i, h := range s.hours {
		if h.T > 0 && h.Vapor > wetSurface*s.sat[i] {
			count++
		}
	}
	return unit.Hours(count)
}
