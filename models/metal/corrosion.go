package metal

import (
	"math"
	"slices"
)

// mmPerMil is exact: one mil is a thousandth of an inch.
const mmPerMil = 0.0254

// MMPerYear turns mils per year, the unit of the rate table, into mm per year.
func MMPerYear(mpy float64) float64 { return mpy * mmPerMil }

// Mpy turns mm per year into mils per year.
func Mpy(mmPerYear float64) float64 { return mmPerYear / mmPerMil }

// TableSpread is how far a rate from the table may be out either way while no
// measured rate stands beside it: lives are shown from a third to three times.
// See [TableSpreadSource].
const TableSpread = 3.0

// Driver is the wetness class of the rate table; "" is not known.
type Driver string

// The classes, driest first.
const (
	Dry      Driver = "dry"
	Mild     Driver = "mild"
	Moderate Driver = "moderate"
	Severe   Driver = "severe"
)

// Drivers lists the classes, driest first.
func Drivers() []Driver { return []Driver{Dry, Mild, Moderate, Severe} }

// DriverOf gives the class from the share of time the metal is wet (0 to 1):
// mild under 0.30, moderate from 0.30 to 0.60, severe above. Metal that never
// goes below the dew point of its room is dry whatever the share. A share that
// is NaN or outside 0 to 1 gives "", and with it a NaN rate.
// See [WetnessCutSource].
func DriverOf(wetShare float64, belowDewPoint bool) Driver {
	switch {
	case !(wetShare >= 0 && wetShare <= 1):
		return ""
	case !belowDewPoint:
		return Dry
	case wetShare < 0.30:
		return Mild
	case wetShare <= 0.60:
		return Moderate
	}
	return Severe
}

// rateTable is API RP 581 Part 2, Table 16.2: °F, then mils per year.
var rateTable = []struct{ f, severe, moderate, mild, dry float64 }{
	{10, 0, 0, 0, 0},
	{18, 3, 1, 0, 0},
	{43, 10, 5, 3, 1},
	{90, 10, 5, 3, 1},
	{160, 20, 10, 5, 2},
	{225, 10, 5, 1, 1},
	{275, 10, 2, 1, 0},
	{325, 5, 1, 0, 0},
	{350, 0, 0, 0, 0},
}

// TableRate gives the corrosion rate of carbon steel under insulation in mm per
// year at a service temperature in °C, linear in °F between the rows of the
// table. Below 10 °F (-12.2 °C) and above 350 °F (176.7 °C) it is the rate of
// the end row, 0. It is NaN for a NaN temperature or an unknown driver.
//
// The table is for outdoor process plant: it ranks covers, it does not predict
// metal loss. Other editions differ. See [RateTableSource].
func TableRate(serviceC float64, d Driver) float64 {
	if math.IsNaN(serviceC) || !slices.Contains(Drivers(), d) {
		return math.NaN()
	}
	f := 32 + 1.8*serviceC
	last := len(rateTable) - 1
	f = min(max(f, rateTable[0].f), rateTable[last].f)
	i := 1
	for i < last && f > rateTable[i].f {
		i++
	}
	low, high := rowRate(i-1, d), rowRate(i, d)
	part := (f - rateTable[i-1].f) / (rateTable[i].f - rateTable[i-1].f)
	return MMPerYear(low + part*(high-low))
}

func rowRate(i int, d Driver) float64 {
	row := rateTable[i]
	switch d {
	case Severe:
		return row.severe
	case Moderate:
		return row.moderate
	case Mild:
		return row.mild
	}
	return row.dry
}

// Season is a part of the year with one metal temperature: cold, hot, or loop
// stopped and metal at room temperature.
type Season struct{ Hours, MetalC float64 }

// SeasonRate gives the rate of the table weighted by the hours of the seasons,
// in mm per year. It is NaN if no hours are given, or if any are negative or
// any input is missing.
func SeasonRate(seasons []Season, d Driver) float64 {
	sum, hours := 0.0, 0.0
	for _, s := range seasons {
		if s.Hours < 0 {
			return math.NaN()
		}
		sum += s.Hours * TableRate(s.MetalC, d)
		hours += s.Hours
	}
	return sum / hours
}

// Susceptibility is how prone austenitic stainless steel is to chloride
// cracking under insulation; "" is not known.
type Susceptibility string

// The susceptibilities, least first.
const (
	NotProne    Susceptibility = "none"
	LowProne    Susceptibility = "low"
	MediumProne Susceptibility = "medium"
	HighProne   Susceptibility = "high"
)

// Cracking gives the susceptibility of austenitic stainless steel at a service
// temperature in °C. The table is kept in °F (cuts at 120, 200 and 300): below
// 120 °F (about 49 °C) there is none, so only the hot side of a dual-temperature
// loop counts. At 200 °F the worse row holds, above 300 °F there is none. A NaN
// temperature or an unknown driver gives "". See [CrackingSource].
func Cracking(serviceC float64, d Driver) Susceptibility {
	i := slices.Index(Drivers(), d)
	f := 32 + 1.8*serviceC
	const rounding = 1e-9 // °F, so that 120 °F typed and converted is still 120
	switch {
	case i < 0 || math.IsNaN(f):
		return ""
	case f < 120-rounding || f > 300+rounding:
		return NotProne
	case f <= 200+rounding:
		return []Susceptibility{LowProne, MediumProne, HighProne, HighProne}[i]
	}
	return []Susceptibility{NotProne, LowProne, MediumProne, HighProne}[i]
}
