package seal

import (
	"errors"
	"slices"
)

// span is a run of innermost intervals, first..last, in which the event of
// weight episodes lies.
type span struct {
	first, last int
	weight      float64
}

// npmle is the likelihood over the masses p of the innermost intervals.
type npmle struct {
	left, right []float64
	spans       []span
	total       float64
}

// innermost finds where mass can lie: a left end directly followed by a right
// end. Intervals are (L, R], so at ties right ends come before left ends;
// Turnbull, J. R. Stat. Soc. B 38 (1976) 290 (from memory).
func innermost(episodes []Episode) *npmle {
	type end struct {
		age  float64
		left bool
	}
	ends := make([]end, 0, 2*len(episodes))
	for i := range episodes {
		ends = append(ends, end{episodes[i].Dry, true}, end{episodes[i].Wet, false})
	}
	slices.SortFunc(ends, func(a, b end) int {
		if a.age != b.age {
			return -compareDown(a.age, b.age)
		}
		return int(oneIf(a.left)) - int(oneIf(b.left))
	})
	m := &npmle{}
	for i := 1; i < len(ends); i++ {
		if ends[i-1].left && !ends[i].left {
			m.left = append(m.left, ends[i-1].age)
			m.right = append(m.right, ends[i].age)
		}
	}
	m.span(episodes)
	return m
}

// span finds the run of intervals within each episode, alike ones together.
func (m *npmle) span(episodes []Episode) {
	at := map[[2]int]int{}
	for i := range episodes {
		e := &episodes[i]
		first, _ := slices.BinarySearch(m.left, e.Dry)
		last, found := slices.BinarySearch(m.right, e.Wet)
		if !found {
			last--
		}
		key := [2]int{first, last}
		j, ok := at[key]
		if !ok {
			j = len(m.spans)
			at[key] = j
			m.spans = append(m.spans, span{first: first, last: last})
		}
		m.spans[j].weight += e.weight()
		m.total += e.weight()
	}
}

// cumulate writes F, one longer than p: F[j] is the mass before interval j.
func cumulate(f, p []float64) {
	f[0] = 0
	for j, x := range p {
		f[j+1] = f[j] + x
	}
}

// loglik is Σ weight ln(F(last) - F(first)).
func (m *npmle) loglik(f []float64) float64 {
	sum := 0.0
	for _, s := range m.spans {
		sum += weighLog(s.weight, f[s.last+1]-f[s.first])
	}
	return sum
}

// pull writes for each interval Σ weight/P of the episodes it may belong to,
// over their number: 1 where mass sits at the maximum, below 1 elsewhere.
func (m *npmle) pull(to, f []float64) {
	clear(to)
	for _, s := range m.spans {
		x := s.weight / (f[s.last+1] - f[s.first]) / m.total
		to[s.first] += x
		if s.last+1 < len(to) {
			to[s.last+1] -= x
		}
	}
	for j := 1; j < len(to); j++ {
		to[j] += to[j-1]
	}
}

// The search stops where no interval pulls more than 1 + kktTol.
const (
	kktTol    = 1e-9
	kktRounds = 5000
)

// errNoSteps bounds the search; no data tried so far have met it.
var errNoSteps = errors.New("the steps do not settle")

// turnbull climbs by one EM step (Turnbull's self-consistency) and one ICM step
// (a Newton step on F with the diagonal of the curvature, made monotone) in turn;
// Wellner & Zhan, J. Am. Stat. Assoc. 92 (1997) 945 (from memory).
func turnbull(episodes []Episode) (Steps, error) {
	m := innermost(episodes)
	n := len(m.left)
	p, f, pull := make([]float64, n), make([]float64, n+1), make([]float64, n)
	for j := range p {
		p[j] = 1 / float64(n)
	}
	cumulate(f, p)
	for round := 1; round <= kktRounds; round++ {
		m.pull(pull, f)
		if slices.Max(pull)-1 < kktTol {
			s := Steps{LogLik: m.loglik(f), Rounds: round}
			for j, x := range p {
				s.add(m.left[j], m.right[j], x)
			}
			return s, nil
		}
		for j := range p {
			p[j] *= pull[j]
		}
		cumulate(f, p)
		m.climb(f)
		for j := range p {
			p[j] = f[j+1] - f[j]
		}
	}
	return Steps{}, errNoSteps
}

// climb makes one ICM step on f in place.
func (m *npmle) climb(f []float64) {
	inner := len(f) - 2 // F[0] = 0 and F[n] = 1 are fixed
	slope, bend := make([]float64, len(f)), make([]float64, len(f))
	for _, s := range m.spans {
		x := 1 / (f[s.last+1] - f[s.first])
		slope[s.last+1] += s.weight * x
		bend[s.last+1] += s.weight * x * x
		slope[s.first] -= s.weight * x
		bend[s.first] += s.weight * x * x
	}
	f[inner+1] = 1
	to := make([]float64, inner)
	for j := range to {
		to[j] = f[j+1] + slope[j+1]/bend[j+1]
	}
	monotone(to, bend[1:inner+1])
	old, next := m.loglik(f), slices.Clone(f)
	for t := 1.0; t > 1e-6; t /= 2 {
		for j := range to {
			next[j+1] = f[j+1] + t*(clip(to[j], 0, 1)-f[j+1])
		}
		if m.loglik(next) >= old {
			copy(f, next)
			return
		}
	}
}
