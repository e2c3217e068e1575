package climate

import (
	"math"
	"slices"
	"sort"

	"drylag/models/air"
	"drylag/models/unit"
)

// wetSurface is the relative humidity above which a surface counts as damp
// (ISO 9223:1992).
const wetSurface = 0.8

// Exposure is what the air of some hours means for metal in it.
type Exposure struct {
	Hours         unit.Hours      // hours in all
	BelowDewPoint unit.Hours      // p_w > p_ws(metal), strictly: water condenses
	OverRH80      unit.Hours      // p_w > 0.8·p_ws(metal): damp, the dew-point hours included
	Drive         unit.PascalHour // Σ max(0, p_w − p_ws(metal))
	Net           unit.PascalHour // Σ (p_w − p_ws(metal)); at or below 0 the metal can dry
}

// Dry returns the hours with the dew point at or below the metal.
func (e Exposure) Dry() unit.Hours { return e.Hours - e.BelowDewPoint }

// Share returns the share of the hours below the dew point, NaN of no hours.
func (e Exposure) Share() unit.Fraction { return unit.Fraction(e.BelowDewPoint / e.Hours) }

// Plus returns both exposures together.
func (e Exposure) Plus(other Exposure) Exposure {
	return Exposure{
		Hours:         e.Hours + other.Hours,
		BelowDewPoint: e.BelowDewPoint + other.BelowDewPoint,
		OverRH80:      e.OverRH80 + other.OverRH80,
		Drive:         e.Drive + other.Drive,
		Net:           e.Net + other.Net,
	}
}

// Total returns the months together.
func Total(months [12]Exposure) Exposure {
	var year Exposure
	for _, m := range months {
		year = year.Plus(m)
	}
	return year
}

// Table holds the vapor pressures of some hours, sorted once, with the sums of
// their tails: any metal temperature is then answered exactly by one binary
// search.
type Table struct {
	vapor []float64 // Pa, rising
	tail  []float64 // tail[i] = Σ vapor[i:], one longer than vapor
}

// newTable sorts vapor in place.
func newTable(vapor []float64) Table {
	slices.Sort(vapor)
	tail := make([]float64, len(vapor)+1)
	for i := len(vapor) - 1; i >= 0; i-- {
		tail[i] = tail[i+1] + vapor[i]
	}
	return Table{vapor: vapor, tail: tail}
}

// over returns the index of the first hour with a vapor pressure above limitPa.
func (t Table) over(limitPa float64) int {
	return sort.Search(len(t.vapor), func(i int) bool { return t.vapor[i] > limitPa })
}

// At returns the exposure of metal held at one temperature, all of it NaN but
// the hours where metal is outside -100 to 200 °C.
func (t Table) At(metal unit.Celsius) Exposure {
	return Exposure{
		Hours:         t.Count(),
		BelowDewPoint: t.HoursBelowDewPoint(metal),
		OverRH80:      t.HoursOverRH80(metal),
		Drive:         t.Drive(metal),
		Net:           t.NetDrive(metal),
	}
}

// Count returns the number of hours in the table.
func (t Table) Count() unit.Hours { return unit.Hours(len(t.vapor)) }

// HoursBelowDewPoint counts the hours with p_w > p_ws(metal), strictly. NaN
// where metal is outside -100 to 200 °C.
func (t Table) HoursBelowDewPoint(metal unit.Celsius) unit.Hours {
	return t.countAbove(float64(air.SatPressure(metal)))
}

// HoursOverRH80 counts the hours with p_w > 0.8·p_ws(metal), strictly: the air
// at the metal is damper than 80 %, the bound of ISO 9223:1992 applied to a cold
// surface. NaN where metal is outside -100 to 200 °C.
func (t Table) HoursOverRH80(metal unit.Celsius) unit.Hours {
	return t.countAbove(wetSurface * float64(air.SatPressure(metal)))
}

func (t Table) countAbove(limitPa float64) unit.Hours {
	if math.IsNaN(limitPa) {
		return unit.Hours(math.NaN())
	}
	return unit.Hours(len(t.vapor) - t.over(limitPa))
}

// Drive returns the vapor drive on metal, Σ max(0, p_w − p_ws(metal))·1 h. It is
// 0 for no hours and NaN where metal is outside -100 to 200 °C.
func (t Table) Drive(metal unit.Celsius) unit.PascalHour {
	sat := float64(air.SatPressure(metal))
	if math.IsNaN(sat) || len(t.vapor) == 0 {
		return unit.PascalHour(sat - sat) // NaN stays
	}
	i := t.over(sat)
	return unit.PascalHour(t.tail[i] - sat*float64(len(t.vapor)-i))
}

// NetDrive returns Σ (p_w − p_ws(metal))·1 h: at or below 0 metal that lies open
// can dry over these hours. NaN where metal is outside -100 to 200 °C.
func (t Table) NetDrive(metal unit.Celsius) unit.PascalHour {
	sat := float64(air.SatPressure(metal))
	if math.IsNaN(sat) || len(t.vapor) == 0 {
		return unit.PascalHour(sat - sat)
	}
	return unit.PascalHour(t.tail[0] - sat*float64(len(t.vapor)))
}
