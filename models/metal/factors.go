package metal

import "math"

// Insulation is the filling of a cover as the rate factor sees it; "" or any
// other word counts as the worst, like fibrous.
type Insulation string

// The fillings.
const (
	Fibrous       Insulation = "fibrous"
	Nitrile       Insulation = "nitrile"
	Polyethylene  Insulation = "polyethylene"
	Foam          Insulation = "foam"
	CellularGlass Insulation = "cellular_glass"
)

// SealLeft is the vapor seal as left at the last closing; "" or any other word
// counts as poor.
type SealLeft string

// The states of the seal.
const (
	SealSound    SealLeft = "sound"
	SealRepaired SealLeft = "repaired"
	SealPoor     SealLeft = "poor"
	SealUnknown  SealLeft = "unknown"
)

// Steps are the three values of one factor on the rate.
type Steps struct{ Better, Usual, Worse float64 }

// Factors are the multipliers on the rate of the table. The owner's engineer
// may change them.
type Factors struct {
	Insulation Steps // cellular glass / closed-cell foam / fibrous or not known
	Complexity Steps // penetrations 0-1 / 2-3 / 4 or more or not counted
	Condition  Steps // seal as left sound / repaired / poor or unknown
	Pooling    float64
}

// DefaultFactors gives 0.75, 1.0 and 1.25 for the three steps and 2 where a
// support or an interface pools water. See [FactorSource], [FactorStepSource]
// and [PoolingSource].
func DefaultFactors() Factors {
	steps := Steps{0.75, 1, 1.25}
	return Factors{Insulation: steps, Complexity: steps, Condition: steps, Pooling: 2}
}

// Surroundings is what the factors ask about the place.
type Surroundings struct {
	Insulation   Insulation
	Penetrations *int // stems, drains, vents, gauges, hangers; nil: not counted
	Seal         SealLeft
	Pools        bool // a support or an interface holds water at the metal
}

// Applied are the factors that hold at one place, to be shown one by one.
type Applied struct{ Insulation, Complexity, Condition, Pooling float64 }

// Product is what the rate of the table is multiplied by.
func (a Applied) Product() float64 { return a.Insulation * a.Complexity * a.Condition * a.Pooling }

// At picks the factors for a place. Complexity is NaN for a negative count.
func (f Factors) At(s Surroundings) Applied {
	a := Applied{Insulation: f.Insulation.Worse, Complexity: f.complexity(s.Penetrations), Condition: f.Condition.Worse, Pooling: 1}
	switch s.Insulation {
	case CellularGlass:
		a.Insulation = f.Insulation.Better
	case Nitrile, Polyethylene, Foam:
		a.Insulation = f.Insulation.Usual
	}
	switch s.Seal {
	case SealSound:
		a.Condition = f.Condition.Better
	case SealRepaired:
		a.Condition = f.Condition.Usual
	}
	if s.Pools {
		a.Pooling = f.Pooling
	}
	return a
}

func (f Factors) complexity(penetrations *int) float64 {
	switch {
	case penetrations == nil || *penetrations >= 4:
		return f.Complexity.Worse
	case *penetrations < 0:
		return math.NaN()
	case *penetrations >= 2:
		return f.Complexity.Usual
	}
	return f.Complexity.Better
}

// CoatingQuality is the coating under the cover; "" or any other word counts
// as none.
type CoatingQuality string

// The qualities.
const (
	NoCoating     CoatingQuality = "none"   // none, or primer only
	MediumCoating CoatingQuality = "medium" // single coat
	HighCoating   CoatingQuality = "high"   // several coats or filled epoxy
)

// CoatingCredit gives the years from the coating date without metal loss:
// 0, 5 or 15. See [CoatingSource].
func CoatingCredit(q CoatingQuality) float64 {
	switch q {
	case MediumCoating:
		return 5
	case HighCoating:
		return 15
	}
	return 0
}

// CoatingSpent tells whether the last rust grade ends the credit: Ri 3 and
// worse. See [CoatingEndSource].
func CoatingSpent(last Ri) bool { return last >= 3 }

// BareYears gives the part of from..to, in years, in which metal coated at the
// date coated with a credit in years corrodes: all of it after coated + credit.
// Dates are decimal years. It is 0 where to is not after from, NaN for NaN.
func BareYears(from, to, coated, credit float64) float64 {
	return max(0, to-max(from, coated+credit))
}
