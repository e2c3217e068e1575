package metal

// RustScale is what the inspector graded rust by.
type RustScale string

// The scales of coated steel. Ask "coated?" first: bare steel takes [ISO8501].
const (
	ByArea RustScale = "area" // rusted area in percent
	ByD610 RustScale = "d610" // ASTM D610 grade
	ByRi   RustScale = "ri"   // ISO 4628-3 degree
)

// Rust is the same rust on both scales. What the inspector recorded is kept;
// the rest is derived by equal area and shown as derived.
type Rust struct {
	LowPct, HighPct float64 // rusted area in percent; equal where the area is one number
	D610            D610
	Ri              Ri

	AreaDerived, D610Derived, RiDerived bool
}

// RustOn puts a recorded value (percent, grade or degree) on both scales. It
// reports false for an unknown scale, a value off the scale, or a grade that
// is not a whole number. See [RustByAreaSource].
func RustOn(scale RustScale, value float64) (Rust, bool) {
	switch scale {
	case ByArea:
		return rustByArea(value)
	case ByD610:
		return rustByD610(D610(value), value)
	case ByRi:
		return rustByRi(Ri(value), value)
	}
	return Rust{}, false
}

func rustByArea(pct float64) (Rust, bool) {
	grade, ok := D610Of(pct)
	if !ok {
		return Rust{}, false
	}
	degree, _ := RiOf(pct)
	return Rust{LowPct: pct, HighPct: pct, D610: grade, Ri: degree, D610Derived: true, RiDerived: true}, true
}

func rustByD610(grade D610, value float64) (Rust, bool) {
	low, high, ok := grade.Band()
	if !ok || float64(grade) != value {
		return Rust{}, false
	}
	degree, _ := grade.Ri()
	return Rust{LowPct: low, HighPct: high, D610: grade, Ri: degree, AreaDerived: true, RiDerived: true}, true
}

func rustByRi(degree Ri, value float64) (Rust, bool) {
	low, high, ok := degree.Area()
	if !ok || float64(degree) != value {
		return Rust{}, false
	}
	grade, _ := degree.D610()
	return Rust{LowPct: low, HighPct: high, D610: grade, Ri: degree, AreaDerived: true, D610Derived: true}, true
}
