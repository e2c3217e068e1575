package seal

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// Costs are the prices of a policy "open every T years", in any one unit.
type Costs struct {
	Opening  float64 // of one opening: hours, tape, sealant; > 0
	WetYear  float64 // of a year wet and unseen; > 0
	FoundWet float64 // extra when it is found wet
	Spoil    float64 // chance, 0 to 1, that an opening spoils the seal unseen
	SpoilBy  float64 // then added to eta, e.g. the coefficient of a poor seal
}

// SpoilChance is how often an opening leaves a poor seal that nobody notices;
// judgment, no source.
const SpoilChance = 0.05

// Costs are those of an owner who would pay so many openings to spare one year
// of wet metal, and so many more openings for each time water is found. An
// opening spoils the seal with SpoilChance, as far as a poor seal matters here.
func (f Fit) Costs(wetYear, foundWet float64) Costs {
	c := Costs{Opening: 1, WetYear: wetYear, FoundWet: foundWet, Spoil: SpoilChance}
	if j := slices.Index(f.Names, "seal_"+string(Poor)); j >= 0 {
		c.SpoilBy = math.Max(0, f.Theta[j])
	}
	return c
}

// Optimum is the interval of least cost.
type Optimum struct {
	Years float64 // +Inf: opening never pays on cost
	Rate  float64 // cost a year; at MaxAge if it never pays
	P     float64 // chance to find it wet; at MaxAge if it never pays
}

// mix averages over sound and spoiled re-closings.
func (c Costs) mix(eta float64, f func(eta float64) float64) float64 {
	if c.Spoil == 0 {
		return f(eta)
	}
	return (1-c.Spoil)*f(eta) + c.Spoil*f(eta+c.SpoilBy)
}

// wet is the chance to be wet at age t.
func (c Costs) wet(eta, k, t float64) float64 {
	return c.mix(eta, func(e float64) float64 { return wetAt(e + k*math.Log(t)) })
}

// Rate is the cost a year of opening every t years, where opening renews the
// cover and water goes unseen until then (renewal-reward):
//
//	C(t) = (c_o + c_r F(t) + c_w int_0^t F du) / t
//	int_0^t (1-F) du = scale Γ(1+1/k) P(1/k, H(t))
func (c Costs) Rate(eta, k, t float64) float64 {
	dry := c.mix(eta, func(e float64) float64 {
		return MeanLife(e, k) * lowerGamma(1/k, hazard(e, k, t))
	})
	return (c.Opening + c.FoundWet*c.wet(eta, k, t) + c.WetYear*(t-dry)) / t
}

// index is Index under these costs.
func (c Costs) index(eta, k, t float64) float64 {
	return c.mix(eta, func(e float64) float64 { return Index(e, k, t, c.WetYear, c.FoundWet) })
}

// Interval finds the T of least Rate for eta and k. With FoundWet and Spoil 0
// it is the closed form
//
//	T = scale · P⁻¹(1+1/k, c_o/(c_w mean life))^(1/k)
//
// else the best of all ages where the index rises through the cost of one
// opening. T is not clamped; ClampInterval does that for a plan.
func Interval(eta, k float64, c Costs) Optimum {
	best := math.Inf(1)
	if c.FoundWet == 0 && c.Spoil == 0 {
		if share := c.Opening / (c.WetYear * MeanLife(eta, k)); share < 1 {
			best = scale(eta, k) * math.Pow(inverseGamma(1+1/k, share), 1/k)
		}
	} else {
		best = c.search(eta, k)
	}
	if !(best < MaxAge) || c.Rate(eta, k, MaxAge) < c.Rate(eta, k, best) {
		return Optimum{math.Inf(1), c.Rate(eta, k, MaxAge), c.wet(eta, k, MaxAge)}
	}
	return Optimum{best, c.Rate(eta, k, best), c.wet(eta, k, best)}
}

// inverseGamma is the x with lowerGamma(a, x) = p, p from 0 to below 1. Small p
// are bisected in ln x from where the head of the series, x^a/Γ(a+1), is p: the
// library's search can fail there.
func inverseGamma(a, p float64) float64 {
	const small = 1e-8
	if !(p < small) {
		return mathext.GammaIncRegInv(a, p)
	}
	lnGamma, _ := math.Lgamma(a + 1)
	lo := (math.Log(p) + lnGamma) / a
	hi := lo + 1
	for lowerGamma(a, math.Exp(hi)) < p {
		hi++
	}
	for hi-lo > 1e-14*max(1, math.Abs(lo)) {
		m := lo + (hi-lo)/2
		if m <= lo || m >= hi {
			break
		}
		if lowerGamma(a, math.Exp(m)) < p {
			lo = m
		} else {
			hi = m
		}
	}
	return math.Exp(hi)
}

// search scans log-spaced ages, bisects each upward crossing of the index
// through the cost of an opening and keeps the cheapest; +Inf if there is none.
func (c Costs) search(eta, k float64) float64 {
	const points, first = 400, 1e-3
	best, rate := math.Inf(1), math.Inf(1)
	step := math.Log(MaxAge/first) / (points - 1)
	for i := 1; i < points; i++ {
		l := math.Log(first) + float64(i-1)*step
		h := l + step
		if c.index(eta, k, math.Exp(l)) >= c.Opening || c.index(eta, k, math.Exp(h)) < c.Opening {
			continue
		}
		for h-l > 1e-12 {
			m := (l + h) / 2
			if c.index(eta, k, math.Exp(m)) < c.Opening {
				l = m
			} else {
				h = m
			}
		}
		if t := math.Exp(h); c.Rate(eta, k, t) < rate {
			best, rate = t, c.Rate(eta, k, t)
		}
	}
	return best
}

// Interval is the interval of least cost at the most likely values.
func (o Outlook) Interval(c Costs) Optimum { return Interval(o.eta, o.k, c) }

// ClampInterval holds an interval within 0.25 to 10 years, the range in which
// a plan uses one.
func ClampInterval(years float64) float64 { return clip(years, 0.25, 10) }
