package metal

import (
	"cmp"
	"math"
	"slices"
)

// DefaultGaugeErrorMM is the standard error of one thickness reading, mm, until
// the owner enters the gauge's own. See [GaugeSource].
const DefaultGaugeErrorMM = 0.13

// DefaultMillTolerance is the share by which new pipe may be under its nominal
// wall. See [MillToleranceSource].
const DefaultMillTolerance = 0.125

const (
	z90     = 1.645 // normal quantile of a two-sided 90 % interval
	level90 = 0.90
)

// Reading is one wall thickness at one point: the date in decimal years, the
// wall in mm. One reading per point and day.
type Reading struct{ Year, MM float64 }

// WallLoss gives the lost share of the nominal wall, 0.25 for a quarter; it is
// negative where the wall is above nominal, NaN for a nominal wall not above 0.
func WallLoss(nominalMM, measuredMM float64) float64 {
	if !(nominalMM > 0) {
		return math.NaN()
	}
	return (nominalMM - measuredMM) / nominalMM
}

// LeastNewWall gives the least wall new pipe may have: nominal x (1 - tolerance),
// in mm, with the tolerance as a fraction.
func LeastNewWall(nominalMM, tolerance float64) float64 { return nominalMM * (1 - tolerance) }

// LossRate gives the loss per year between two readings, mm per year: the
// long-term rate from the first reading to the last, the short-term rate from
// the one before the last. It is negative where the wall reads thicker, NaN
// unless the second is later. See [TrendSource].
func LossRate(earlier, later Reading) float64 {
	years := later.Year - earlier.Year
	if !(years > 0) {
		return math.NaN()
	}
	return (earlier.MM - later.MM) / years
}

// Lost tells whether the later reading is thinner by more than gauge error can
// explain: 1.645 x sqrt 2 x the standard error of one reading, in mm. Called the
// other way round it tells of a wall that grew: another point, another part or
// a reading fault. See [GaugeSource].
func Lost(earlier, later Reading, gaugeErrMM float64) bool {
	return earlier.MM-later.MM > z90*math.Sqrt2*gaugeErrMM
}

// Measured is the corrosion rate that readings show, in mm per year.
type Measured struct {
	LongTerm, ShortTerm *float64 // nil where gauge error hides it
	Rate                float64  // the larger of the two: the one dates are reckoned with
	Low, High           float64  // 90 % interval; always holds Rate; Low may be negative
	Line                *Line    // least squares, wall in mm against years; nil below three dates
}

// MeasuredRate gives the rate that readings of one point show. It reports false
// where they show none: fewer than two dates, a loss within gauge error, a
// reading that is missing or not above 0, or a gauge error below 0 or missing.
// The order of the readings does not matter.
//
// The interval comes from the line through three or more readings, else from
// the two readings and the gauge error; it is never narrower than
//
//	± 1.645 gauge error / sqrt(Σ (year - mean year)²)
//
// See [TrendSource], [GaugeSource] and [FitSource].
func MeasuredRate(readings []Reading, gaugeErrMM float64) (Measured, bool) {
	rs := byDate(readings)
	n := len(rs)
	if n < 2 || !readable(rs) || !(gaugeErrMM >= 0) {
		return Measured{}, false
	}
	m := Measured{
		LongTerm:  shownRate(rs[0], rs[n-1], gaugeErrMM),
		ShortTerm: shownRate(rs[n-2], rs[n-1], gaugeErrMM),
	}
	switch {
	case m.LongTerm == nil && m.ShortTerm == nil:
		return Measured{}, false
	case m.LongTerm == nil:
		m.Rate = *m.ShortTerm
	case m.ShortTerm == nil:
		m.Rate = *m.LongTerm
	default:
		m.Rate = max(*m.LongTerm, *m.ShortTerm)
	}
	m.setInterval(rs, gaugeErrMM)
	return m, true
}

func byDate(readings []Reading) []Reading {
	rs := slices.Clone(readings)
	slices.SortStableFunc(rs, func(a, b Reading) int { return cmp.Compare(a.Year, b.Year) })
	return rs
}

func readable(readings []Reading) bool {
	for _, r := range readings {
		if math.IsNaN(r.Year) || math.IsInf(r.Year, 0) || !(r.MM > 0) || math.IsInf(r.MM, 0) {
			return false
		}
	}
	return true
}

func shownRate(earlier, later Reading, gaugeErrMM float64) *float64 {
	rate := LossRate(earlier, later)
	if math.IsNaN(rate) || !Lost(earlier, later, gaugeErrMM) {
		return nil
	}
	return &rate
}

// setInterval fills Low, High and Line once Rate is known.
func (m *Measured) setInterval(rs []Reading, gaugeErrMM float64) {
	years, walls := make([]float64, len(rs)), make([]float64, len(rs))
	for i, r := range rs {
		years[i], walls[i] = r.Year, r.MM
	}
	mid := m.Rate
	half := z90 * gaugeErrMM / math.Sqrt(sumSquares(years))
	if line, ok := FitLine(years, walls); ok {
		m.Line = &line
		mid = -line.Slope
		low, high := line.SlopeInterval(level90)
		half = max(half, (high-low)/2)
	}
	m.Low, m.High = min(mid-half, m.Rate), max(mid+half, m.Rate)
}

// RemainingLife gives the years until the wall at the last reading reaches the
// required thickness, both in mm, at a rate in mm per year. It is 0 where it
// has, and +Inf (no end in sight) for a rate of 0 or below. See [TrendSource].
func RemainingLife(lastMM, requiredMM, rate float64) float64 {
	margin := lastMM - requiredMM
	switch {
	case math.IsNaN(margin) || math.IsNaN(rate):
		return math.NaN()
	case margin <= 0:
		return 0
	case rate <= 0:
		return math.Inf(1)
	}
	return margin / rate
}

// LifeRange gives the shortest and the longest remaining life in years that the
// interval of a measured rate allows; the longest may be +Inf: no end is shown.
// There is no such range from the rate table.
func (m Measured) LifeRange(lastMM, requiredMM float64) (shortest, longest float64) {
	return RemainingLife(lastMM, requiredMM, m.High), RemainingLife(lastMM, requiredMM, m.Low)
}

// CrossingYear gives the date, in decimal years, at which the wall reaches the
// required thickness: the last reading's date plus the remaining life. It may be
// +Inf.
func CrossingYear(last Reading, requiredMM, rate float64) float64 {
	return last.Year + RemainingLife(last.MM, requiredMM, rate)
}

// ThicknessInterval gives the years to the next reading: half the remaining
// life, but no more than the maximum of the class; nil: the class has none. It
// may be +Inf where there is neither. See [TrendSource] and [MaxIntervalSource].
func ThicknessInterval(lifeYears float64, classMaximum *float64) float64 {
	if classMaximum == nil {
		return lifeYears / 2
	}
	return min(lifeYears/2, *classMaximum)
}
