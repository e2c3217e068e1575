package server

import (
	"fmt"
	"html/template"
	"strings"

	"drylag/models"
	"drylag/reports"
)

// rowIcon is the small cut section of a row: metal seen or not, ring whole,
// broken or absent.
func rowIcon(r models.CoverRow) (template.HTML, error) {
	alt := "metal never seen"
	if r.LastOpened != "" {
		alt = "metal seen"
	}
	ring := "cover in place"
	if r.State == models.Off {
		ring = "cover off"
	}
	s := reports.Section{Size: reports.SectionIcon, Alt: alt + ", " + ring, Seen: r.LastOpened != "", RustedArea: r.AreaPct, Off: r.State == models.Off}
	svg, err := reports.SVG(s)
	return template.HTML(svg), err // drawn by reports, which escapes every text
}

// sectionOf is the cut section of a cover as its last opening left it.
func sectionOf(file models.CoverFile, size reports.SectionSize) (template.HTML, error) {
	cover := file.Sheet.Cover
	s := reports.Section{Size: size, Off: cover.State == models.Off}
	words := []string{file.Sheet.Title()}
	last := lastBared(file)
	if last == nil {
		words = append(words, "metal never seen")
	} else {
		fillMetal(&s, *last)
		words = append(words, foundWords(*last)...)
	}
	estimateWater(&s, file, last)
	fillSeal(&s, cover, last)
	if s.Off {
		words = append(words, "cover off")
	}
	s.Alt = strings.Join(words, ", ")
	svg, err := reports.SVG(s)
	return template.HTML(svg), err // drawn by reports, which escapes every text
}

// lastBared is the last opening that bared the metal, nil if none did.
func lastBared(file models.CoverFile) *models.Opening {
	for _, item := range file.History {
		if item.Opening != nil && item.Opening.Opened() {
			return item.Opening
		}
	}
	return nil
}

func fillMetal(s *reports.Section, o models.Opening) {
	s.Seen = true
	s.RustedArea = o.Metal.AreaPct
	if area, ok := reportsArea(o.Metal); ok {
		s.RustedArea = &area
	}
	s.Pits = o.Metal.Form == "pitted" || o.Metal.PitMM != nil
	if amount := amountOf(o.Moisture); amount != 0 {
		mark := reports.WaterMark{Clock: 6, Observed: true, Amount: amount, Label: models.Moistures.Say(o.Moisture)}
		if o.WaterClock != nil {
			mark.Clock = *o.WaterClock
		}
		s.Water = append(s.Water, mark)
	}
}

// reportsArea is the middle of what an Ri grade means, for the picture only
// (ISO 4628-3, from memory).
func reportsArea(m models.MetalFinding) (float64, bool) {
	area, ok := map[string]float64{"Ri 0": 0, "Ri 1": 0.05, "Ri 2": 0.5, "Ri 3": 1, "Ri 4": 8, "Ri 5": 45}[m.Grade]
	return area, ok
}

func amountOf(moisture string) reports.Amount {
	switch moisture {
	case "damp", "sweat":
		return reports.Damp
	case "beads", "wet":
		return reports.Beads
	case "pooled", "ice":
		return reports.Pooled
	}
	return 0
}

// estimateWater draws the chance of water at the low point, hatched, where
// nobody has looked since.
func estimateWater(s *reports.Section, file models.CoverFile, last *models.Opening) {
	sc := file.Score
	if sc == nil || s.Off || len(s.Water) > 0 || sc.PWet.Mid < 0.3 || (last != nil && last.On == sc.On) {
		return
	}
	s.Water = append(s.Water, reports.WaterMark{Clock: 6, Amount: reports.Damp, Label: "perhaps wet"})
}

// fillSeal puts the seam at its clock position and spreads the penetrations.
func fillSeal(s *reports.Section, cover models.Cover, last *models.Opening) {
	seam := 6.0
	if cover.SeamClock != nil {
		seam = *cover.SeamClock
	}
	s.Seal = append(s.Seal, reports.SealMark{Clock: seam, Width: 0.5, State: stateOf(models.LongSeam, last), Label: "seam"})
	if cover.Penetrations == nil {
		return
	}
	n := *cover.Penetrations
	for i := 1; i <= n; i++ {
		clock := seam + 12*float64(i)/float64(n+1)
		for clock > 12 {
			clock -= 12
		}
		s.Seal = append(s.Seal, reports.SealMark{Clock: clock, Width: 0.6, State: stateOf(models.Penetration(i), last), Label: fmt.Sprint(i)})
	}
}

// stateOf is a place as it was left, or as found where nothing was left.
func stateOf(p models.Place, last *models.Opening) reports.SealState {
	if last == nil {
		return reports.SealWhole
	}
	for _, q := range last.Places {
		if q.Place != p {
			continue
		}
		switch state := string(q.Left); {
		case state == "missing" || state == "" && q.Found == "missing":
			return reports.SealAbsent
		case state == "lifting" || state == "open" || state == "" && (q.Found == "lifting" || q.Found == "open"):
			return reports.SealBroken
		}
	}
	return reports.SealWhole
}

// foundWords are the findings of an opening for the picture's text.
func foundWords(o models.Opening) []string {
	var out []string
	if g := rustWords(o.Metal); g != "" {
		out = append(out, "rust "+g)
	}
	if o.Moisture != "" {
		w := models.Moistures.Say(o.Moisture)
		if o.WaterClock != nil && o.Wet() {
			w += fmt.Sprintf(" at %g o'clock", *o.WaterClock)
		}
		out = append(out, w)
	}
	for _, p := range o.Places {
		if p.Left == "lifting" || p.Left == "open" || p.Left == "missing" {
			out = append(out, p.Place.Say()+" left "+models.LeftWords.Say(string(p.Left)))
		}
	}
	return out
}

// rustWords is a rust grade with its scale.
func rustWords(m models.MetalFinding) string {
	switch m.Scale {
	case "ri":
		return m.Grade
	case "d610":
		return "D610 grade " + m.Grade
	case "iso8501":
		return "ISO 8501-1 " + m.Grade
	case "area":
		if m.AreaPct != nil {
			return fmt.Sprintf("%g %% of the area", *m.AreaPct)
		}
	}
	return ""
}
