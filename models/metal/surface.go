package metal

// Preparation pairs the names of one grade of surface preparation.
type Preparation struct {
	SSPC string // "SSPC-SP 2"
	ISO  string // "St 2"; "" where ISO 8501-1 has no equal
	What string // in own words
}

// Preparations lists the grades, hand tools first. See [PreparationSource].
func Preparations() []Preparation {
	return []Preparation{
		{"SSPC-SP 2", "St 2", "hand tools"},
		{"SSPC-SP 3", "St 3", "power tools"},
		{"SSPC-SP 15", "", "power tools, commercial grade"},
		{"SSPC-SP 11", "", "power tools, to bare metal"},
		{"SSPC-SP 7", "Sa 1", "brush-off blast"},
		{"SSPC-SP 6", "Sa 2", "commercial blast"},
		{"SSPC-SP 10", "Sa 2 1/2", "near-white blast"},
		{"SSPC-SP 5", "Sa 3", "white-metal blast"},
	}
}

// PreparationNamed finds a grade by its SSPC or ISO name as written in
// [Preparations]. It reports false for any other name.
func PreparationNamed(name string) (Preparation, bool) {
	for _, p := range Preparations() {
		if name != "" && (name == p.SSPC || name == p.ISO) {
			return p, true
		}
	}
	return Preparation{}, false
}

// The rating chart of ASTM G46, classes 1 to 5.
var (
	pitDepthMM  = [5]float64{0.4, 0.8, 1.6, 3.2, 6.4}
	pitsPerArea = [5]float64{2.5e3, 1e4, 5e4, 1e5, 5e5} // per m²
)

// PitDepthClass gives the ASTM G46 class, 1 to 5, of the deepest pit in mm;
// between two classes it is the worse one, and class 5 has no upper end. No pit
// (0 mm) is class 0. It reports false for a negative or missing depth.
// See [PitSource].
func PitDepthClass(deepestMM float64) (int, bool) { return chartClass(pitDepthMM, deepestMM) }

// PitCountClass gives the ASTM G46 density class, 1 to 5, of pits per m², by
// the rule of [PitDepthClass].
func PitCountClass(pitsPerM2 float64) (int, bool) { return chartClass(pitsPerArea, pitsPerM2) }

func chartClass(chart [5]float64, value float64) (int, bool) {
	switch {
	case !(value >= 0):
		return 0, false
	case value == 0:
		return 0, true
	}
	for i, upTo := range chart {
		if value <= upTo {
			return i + 1, true
		}
	}
	return len(chart), true
}
