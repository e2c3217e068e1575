package metal

// D610 is the ASTM D610 rust grade of painted steel: 10 is clean, 0 is more
// than half rusted. The suffix S, G, P or H (spot, general, pinpoint, hybrid)
// tells the pattern and is recorded beside the grade.
type D610 int

// d610UpTo[g] is the largest rusted area of grade g in percent (ASTM D610,
// Table 1).
var d610UpTo = [11]float64{100, 50, 33, 16, 10, 3, 1, 0.3, 0.1, 0.03, 0.01}

// D610Of gives the grade of a rusted area in percent. It reports false if the
// area is not within 0 to 100. See [D610Source].
func D610Of(areaPct float64) (D610, bool) {
	if !(areaPct >= 0 && areaPct <= 100) {
		return 0, false
	}
	grade := D610(10)
	for areaPct > d610UpTo[grade] {
		grade--
	}
	return grade, true
}

// Band gives the rusted area of the grade in percent: more than low (grade 10:
// from 0), up to and with high. It reports false for a grade outside 0 to 10.
func (g D610) Band() (lowPct, highPct float64, ok bool) {
	switch {
	case g < 0 || g > 10:
		return 0, 0, false
	case g == 10:
		return 0, d610UpTo[10], true
	}
	return d610UpTo[g+1], d610UpTo[g], true
}

// riOfD610[g] is the worst ISO 4628-3 degree whose area lies in the band of
// grade g, else the next worse one.
var riOfD610 = [11]Ri{5, 5, 5, 5, 4, 4, 3, 2, 1, 1, 0}

// Ri gives the ISO 4628-3 degree of the same rusted area: 5, 5, 5, 5, 4, 4, 3,
// 2, 1, 1, 0 for grades 0 to 10. It is derived; the screen says so. It reports
// false for a grade outside 0 to 10. See [RustByAreaSource].
func (g D610) Ri() (Ri, bool) {
	if g < 0 || g > 10 {
		return 0, false
	}
	return riOfD610[g], true
}

// Ri is the ISO 4628-3 degree of rusting of coated steel: 0 is clean, 5 is the
// worst. Uncoated steel takes [ISO8501].
type Ri int

// riArea[g] is the rusted area in percent at degree g; degree 5 runs from 40
// to 50 (ISO 4628-3, Table 1).
var riArea = [6]float64{0, 0.05, 0.5, 1, 8, 40}

const riWorst = 50 // %, upper end of Ri 5

// RiOf gives the degree of a rusted area in percent; between two degrees it is
// the worse one, and above 8 % it is Ri 5. It reports false if the area is not
// within 0 to 100. See [RustByAreaSource].
func RiOf(areaPct float64) (Ri, bool) {
	if !(areaPct >= 0 && areaPct <= 100) {
		return 0, false
	}
	for g, area := range riArea {
		if areaPct <= area {
			return Ri(g), true
		}
	}
	return 5, true
}

// Area gives the rusted area of the degree in percent; low and high differ only
// for Ri 5 (40 to 50). It reports false for a degree outside 0 to 5.
// See [RiSource].
func (g Ri) Area() (lowPct, highPct float64, ok bool) {
	if g < 0 || g > 5 {
		return 0, 0, false
	}
	if g == 5 {
		return riArea[5], riWorst, true
	}
	return riArea[g], riArea[g], true
}

// D610 gives the ASTM D610 grade of the same rusted area: 10, 8, 6, 6, 4, 1 for
// Ri 0 to 5. It is derived; the screen says so. It reports false for a degree
// outside 0 to 5. See [RustByAreaSource].
func (g Ri) D610() (D610, bool) {
	area, _, ok := g.Area()
	if !ok {
		return 0, false
	}
	return D610Of(area)
}

// AnnexD610 gives the grade that the standard's own comparison sets beside the
// degree: 10, 9, 7, 6, 4, 1. It differs from [Ri.D610] at Ri 1 and Ri 2 and is
// shown, not used. It reports false for a degree outside 0 to 5.
// See [RiAnnexSource].
func (g Ri) AnnexD610() (D610, bool) {
	if g < 0 || g > 5 {
		return 0, false
	}
	return [6]D610{10, 9, 7, 6, 4, 1}[g], true
}

// ISO8501 is the ISO 8501-1 rust grade of uncoated steel, A to D.
type ISO8501 string

// Meaning describes the grade in own words; "" for anything but A to D.
// See [ISO8501Source].
func (g ISO8501) Meaning() string {
	switch g {
	case "A":
		return "mill scale tight, hardly any rust"
	case "B":
		return "rust has begun, mill scale flaking"
	case "C":
		return "mill scale rusted away, few pits"
	case "D":
		return "mill scale rusted away, pitting plain to see"
	}
	return ""
}
