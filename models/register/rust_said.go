package register

import (
	"fmt"
	"strconv"

	"drylag/models"
	"drylag/models/metal"
)

// RustGrade is one answer to how rusted the metal is, on one scale.
type RustGrade struct {
	Scale, Grade string // as models.MetalFinding keeps them
	Area         string // rusted area in words, "" where the scale speaks of none
	Derived      string // the same rust on the other scale, by equal area; "" no equal
	Meaning      string // in own words, ISO 8501-1 only
}

// RustGrades are the answers of a scale of models.RustScales, best first; none
// for percent, which is a number.
func RustGrades(scale string) []RustGrade {
	var out []RustGrade
	switch scale {
	case "ri":
		for g := metal.Ri(0); g <= 5; g++ {
			out = append(out, rustGrade(models.MetalFinding{Scale: scale, Grade: fmt.Sprintf("Ri %d", g)}))
		}
	case "d610":
		for g := 10; g >= 0; g-- {
			out = append(out, rustGrade(models.MetalFinding{Scale: scale, Grade: strconv.Itoa(g)}))
		}
	case "iso8501":
		for _, g := range []string{"A", "B", "C", "D"} {
			out = append(out, RustGrade{Scale: scale, Grade: g, Meaning: metal.ISO8501(g).Meaning()})
		}
	}
	return out
}

// RustSaid is a finding's rust as it was recorded, with its scale, and the same
// rust on the other scale, which is derived; both "" where it was not graded.
func RustSaid(m models.MetalFinding) (said, derived string) {
	g := rustGrade(m)
	switch m.Scale {
	case "ri":
		said = g.Grade
	case "d610":
		said = "D610 " + g.Grade
	case "iso8501":
		said = "ISO 8501-1 " + g.Grade
	case "area":
		if m.AreaPct != nil {
			said = percent(*m.AreaPct) + " rusted area"
		}
	}
	return said, g.Derived
}

func rustGrade(m models.MetalFinding) RustGrade {
	g := RustGrade{Scale: m.Scale, Grade: m.Grade}
	if m.Scale == "iso8501" {
		g.Meaning = metal.ISO8501(m.Grade).Meaning()
	}
	rust, ok := rustOf(m)
	if !ok {
		return g
	}
	switch m.Scale {
	case "ri":
		g.Area, g.Derived = areaSaid(rust), fmt.Sprintf("D610 %d", rust.D610)
	case "d610":
		g.Area, g.Derived = bandSaid(rust), fmt.Sprintf("Ri %d", rust.Ri)
	case "area":
		g.Derived = fmt.Sprintf("Ri %d, D610 %d", rust.Ri, rust.D610)
	}
	return g
}

// rustOf puts a finding on both scales; false where it has no grade there.
func rustOf(m models.MetalFinding) (metal.Rust, bool) {
	text, scale := m.Grade, metal.ByD610
	switch m.Scale {
	case "area":
		if m.AreaPct == nil {
			return metal.Rust{}, false
		}
		return metal.RustOn(metal.ByArea, *m.AreaPct)
	case "ri":
		if len(text) < 4 {
			return metal.Rust{}, false
		}
		text, scale = text[3:], metal.ByRi
	case "d610":
	default:
		return metal.Rust{}, false
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return metal.Rust{}, false
	}
	return metal.RustOn(scale, float64(n))
}

// areaSaid is the area that an Ri degree stands for: "0.5 %", "40 to 50 %".
func areaSaid(r metal.Rust) string {
	if r.LowPct < r.HighPct {
		return fmt.Sprintf("%g to %g %%", r.LowPct, r.HighPct)
	}
	return percent(r.LowPct)
}

// bandSaid is the band of area of a D610 grade: "up to 3 %", "over 50 %".
func bandSaid(r metal.Rust) string {
	if r.HighPct >= 100 {
		return "over " + percent(r.LowPct)
	}
	return "up to " + percent(r.HighPct)
}

func percent(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) + " %" }
