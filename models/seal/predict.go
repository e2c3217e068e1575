package seal

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// z90 cuts 5 % off each end of a normal distribution.
const z90 = 1.6448536269514722

// nodes are the 9-point Gauss-Hermite rule for the standard normal:
// E f(Z) = Σ weight f(z). Abramowitz & Stegun, table 25.10, n = 9, with
// z = √2 x and weight = w/√π.
var nodes = [...]struct{ z, weight float64 }{
	{-4.512745863399783, 2.234584400774658e-05},
	{-3.205429002856470, 2.789141321231769e-03},
	{-2.076847978677830, 4.991640676521788e-02},
	{-1.023255663789133, 2.440975028949394e-01},
	{0, 4.063492063492064e-01},
	{1.023255663789133, 2.440975028949394e-01},
	{2.076847978677830, 4.991640676521788e-02},
	{3.205429002856470, 2.789141321231769e-03},
	{4.512745863399783, 2.234584400774658e-05},
}

// mean is E f(Z) for a standard normal Z.
func mean(f func(z float64) float64) float64 {
	sum := 0.0
	for _, n := range nodes {
		sum += n.weight * f(n.z)
	}
	return sum
}

// Probability is how likely a cover is wet, with its 90 % interval. Eta, the
// log cumulative hazard, is normal with standard deviation SD; P averages over
// it, so P lies off the middle of the interval where little is known.
type Probability struct{ P, Lo, Hi, Eta, SD float64 }

// wetAt is P(wet) where the log cumulative hazard is eta.
func wetAt(eta float64) float64 { return -math.Expm1(-math.Exp(eta)) }

// Outlook is what a fit says of one cover at any age: its log cumulative
// hazard at age u is normal with mean eta + k ln u and variance
// v0 + 2 v1 ln u + v2 ln² u.
type Outlook struct{ eta, k, v0, v1, v2 float64 }

// Outlook looks at one cover. In a building with episodes of its own the
// building's effect is known with its own doubt; elsewhere it is drawn from the
// spread between buildings.
func (f Fit) Outlook(c Covariates) Outlook { return f.outlook(newDesign(f.Names), &c) }

// Outlooks looks at many covers, faster than one by one.
func (f Fit) Outlooks(covers []Covariates) []Outlook {
	d := newDesign(f.Names)
	out := make([]Outlook, len(covers))
	for i := range covers {
		out[i] = f.outlook(d, &covers[i])
	}
	return out
}

func (f Fit) outlook(by design, c *Covariates) Outlook {
	n := len(f.Names)
	d := append(by.vector(*c), 0)
	o := Outlook{k: f.K(), v2: f.Cov[n][n]}
	for j := range n {
		o.eta += d[j] * f.Theta[j]
	}
	if e, known := f.Buildings[c.Building]; known {
		o.eta += e.B
		o.v0 = e.Own
		for j, share := range e.Share {
			d[j] -= share
		}
	} else {
		o.v0 = f.SigmaB * f.SigmaB
	}
	o.v0 += quadratic(f.Cov, d, d)
	for j := range d {
		o.v1 += d[j] * f.Cov[j][n]
	}
	return o
}

// quadratic is x'Ay.
func quadratic(a [][]float64, x, y []float64) float64 {
	sum := 0.0
	for i, row := range a {
		if x[i] == 0 {
			continue
		}
		for j, v := range row {
			sum += x[i] * v * y[j]
		}
	}
	return sum
}

// normal gives mean and standard deviation of the log cumulative hazard at age u.
func (o Outlook) normal(u float64) (m, sd float64) {
	l := math.Log(u)
	return o.eta + o.k*l, math.Sqrt(math.Max(0, o.v0+l*(2*o.v1+l*o.v2)))
}

// Predict is the probability that the cover is wet u years after closing, had
// nobody opened it before. Predict(c, 0) is 0; a negative or NaN age gives NaN.
func (f Fit) Predict(c Covariates, u float64) Probability { return f.Outlook(c).At(u) }

// At is the probability that the cover is wet u years after closing.
func (o Outlook) At(u float64) Probability {
	if u == 0 {
		return Probability{Eta: math.Inf(-1)}
	}
	m, sd := o.normal(u)
	return Probability{
		P:  mean(func(z float64) float64 { return wetAt(m + sd*z) }),
		Lo: wetAt(m - z90*sd), Hi: wetAt(m + z90*sd), Eta: m, SD: sd,
	}
}

// AfterDryLook is the probability that a cover seen dry at age v, its seal
// unbroken, is wet at age u >= v: 1 - S(u)/S(v), S = exp(-H). S(u) and S(v) are
// averaged over the nodes before they are divided, since a dry look also speaks
// against the nodes that expected water. k is taken at its mode. The bounds are
// those of the single nodes at ±1.645 SD. v = 0 is At(u); u <= v gives 0.
func (o Outlook) AfterDryLook(v, u float64) Probability {
	if v == 0 {
		return o.At(u)
	}
	m, sd := o.normal(u)
	p := Probability{Eta: m, SD: sd}
	if u <= v {
		return p
	}
	share := math.Exp(o.k * math.Log(v/u)) // H(v)/H(u)
	dry := mean(func(z float64) float64 { return math.Exp(-math.Exp(m+sd*z) * share) })
	both := mean(func(z float64) float64 { return math.Exp(-math.Exp(m + sd*z)) })
	since := func(eta float64) float64 { return -math.Expm1(-math.Exp(eta) * (1 - share)) }
	p.P = 1 - both/dry
	p.Lo, p.Hi = since(m-z90*sd), since(m+z90*sd)
	return p
}

// AfterDryLook is Outlook(c).AfterDryLook(v, u).
func (f Fit) AfterDryLook(c Covariates, v, u float64) Probability {
	return f.Outlook(c).AfterDryLook(v, u)
}

// shareNodes integrate to better than 1e-6 what the default prior can say of
// any cover (see the tests).
const shareNodes = 32

// WetShare is the mean of P(wet by s) over the ages s in a..b years: the share
// of that time the metal is expected wet. WetShare(a, a) is P at a; b < a or a
// negative age gives NaN. Gauss-Legendre in x with s = a + (b-a) x³, which
// takes the steep start of a risky cover gently.
func (o Outlook) WetShare(a, b float64) float64 {
	switch {
	case !(0 <= a && a <= b):
		return math.NaN()
	case a == b:
		return o.At(a).P
	}
	p := func(x float64) float64 { return 3 * x * x * o.At(a+(b-a)*x*x*x).P }
	return quad.Fixed(p, 0, 1, shareNodes, quad.Legendre{}, 0)
}
