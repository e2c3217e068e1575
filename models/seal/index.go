package seal

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// MaxAge bounds the search for an age or an interval, in years.
const MaxAge = 200.0

// scale is the age at which the cumulative hazard of eta is 1.
func scale(eta, k float64) float64 { return math.Exp(-eta / k) }

// hazard is the cumulative hazard at age u.
func hazard(eta, k, u float64) float64 { return math.Exp(eta + k*math.Log(u)) }

// lowerGamma is the regularized lower incomplete gamma function P(a, x) for
// x up to +Inf; NaN stays NaN.
func lowerGamma(a, x float64) float64 {
	switch {
	case math.IsNaN(a) || math.IsNaN(x):
		return math.NaN()
	case math.IsInf(x, 1):
		return 1
	}
	return mathext.GammaIncReg(a, x)
}

// MeanLife is the mean age in years at which a cover of eta and k gets wet:
// scale Γ(1+1/k), the mean of a Weibull law.
func MeanLife(eta, k float64) float64 { return scale(eta, k) * math.Gamma(1+1/k) }

// Index is what opening at age u is worth in the long run, in units of cost,
// where opening renews the cover and water goes unseen until then:
//
//	W(u) = c_w int_0^u s dF(s) + c_r (u f(u) - F(u))
//	int_0^u s dF = scale Γ(1+1/k) P(1+1/k, H(u))
//
// cw is the cost of a year wet, cr the extra cost of finding it wet. The least
// cost rate is where W(u) equals the cost of one opening (renewal-reward;
// setting the derivative of Costs.Rate to 0). Index(…, 0, …) = 0.
func Index(eta, k, u, cw, cr float64) float64 {
	if u == 0 {
		return 0
	}
	h := hazard(eta, k, u)
	w := cw * MeanLife(eta, k) * lowerGamma(1+1/k, h)
	if cr != 0 {
		uf := k * h * math.Exp(-h) // u f(u), f = H' exp(-H)
		if math.IsInf(h, 1) {
			uf = 0
		}
		w += cr * (uf + math.Expm1(-h))
	}
	return w
}

// IndexAfter is what opening at age u is worth where the next closing changes
// the cover from eta to etaAfter:
//
//	W(u) = c_w scale' Γ(1+1/k) P(1+1/k, H(u)), scale' = exp(-etaAfter/k)
//
// Opening at cost c pays once W(u) >= c. A poor seal that will be made sound
// comes early, a cover that would soon be wet again comes late. With etaAfter
// = eta it is Index with cr = 0.
func IndexAfter(eta, etaAfter, k, u, cw float64) float64 {
	if u == 0 {
		return 0
	}
	return cw * MeanLife(etaAfter, k) * lowerGamma(1+1/k, hazard(eta, k, u))
}

// Chance is P(wet) at age u for eta and k, in years: 1 - exp(-exp(eta + k ln u)).
func Chance(eta, k, u float64) float64 { return wetAt(eta + k*math.Log(u)) }

// Threshold is the age in years at which P(wet) reaches p for eta and k.
func Threshold(eta, k, p float64) float64 {
	return math.Exp((math.Log(-math.Log1p(-p)) - eta) / k)
}

// Index is IndexAfter for this cover against the cover as the next closing
// leaves it, averaged over the nodes with the same offset in both.
func (o Outlook) Index(after Outlook, u, cw float64) float64 {
	if u == 0 {
		return 0
	}
	_, sd := o.normal(u)
	return mean(func(z float64) float64 {
		return IndexAfter(o.eta+sd*z, after.eta+sd*z, o.k, u, cw)
	})
}

// MeanLife is the mean of MeanLife over the nodes, with the doubt about this
// cover at one year. cw·MeanLife below the cost of an opening of the cover as
// re-closed says: opening alone will not keep it dry.
func (o Outlook) MeanLife() float64 {
	_, sd := o.normal(1)
	return mean(func(z float64) float64 { return MeanLife(o.eta+sd*z, o.k) })
}

// DueAge is the first age in years at which Index reaches the cost co of one
// opening; ok is false if that is not within MaxAge.
func (o Outlook) DueAge(after Outlook, co, cw float64) (u float64, ok bool) {
	return firstAge(co, func(u float64) float64 { return o.Index(after, u, cw) })
}

// AgeAt is the age in years at which P(wet) of this cover reaches p; ok is
// false if that is not within MaxAge.
func (o Outlook) AgeAt(p float64) (u float64, ok bool) {
	return firstAge(p, func(u float64) float64 { return o.At(u).P })
}

// firstAge finds where f first reaches target, on a grid of doubling ages and
// then by bisection in ln u to 1e-9.
func firstAge(target float64, f func(u float64) float64) (u float64, ok bool) {
	const first = 1.0 / 512
	lo, hi := 0.0, first
	for !(f(hi) >= target) {
		if hi >= MaxAge {
			return math.NaN(), false
		}
		lo, hi = hi, math.Min(2*hi, MaxAge)
	}
	if lo == 0 {
		lo = hi / MaxAge
	}
	l, h := math.Log(lo), math.Log(hi)
	for h-l > 1e-9 {
		m := (l + h) / 2
		if f(math.Exp(m)) >= target {
			h = m
		} else {
			l = m
		}
	}
	return math.Exp(h), true
}
