package heat

import (
	"math"

	"drylag/models/unit"
)

// Plant turns heat into the bill of the chillers that take it away.
type Plant struct {
	COP    float64 // heat taken away per electricity, above 0 and at most 30
	Tariff float64 // currency per kWh of electricity, at least 0
}

// Cost is what heat costs.
type Cost struct {
	Electricity float64 // kWh
	Money       float64 // in the currency of the tariff
}

// Cost returns the cost of heatKWh of heat:
//
//	kWh_e = Q/COP, cost = kWh_e · tariff
//
// NaN where the plant is out of range. A loss of heat comes out negative.
// Source: arithmetic.
func (p Plant) Cost(heatKWh float64) Cost {
	if !(p.COP > 0 && p.COP <= 30 && p.Tariff >= 0) {
		return Cost{math.NaN(), math.NaN()}
	}
	electricity := heatKWh / p.COP
	return Cost{electricity, electricity * p.Tariff}
}

// Annual returns the cost of a steady heat q over hours, 0 to 8784. Prefer the
// sum over the hours of a climate, SurfaceYear.CoveredHeat, to one design point.
func (p Plant) Annual(q unit.Watt, hours unit.Hours) Cost {
	if !(hours >= 0 && hours <= 8784) {
		return Cost{math.NaN(), math.NaN()}
	}
	return p.Cost(float64(q) * float64(hours) / 1000)
}
