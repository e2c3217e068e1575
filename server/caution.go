package server

import "drylag/models"

// cautions are the sentences beside each step of the recording form where work
// can hurt someone, one sentence each.
type cautions struct {
	Before    []string // before anything is cut
	Place     []string // about where the part is
	Mold      []string
	Metal     []string
	Treatment []string
}

// cautionsOf picks what holds for a part in its place.
func cautionsOf(s models.CoverSheet) cautions {
	return cautions{
		Before: append(workCautions(s), placeCautions(s)...),
		Place:  placeCautions(s),
		Mold:   []string{"Mold or dust: respirator as the site requires; in a hospital the infection-control permit comes before opening."},
		Metal:  []string{"Do not scrape, hammer, brush or grind rust on a line under pressure."},
		Treatment: []string{"Old paint can hold lead: stop and have it tested before it is touched.",
			"Gloves and eye protection for surface preparation, and only on what is isolated and drained."},
	}
}

// workCautions are about the part and what is in it.
func workCautions(s models.CoverSheet) []string {
	out := []string{"Isolate and prove it (lock-out/tag-out) before disturbing anything under pressure or turning."}
	if s.Dual() {
		out = append(out, "Dual-temperature loop: it may be hot.")
	}
	if s.Component.Permit != "" {
		out = append(out, "Permit needed here: "+s.Component.Permit+".")
	}
	if s.Building.PresumedAsbestos() {
		out = append(out, asbestosCaution(s.Building))
	}
	if s.Component.Kind == "flexible_connector" || s.Component.Material == "rubber" {
		out = append(out, "Keep the knife away from the rubber.")
	}
	return append(out, "Gloves and eye protection for cutting; the floor may be wet.")
}

func asbestosCaution(b models.Building) string {
	text := "Suspect asbestos in old lagging here: stop and have it tested before it is disturbed"
	if b.AsbestosRegister != "" {
		return text + "; the register: " + b.AsbestosRegister + "."
	}
	return text + "."
}

// placeCautions are about where the part is.
func placeCautions(s models.CoverSheet) []string {
	var out []string
	switch s.Component.Access {
	case "ladder":
		out = append(out, "Ladder: tie it or have it held, and answer here with both feet on the floor.")
	case "lift":
		out = append(out, "Lift: harness on, controls tried first.")
	case "confined":
		out = append(out, "Confined space: entry only under its permit, with somebody outside.")
	}
	if s.Component.People > 1 {
		out = append(out, plural(s.Component.People, "person is", "people are")+" needed here.")
	}
	switch s.Component.Below {
	case "electrical":
		out = append(out, "Electrical or IT equipment below: keep every drip off it.")
	case "patients":
		out = append(out, "Patients or laboratories below: no dust, no drips; moldy insulation in a hospital needs the infection-control permit first.")
	}
	return out
}
