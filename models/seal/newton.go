package seal

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// point is a place in parameter space with the log posterior around it. The
// negative Hessian is an arrow: dense over theta = (coefficients, k), diagonal
// over the buildings, with one cross row per building.
type point struct {
	theta, b []float64
	value    float64 // log posterior without constants
	loglik   float64

	grad, gradB []float64
	dense       []float64 // m x m, upper triangle
	cross       []float64 // buildings x m
	diag        []float64 // buildings
}

// newPoint reserves a point for m entries of theta and g buildings.
func newPoint(m, g int) *point {
	return &point{
		theta: make([]float64, m), b: make([]float64, g), grad: make([]float64, m), gradB: make([]float64, g),
		dense: make([]float64, m*m), cross: make([]float64, g*m), diag: make([]float64, g),
	}
}

// evaluate fills in value, gradient and curvature at p.theta, p.b for the
// given building spread.
func (q *problem) evaluate(p *point, sigma float64) {
	for _, s := range [][]float64{p.grad, p.gradB, p.dense, p.cross, p.diag} {
		clear(s)
	}
	p.loglik = 0
	m := q.columns + 1
	k := p.theta[q.columns]
	for i := range q.rows {
		r := &q.rows[i]
		columns, cells := q.column[q.start[i]:q.start[i+1]], q.cell[q.start[i]:q.start[i+1]]
		eta := 0.0
		if r.building >= 0 {
			eta = p.b[r.building]
		}
		for t, j := range columns {
			eta += cells[t] * p.theta[j]
		}
		s := r.score(eta, k)
		p.loglik += r.weight * s.value
		p.add(columns, cells, s.times(r.weight), r.building, m)
	}
	p.value = p.loglik
	q.addPrior(p, sigma)
}

func (s score) times(w float64) score {
	if w == 1 {
		return s
	}
	return score{w * s.value, w * s.s, w * s.sk, w * s.h, w * s.hk, w * s.hkk}
}

// add puts the score of one row into gradient and curvature.
func (p *point) add(columns []uint16, cells []float64, s score, building int32, m int) {
	k := m - 1
	for t, j := range columns {
		x := cells[t]
		p.grad[j] += s.s * x
		line := p.dense[int(j)*m : int(j)*m+m]
		line[k] += s.hk * x
		hx := s.h * x
		for u := t; u < len(columns); u++ {
			line[columns[u]] += hx * cells[u]
		}
	}
	p.grad[k] += s.sk
	p.dense[k*m+k] += s.hkk
	if building < 0 {
		return
	}
	p.gradB[building] += s.s
	p.diag[building] += s.h
	line := p.cross[int(building)*m : int(building)*m+m]
	for t, j := range columns {
		line[j] += s.h * cells[t]
	}
	line[k] += s.hk
}

// addPrior adds N(mean, sd²) on the coefficients, the gamma prior on k itself
// and N(0, sigma²) on the buildings. Each is concave, so the mode is one.
func (q *problem) addPrior(p *point, sigma float64) {
	if len(q.prior.Columns) == 0 {
		return
	}
	m := q.columns + 1
	for j, c := range q.prior.Columns {
		t := 1 / (c.SD * c.SD)
		off := p.theta[j] - c.Mean
		p.value -= off * off * t / 2
		p.grad[j] -= off * t
		p.dense[j*m+j] += t
	}
	k, last := p.theta[q.columns], m*m-1
	p.value += (q.prior.KShape-1)*math.Log(k) - q.prior.KRate*k
	p.grad[m-1] += (q.prior.KShape-1)/k - q.prior.KRate
	p.dense[last] += (q.prior.KShape - 1) / (k * k)
	for g, b := range p.b {
		t := 1 / (sigma * sigma)
		p.value -= b * b * t / 2
		p.gradB[g] -= b * t
		p.diag[g] += t
	}
}

// errNoMode says that the data do not determine a column.
var errNoMode = errors.New("the episodes do not determine every column; a prior holds what they leave open")

// schur factors the curvature of theta with the buildings eliminated.
func (p *point) schur() (*mat.Cholesky, error) {
	m := len(p.theta)
	s := mat.NewSymDense(m, append([]float64(nil), p.dense...))
	for g, d := range p.diag {
		line := mat.NewVecDense(m, p.cross[g*m:g*m+m])
		s.SymRankOne(s, -1/d, line)
	}
	var c mat.Cholesky
	if !c.Factorize(s) {
		return nil, errNoMode
	}
	return &c, nil
}

// step is the Newton step at p and what it promises, gradient · step.
func (p *point) step() (dTheta, dB []float64, promise float64, err error) {
	c, err := p.schur()
	if err != nil {
		return nil, nil, 0, err
	}
	m := len(p.theta)
	right := mat.NewVecDense(m, append([]float64(nil), p.grad...))
	for g, d := range p.diag {
		right.AddScaledVec(right, -p.gradB[g]/d, mat.NewVecDense(m, p.cross[g*m:g*m+m]))
	}
	var x mat.VecDense
	if err := c.SolveVecTo(&x, right); err != nil {
		return nil, nil, 0, errNoMode
	}
	dTheta, dB = x.RawVector().Data, make([]float64, len(p.b))
	promise = dot(p.grad, dTheta)
	for g, d := range p.diag {
		dB[g] = (p.gradB[g] - dot(p.cross[g*m:g*m+m], dTheta)) / d
		promise += p.gradB[g] * dB[g]
	}
	return dTheta, dB, promise, nil
}

func dot(x, y []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += x[i] * y[i]
	}
	return sum
}

// The limits of the search.
const (
	maxSteps   = 60
	maxHalving = 60
	done       = 1e-10 // promise of the last step
	trusted    = 1e-2  // promise below which a step need not prove itself
	armijo     = 1e-4
	kKeeps     = 0.1 // share of k that a step leaves at least where a prior holds k above 0
)

// climb goes from p to the mode by Newton's method and returns the point there
// with the steps taken. The log posterior is strictly concave in (coefficients,
// buildings, k), so from anywhere there is one mode.
func (q *problem) climb(p *point, sigma float64) (*point, int, error) {
	q.evaluate(p, sigma)
	next := newPoint(len(p.theta), len(p.b))
	for n := 1; n <= maxSteps; n++ {
		dTheta, dB, promise, err := p.step()
		if err != nil {
			return nil, n, err
		}
		if !q.advance(next, p, dTheta, dB, promise, sigma) {
			return nil, n, errNoMode
		}
		p, next = next, p
		if promise < done {
			return p, n, nil
		}
	}
	return nil, maxSteps, errNoMode
}

// advance sets next to p plus as much of the step as raises the posterior.
func (q *problem) advance(next, p *point, dTheta, dB []float64, promise, sigma float64) bool {
	t := 1.0
	if k, dk := p.theta[q.columns], dTheta[q.columns]; k+dk < kKeeps*k && len(q.prior.Columns) > 0 {
		t = (1 - kKeeps) * k / -dk
	}
	for range maxHalving {
		for j, d := range dTheta {
			next.theta[j] = p.theta[j] + t*d
		}
		for g, d := range dB {
			next.b[g] = p.b[g] + t*d
		}
		q.evaluate(next, sigma)
		if next.value >= p.value+armijo*t*promise || promise < trusted && !math.IsNaN(next.value) {
			return true
		}
		t /= 2
	}
	return false
}
