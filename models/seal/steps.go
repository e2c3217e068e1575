package seal

import (
	"math"
	"slices"
)

// Mass is chance of getting wet at an age in (Left, Right] years. Where inside
// it lies the looks cannot tell. Right is +Inf for what lies beyond all looks.
type Mass struct{ Left, Right, P float64 }

// Steps is what the looks say of the age at which covers get wet, without any
// model: the distribution under which they are most likely (NPMLE).
type Steps struct {
	Mass   []Mass // in order, together 1
	LogLik float64
	N, Wet int
	Rounds int // of the search; 0 where the answer is exact
}

// smallMass is rounding, not chance.
const smallMass = 1e-9

// NewSteps finds the steps of a group of episodes. With one look per episode
// (current status) they are exact, by isotonic regression of the share found
// wet on age (Ayer et al., Ann. Math. Stat. 26 (1955) 641, from memory);
// otherwise Turnbull's estimate. No episode gives no mass.
func NewSteps(episodes []Episode) (Steps, error) {
	if err := checkAll(episodes); err != nil || len(episodes) == 0 {
		return Steps{}, err
	}
	s := Steps{}
	var err error
	if slices.ContainsFunc(episodes, func(e Episode) bool { return e.Dry > 0 && e.endedWet() }) {
		s, err = turnbull(episodes)
	} else {
		s = isotonic(episodes)
	}
	n, wet := 0.0, 0.0
	for i := range episodes {
		n += episodes[i].weight()
		if episodes[i].endedWet() {
			wet += episodes[i].weight()
		}
	}
	s.N, s.Wet = int(math.Round(n)), int(math.Round(wet))
	return s, err
}

// GroupSteps are the steps of one group.
type GroupSteps struct {
	Group string
	Steps
}

// StepsBy finds the steps of each group that key names, in the order of first
// appearance. No episodes are one nameless group without mass.
func StepsBy(episodes []Episode, key func(*Episode) string) ([]GroupSteps, error) {
	var order []string
	members := map[string][]Episode{}
	for i := range episodes {
		g := key(&episodes[i])
		if members[g] == nil {
			order = append(order, g)
		}
		members[g] = append(members[g], episodes[i])
	}
	if len(order) == 0 {
		return []GroupSteps{{}}, nil
	}
	groups := make([]GroupSteps, len(order))
	for i, g := range order {
		s, err := NewSteps(members[g])
		if err != nil {
			return nil, err
		}
		groups[i] = GroupSteps{g, s}
	}
	return groups, nil
}

// LeastForSteps is the number of openings below which a step curve is not shown.
const LeastForSteps = 5

// WetBy bounds the chance of being wet by age u: least is the mass that lies
// wholly before, most adds what may.
func (s Steps) WetBy(u float64) (least, most float64) {
	for _, m := range s.Mass {
		if m.Right <= u {
			least += m.P
		}
		if m.Left < u {
			most += m.P
		}
	}
	return least, most
}

// ageCount are the looks at one age.
type ageCount struct{ age, n, wet float64 }

// countByAge sums up single looks, youngest first.
func countByAge(episodes []Episode) []ageCount {
	looks := make([]ageCount, len(episodes))
	for i := range episodes {
		e := &episodes[i]
		looks[i] = ageCount{e.lastLook(), e.weight(), 0}
		if e.endedWet() {
			looks[i].wet = e.weight()
		}
	}
	slices.SortStableFunc(looks, func(a, b ageCount) int { return -compareDown(a.age, b.age) })
	counts := looks[:0]
	for _, l := range looks {
		if n := len(counts); n > 0 && counts[n-1].age == l.age {
			counts[n-1].n += l.n
			counts[n-1].wet += l.wet
			continue
		}
		counts = append(counts, l)
	}
	return counts
}

// isotonic is the exact answer for current status.
func isotonic(episodes []Episode) Steps {
	counts := countByAge(episodes)
	share, weight := make([]float64, len(counts)), make([]float64, len(counts))
	for i, c := range counts {
		share[i], weight[i] = c.wet/c.n, c.n
	}
	monotone(share, weight)
	var s Steps
	before, age := 0.0, 0.0
	for i, c := range counts {
		s.LogLik += weighLog(c.wet, share[i]) + weighLog(c.n-c.wet, 1-share[i])
		s.add(age, c.age, share[i]-before)
		before, age = share[i], c.age
	}
	s.add(age, math.Inf(1), 1-before)
	return s
}

func (s *Steps) add(left, right, p float64) {
	if p > smallMass {
		s.Mass = append(s.Mass, Mass{left, right, p})
	}
}

// weighLog is n ln p, 0 for n = 0.
func weighLog(n, p float64) float64 {
	if n == 0 {
		return 0
	}
	return n * math.Log(p)
}

// monotone replaces y by the closest non-decreasing values under weights w:
// adjacent violators are pooled (PAVA).
func monotone(y, w []float64) {
	type block struct {
		y, w float64
		n    int
	}
	blocks := make([]block, 0, len(y))
	for i := range y {
		b := block{y[i], w[i], 1}
		for len(blocks) > 0 && blocks[len(blocks)-1].y >= b.y {
			a := blocks[len(blocks)-1]
			blocks = blocks[:len(blocks)-1]
			b = block{(a.y*a.w + b.y*b.w) / (a.w + b.w), a.w + b.w, a.n + b.n}
		}
		blocks = append(blocks, b)
	}
	i := 0
	for _, b := range blocks {
		for range b.n {
			y[i] = b.y
			i++
		}
	}
}

// Share is a share with its 90 % interval.
type Share struct{ P, Lo, Hi float64 }

// Wilson is the share k of n with Wilson's 90 % interval, n > 0; Wilson, J. Am.
// Stat. Assoc. 22 (1927) 209 (from memory).
func Wilson(k, n int) Share {
	m, o := float64(n), float64(k)/float64(n)
	z2 := z90 * z90
	center := (o + z2/(2*m)) / (1 + z2/m)
	half := z90 * math.Sqrt(o*(1-o)/m+z2/(4*m*m)) / (1 + z2/m)
	return Share{o, math.Max(0, center-half), math.Min(1, center+half)}
}

// AgeBin says of openings at an age in [From, To) years: so many of N were wet.
type AgeBin struct {
	From, To float64
	N, Wet   int
	Share
}

// AgeBins counts openings by age in bins of width years, leaving out empty ones.
func AgeBins(episodes []Episode, width float64) []AgeBin {
	var bins []AgeBin
	at := -1
	for _, c := range countByAge(episodes) {
		if i := int(c.age / width); i != at {
			bins = append(bins, AgeBin{From: float64(i) * width, To: float64(i+1) * width})
			at = i
		}
		b := &bins[len(bins)-1]
		b.N += int(math.Round(c.n))
		b.Wet += int(math.Round(c.wet))
	}
	for i := range bins {
		bins[i].Share = Wilson(bins[i].Wet, bins[i].N)
	}
	return bins
}
