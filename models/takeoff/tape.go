package takeoff

import (
	"math"

	"drylag/models/unit"
)

// TapeWaste is the share of tape lost on fittings where the site says nothing.
// Common practice, no source.
const TapeWaste unit.Fraction = 0.20

// Seams are the lines of a cover that take tape.
type Seams struct {
	Ends, Seams, Penetrations []unit.Meter // girths, lengths, perimeters
	Overlap                   unit.Meter   // of all laps of tape on tape together
	Waste                     unit.Fraction
}

// Tape returns the length of tape:
//
//	L = (Σ ends + Σ seams + Σ penetrations + overlap)·(1 + waste)
//
// Lengths and waste from 0 up, waste up to 1, else NaN.
func (s Seams) Tape() unit.Meter {
	sum := s.Overlap
	for _, lines := range [][]unit.Meter{s.Ends, s.Seams, s.Penetrations} {
		if !counts(lines...) {
			return unit.Meter(math.NaN())
		}
		for _, l := range lines {
			sum += l
		}
	}
	if !counts(s.Overlap) || !counts(s.Waste) || s.Waste > 1 {
		return unit.Meter(math.NaN())
	}
	return sum * unit.Meter(1+s.Waste)
}

// Rolls returns how many whole rolls give a length of tape. Count them over a
// whole round, not cover by cover. A length from 0 up, a roll above 0, else NaN.
func Rolls(length, roll unit.Meter) float64 {
	if !counts(length, roll) || roll == 0 {
		return math.NaN()
	}
	return packs(float64(length / roll))
}

// packs rounds up to whole packs; a hair over a whole number is arithmetic.
func packs(n float64) float64 { return math.Ceil(n * (1 - 1e-12)) }
