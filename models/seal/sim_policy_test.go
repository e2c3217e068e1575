package seal

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// ranking says how urgent each cover of a fleet is today; the highest first.
type ranking func(s *simFleet, now float64) ([]float64, error)

// policies are what is compared, the yardstick first.
var policies = []struct {
	name string
	rank ranking
}{
	{"fixed interval, oldest first", oldest},
	{"expert P, never updated", expertly(chance)},
	{"expert W-after, never updated", expertly(worthAfter)},
	{"learned P", learning(chance)},
	{"learned W", learning(worth)},
	{"learned W-after", learning(worthAfter)},
	{"oracle W-after", oracle},
}

func oldest(s *simFleet, now float64) ([]float64, error) {
	ages := make([]float64, len(s.covers))
	for i := range s.covers {
		ages[i] = now - s.covers[i].closed
	}
	return ages, nil
}

// measure reads one cover's rank from its outlook and that of its next closing.
type measure func(now, after Outlook, age float64) float64

func chance(o, _ Outlook, age float64) float64         { return o.At(age).P }
func worth(o, _ Outlook, age float64) float64          { return o.Index(o, age, 1) }
func worthAfter(o, after Outlook, age float64) float64 { return o.Index(after, age, 1) }

// by ranks with a fit.
func (s *simFleet) by(f Fit, m measure, now float64) []float64 {
	records, next := make([]Covariates, len(s.covers)), make([]Covariates, len(s.covers))
	for i := range s.covers {
		records[i], next[i] = s.covers[i].record, s.covers[i].record.NextClosing()
	}
	outlooks, after := f.Outlooks(records), f.Outlooks(next)
	ranks := make([]float64, len(s.covers))
	for i, o := range outlooks {
		ranks[i] = m(o, after[i], now-s.covers[i].closed)
	}
	return ranks
}

func expertly(m measure) ranking {
	expert := Expert(Default())
	return func(s *simFleet, now float64) ([]float64, error) { return s.by(expert, m, now), nil }
}

// learning learns again before every round.
func learning(m measure) ranking {
	return func(s *simFleet, now float64) ([]float64, error) {
		f, err := Learn(Default(), s.episodes, Options{Start: &s.fit})
		if err != nil {
			return nil, err
		}
		s.fit = f
		return s.by(f, m, now), nil
	}
}

// oracle knows the truth, frailty included, but not what is to come. What
// opening is worth is W of the law after the next closing, at the age at which
// that law is as likely wet as the cover is now:
//
//	W = int_0^T s dF'(s) = T F'(T) - int_0^T F' ds, F'(T) = F(age)
func oracle(s *simFleet, now float64) ([]float64, error) {
	ranks := make([]float64, len(s.covers))
	for i := range s.covers {
		c := &s.covers[i]
		n := c.record.Openings
		f := c.wetBy(s.eta(c, c.seal, n), now-c.closed)
		eta := s.eta(c, Sound, n+1)
		lo, hi := 0.0, MaxAge
		for hi-lo > 1e-4*hi {
			if m := (lo + hi) / 2; c.wetBy(eta, m) < f {
				lo = m
			} else {
				hi = m
			}
		}
		ranks[i] = hi*f - quad.Fixed(func(u float64) float64 { return c.wetBy(eta, u) }, 0, hi, 16, quad.Legendre{}, 0)
	}
	return ranks, nil
}

// wetBy is the true chance of water at an age: the breach averaged over the lag.
func (c *simCover) wetBy(eta, age float64) float64 {
	return mean(func(z float64) float64 {
		u := age - c.lag(z)
		if u <= 0 {
			return 0
		}
		return wetAt(eta + breachShape*math.Log(u))
	})
}
