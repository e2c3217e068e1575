package metal

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Line is an ordinary least-squares line y = Intercept + Slope x.
type Line struct {
	N                    int
	Slope, Intercept     float64
	SlopeSE, InterceptSE float64 // standard errors
	ResidualSD           float64 // on N - 2 degrees of freedom
}

// FitLine fits a line to three or more points. With mean-centered sums,
//
//	slope = Sxy / Sxx    intercept = ȳ - slope x̄    s² = Σ residual² / (n - 2)
//	SE(slope) = s / sqrt Sxx    SE(intercept) = s sqrt(1/n + x̄² / Sxx)
//
// It reports false for fewer than three different x, slices of unequal length,
// or a value that is NaN or infinite. Source: NIST/SEMATECH e-Handbook of
// Statistical Methods, 4.1.4.1.
func FitLine(x, y []float64) (Line, bool) {
	if len(x) != len(y) || different(x) < 3 {
		return Line{}, false
	}
	n := float64(len(x))
	meanX, meanY, sxx := mean(x), mean(y), sumSquares(x)
	sxy := 0.0
	for i := range x {
		sxy += (x[i] - meanX) * (y[i] - meanY)
	}
	l := Line{N: len(x), Slope: sxy / sxx}
	l.Intercept = meanY - l.Slope*meanX
	left := 0.0
	for i := range x {
		r := y[i] - meanY - l.Slope*(x[i]-meanX)
		left += r * r
	}
	l.ResidualSD = math.Sqrt(left / (n - 2))
	l.SlopeSE = l.ResidualSD / math.Sqrt(sxx)
	l.InterceptSE = l.ResidualSD * math.Sqrt(1/n+meanX*meanX/sxx)
	if math.IsNaN(l.InterceptSE) || math.IsInf(l.InterceptSE, 0) {
		return Line{}, false
	}
	return l, true
}

// At gives y on the line.
func (l Line) At(x float64) float64 { return l.Intercept + l.Slope*x }

// SlopeInterval gives the two-sided interval of the slope from Student's t on
// N - 2 degrees of freedom; level is 0.90 for 90 %. It is NaN for a level not
// between 0 and 1.
func (l Line) SlopeInterval(level float64) (low, high float64) {
	if !(level > 0 && level < 1) {
		return math.NaN(), math.NaN()
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(l.N - 2)}.Quantile((1 + level) / 2)
	return l.Slope - t*l.SlopeSE, l.Slope + t*l.SlopeSE
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// sumSquares is Σ (v - mean)².
func sumSquares(v []float64) float64 {
	m, sum := mean(v), 0.0
	for _, x := range v {
		sum += (x - m) * (x - m)
	}
	return sum
}

func different(v []float64) int {
	seen := map[float64]bool{}
	for _, x := range v {
		seen[x] = true
	}
	return len(seen)
}
