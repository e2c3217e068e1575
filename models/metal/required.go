package metal

import "math"

// Allowable stresses in MPa.
const (
	StressSeamlessB = 137.9 // ASTM A106 B and seamless A53 B, ASME B31.3; see [StressSource]
	StressERWB      = 88.25 // ASTM A53 B, resistance-welded, ASME B31.9, 12 800 psi; see [StressERWSource]
)

// FerriticY is the coefficient Y of ferritic steel up to 482 °C (ASME B31.3,
// Table 304.1.1).
const FerriticY = 0.4

// PressureDesign is what the pressure thickness of straight pipe depends on.
type PressureDesign struct {
	PressureMPa float64 // design pressure, gauge
	ODMM        float64 // outside diameter
	StressMPa   float64 // allowable stress
	E           float64 // quality factor, 1 for seamless
	W           float64 // weld strength factor, 1 below creep
	Y           float64 // [FerriticY]
}

// Thickness gives the wall that the pressure needs, in mm:
//
//	t = P D / (2 (S E W + P Y))
//
// for t below D/6. It is NaN for a pressure below 0 or any other input not
// above 0. See [PressureSource].
func (p PressureDesign) Thickness() float64 {
	for _, v := range []float64{p.ODMM, p.StressMPa, p.E, p.W, p.Y} {
		if !(v > 0) {
			return math.NaN()
		}
	}
	if !(p.PressureMPa >= 0) {
		return math.NaN()
	}
	return p.PressureMPa * p.ODMM / (2 * (p.StressMPa*p.E*p.W + p.PressureMPa*p.Y))
}

// Structural is the wall a pipe needs to carry itself, whatever the pressure,
// and the wall at which to look closer.
type Structural struct{ MinimumMM, AlertMM float64 }

// structuralTable is API 574: up to this NPS, minimum and alert in inches.
var structuralTable = []struct{ nps, minimum, alert float64 }{
	{1, .07, .08},
	{1.5, .07, .09},
	{2, .07, .10},
	{3, .08, .11},
	{4, .09, .12},
	{18, .11, .13},
	{24, .12, .14},
}

// StructuralMinimum gives the structural minimum of carbon steel pipe of a
// nominal size in inches, 1/2 to 24; sizes between two rows take the larger.
// It reports false outside. See [StructuralSource] and [StructuralGapSource].
func StructuralMinimum(nps float64) (Structural, bool) {
	if !(nps >= 0.5) {
		return Structural{}, false
	}
	for _, row := range structuralTable {
		if nps <= row.nps {
			return Structural{mmPerInch * row.minimum, mmPerInch * row.alert}, true
		}
	}
	return Structural{}, false
}

// ThreadDepth gives the height of a taper pipe thread in mm, 0.8 of its pitch:
// 14 threads to the inch for NPS 1/2 and 3/4, 11 1/2 up to NPS 2, 8 up to NPS
// 24. It reports false outside. See [ThreadSource].
func ThreadDepth(nps float64) (float64, bool) {
	perInch := 8.0
	switch {
	case !(nps >= 0.5 && nps <= 24):
		return 0, false
	case nps < 1:
		perInch = 14
	case nps <= 2:
		perInch = 11.5
	}
	return 0.8 * mmPerInch / perInch, true
}

// Basis names what a required thickness rests on.
type Basis string

// The bases.
const (
	ForPressure  Basis = "pressure"
	ForStructure Basis = "structural minimum"
)

// Needs are the two demands on a wall, in mm; nil is not known. Threaded ends
// lose their thread depth; it adds to the pressure thickness only.
type Needs struct {
	PressureMM, StructuralMM *float64
	ThreadMM                 float64
}

// Required gives the required thickness in mm, the greater of the two demands,
// and what it rests on. It reports false if neither is known or a known one is
// NaN or below 0.
func (n Needs) Required() (float64, Basis, bool) {
	for _, v := range []*float64{n.PressureMM, n.StructuralMM, &n.ThreadMM} {
		if v != nil && !(*v >= 0) {
			return 0, "", false
		}
	}
	switch {
	case n.PressureMM == nil && n.StructuralMM == nil:
		return 0, "", false
	case n.PressureMM == nil:
		return *n.StructuralMM, ForStructure, true
	}
	pressure := *n.PressureMM + n.ThreadMM
	if n.StructuralMM != nil && *n.StructuralMM >= pressure {
		return *n.StructuralMM, ForStructure, true
	}
	return pressure, ForPressure, true
}

// Limits are the longest years between two looks of a kind; nil: the owner's
// own. They are the owner's policy here, in the manner of API 570.
type Limits struct{ Thickness, Visual *float64 }

// ClassLimits gives the limits of a class: 1 and 5, 2 and 10, 3 and 10 years for
// thickness; 5, 5 and 10 for the look from outside; none for class 4. It reports
// false for any other class. See [MaxIntervalSource].
func ClassLimits(class int) (Limits, bool) {
	switch class {
	case 1:
		return Limits{new(5.0), new(5.0)}, true
	case 2:
		return Limits{new(10.0), new(5.0)}, true
	case 3:
		return Limits{new(10.0), new(10.0)}, true
	case 4:
		return Limits{}, true
	}
	return Limits{}, false
}
