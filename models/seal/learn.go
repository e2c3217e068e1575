package seal

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Options change how a fit is found, not what it means.
type Options struct {
	SigmaB float64 // holds the spread between buildings; 0 learns it
	Start  *Fit    // where to begin, e.g. the last fit; nil begins at the prior
}

// sample is the size of the first fit of a very large fleet.
const (
	largeFleet = 200_000
	sample     = 50_000
)

// Learn finds the posterior mode of the coefficients, the shape k and the
// building effects, with the curvature there as covariance (Laplace), and the
// spread between buildings as the fixed point
//
//	sigma² = (SeenAs Spread² + Σ (b_g² + var b_g)) / (SeenAs + buildings)
//
// The prior holds what the data leave open, so no data, all dry, all wet or
// separated data have a mode too. Episodes belong through Sift before. An error
// means an impossible episode or prior, or no mode found; keep the last fit.
func Learn(p Prior, episodes []Episode, o Options) (Fit, error) {
	if err := p.check(); err != nil {
		return Fit{}, err
	}
	if err := checkAll(episodes); err != nil {
		return Fit{}, err
	}
	if o.Start == nil && len(episodes) > largeFleet {
		first, err := Learn(p, thin(episodes, sample), Options{SigmaB: o.SigmaB})
		if err != nil {
			return Fit{}, err
		}
		o.Start = &first
	}
	q := compile(p.names(), p, episodes)
	at, sigma := q.begin(o.Start), p.Spread
	steps, err := 0, error(nil)
	if o.SigmaB > 0 || len(q.buildings) == 0 {
		if o.SigmaB > 0 {
			sigma = o.SigmaB
		}
		at, steps, err = q.climb(at, sigma)
	} else {
		at, sigma, steps, err = q.learnSpread(at, o.Start)
	}
	if err != nil {
		return Fit{}, fmt.Errorf("learn from %d episodes: %w", len(episodes), err)
	}
	f, err := q.fit(at, sigma)
	f.Steps, f.Version = steps, version(p, episodes, o.SigmaB)
	return f, err
}

// check says what makes a prior impossible.
func (p Prior) check() error {
	if len(p.Columns) == 0 || len(p.Columns) > math.MaxUint16 {
		return errors.New("the prior has no columns")
	}
	for _, c := range p.Columns {
		if !(c.SD > 0) || math.IsInf(c.SD, 0) || math.IsNaN(c.Mean) || math.IsInf(c.Mean, 0) {
			return fmt.Errorf("prior column %s needs a mean and a standard deviation above 0", c.Name)
		}
	}
	if !(p.KShape > 1 && p.KRate > 0 && p.Spread >= 0 && p.SeenAs >= 0) {
		return errors.New("the prior needs KShape above 1, KRate above 0, Spread and SeenAs not below 0")
	}
	return nil
}

func checkAll(episodes []Episode) error {
	for i := range episodes {
		if err := episodes[i].check(); err != nil {
			return fmt.Errorf("episode %d %s: %w", i+1, episodes[i].ID, err)
		}
	}
	return nil
}

// thin takes about n episodes, evenly.
func thin(episodes []Episode, n int) []Episode {
	every := len(episodes) / n
	kept := make([]Episode, 0, n+1)
	for i := 0; i < len(episodes); i += every {
		kept = append(kept, episodes[i])
	}
	return kept
}

// begin is the prior's mode, moved to what start knows of the same columns and
// buildings.
func (q *problem) begin(start *Fit) *point {
	at := newPoint(q.columns+1, len(q.buildings))
	for j, c := range q.prior.Columns {
		at.theta[j] = c.Mean
	}
	at.theta[q.columns] = q.prior.kMode()
	if start == nil {
		return at
	}
	for j, name := range q.names {
		if i := slices.Index(start.Names, name); i >= 0 {
			at.theta[j] = start.Theta[i]
		}
	}
	at.theta[q.columns] = start.K()
	for g, b := range q.buildings {
		at.b[g] = start.Buildings[b.name].B
	}
	return at
}

// spreadTol stops the search for ln sigma², spreadTries bounds it.
const (
	spreadTol   = 1e-9
	spreadTries = 40
	spreadJump  = 1.5 // a secant step longer than this is not trusted
)

// learnSpread solves the fixed point of Learn by secant steps on x = ln sigma².
func (q *problem) learnSpread(at *point, start *Fit) (mode *point, sigma float64, steps int, err error) {
	x := 2 * math.Log(q.prior.Spread)
	if start != nil && start.SigmaB > 0 {
		x = 2 * math.Log(start.SigmaB)
	}
	var lastX, lastMiss float64
	for try := range spreadTries {
		n := 0
		at, n, err = q.climb(at, math.Exp(x/2))
		steps += n
		if err != nil {
			return nil, 0, steps, err
		}
		to, err := q.spreadOf(at)
		if err != nil {
			return nil, 0, steps, err
		}
		miss := to - x
		if math.Abs(miss) < spreadTol {
			return at, math.Exp(x / 2), steps, nil
		}
		next := to
		if slope := miss - lastMiss; try > 0 && math.Abs(slope) > 1e-14 {
			if s := x - miss*(x-lastX)/slope; math.Abs(s-x) <= spreadJump {
				next = s
			}
		}
		lastX, lastMiss, x = x, miss, next
	}
	return nil, 0, steps, errors.New("the spread between buildings does not settle")
}

// spreadOf is the right side of the fixed point, as ln sigma².
func (q *problem) spreadOf(at *point) (float64, error) {
	v, err := at.covariance()
	if err != nil {
		return 0, err
	}
	sum := q.prior.SeenAs * q.prior.Spread * q.prior.Spread
	for g, b := range at.b {
		_, variance := at.share(g, v)
		sum += b*b + variance
	}
	return math.Log(sum / (q.prior.SeenAs + float64(len(at.b)))), nil
}

// covariance is the posterior covariance of theta.
func (p *point) covariance() (*mat.SymDense, error) {
	c, err := p.schur()
	if err != nil {
		return nil, err
	}
	var v mat.SymDense
	if err := c.InverseTo(&v); err != nil {
		return nil, errNoMode
	}
	return &v, nil
}

// share is how building g moves against theta, and its posterior variance
// 1/D + c'Vc.
func (p *point) share(g int, v *mat.SymDense) (c []float64, variance float64) {
	m := len(p.theta)
	c = make([]float64, m)
	for j := range c {
		c[j] = p.cross[g*m+j] / p.diag[g]
	}
	x := mat.NewVecDense(m, c)
	return c, 1/p.diag[g] + mat.Inner(x, v, x)
}

// fit writes down the mode.
func (q *problem) fit(at *point, sigma float64) (Fit, error) {
	v, err := at.covariance()
	if err != nil {
		return Fit{}, err
	}
	f := Fit{Prior: q.prior, Names: q.names, Theta: at.theta, SigmaB: sigma, LogLik: at.loglik, Buildings: map[string]Effect{}}
	f.N, f.Wet = q.counts()
	for i := range at.theta {
		f.Cov = append(f.Cov, mat.Row(nil, i, v))
	}
	for g, b := range q.buildings {
		c, variance := at.share(g, v)
		f.Buildings[b.name] = Effect{
			B: at.b[g], SD: math.Sqrt(variance), N: int(math.Round(b.n)), Wet: int(math.Round(b.wet)),
			Own: 1 / at.diag[g], Share: c,
		}
	}
	return f, nil
}
