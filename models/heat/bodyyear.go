package heat

import "drylag/models/unit"

// BodyHeat sums the heat into a body under the cover of c over the hours. The
// heat at a room temperature is Body.Solve's, summed as CoveredHeat does. NaN
// as Body.Solve, to be shown with BodyTolerance.
func (y *SurfaceYear) BodyHeat(b Body, c Cylinder, speed unit.MPerS) HeatSum {
	var sum HeatSum
	for _, n := range y.nodes {
		if n.hours == 0 {
			continue
		}
		_, watts := b.Solve(c, Room{Air: unit.Celsius(n.airC), Pressure: y.pressure, Speed: speed})
		sum.add(float64(watts), n.hours)
	}
	return sum
}
