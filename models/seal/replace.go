package seal

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Replacement prices a seal whose failure shows at once, as a drip does: it is
// re-made at a planned age, or earlier when it fails.
type Replacement struct {
	Planned  float64 // cost of re-making it in time; > 0
	Failure  float64 // cost of re-making it after it failed; > Planned
	Survival func(age float64) float64
}

// Rate is the cost a year of re-making at age t (Barlow & Hunter, Oper. Res. 8
// (1960) 90, from memory):
//
//	C(t) = (c_p S(t) + c_f F(t)) / int_0^t S du
func (r Replacement) Rate(t float64) float64 {
	s := r.Survival(t)
	return (r.Planned*s + r.Failure*(1-s)) / quad.Fixed(r.Survival, 0, t, 64, quad.Legendre{}, 0)
}

// Age is the age of least Rate below limit, by a scan of log-spaced ages and a
// golden-section search to about 1e-8 relative. The answer limit says that waiting
// for the failure is cheaper.
func (r Replacement) Age(limit float64) float64 {
	const points, span = 200, 1e-4
	step := -math.Log(span) / points
	best := limit
	for i := range points {
		if t := limit * span * math.Exp(float64(i)*step); r.Rate(t) < r.Rate(best) {
			best = t
		}
	}
	if best == limit {
		return limit
	}
	lo, hi := best*math.Exp(-step), math.Min(limit, best*math.Exp(step))
	for hi-lo > 1e-9*hi {
		a, b := hi-(hi-lo)/math.Phi, lo+(hi-lo)/math.Phi
		if r.Rate(a) < r.Rate(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return (lo + hi) / 2
}
