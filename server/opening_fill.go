package server

import (
	"drylag/models"
)

// openingForm is the form as it would be typed to say what an opening says:
// reading it gives the opening again.
func openingForm(o models.Opening, units string) *form {
	f := blank()
	for name, text := range map[string]string{"cover": string(o.Cover), "outcome": o.Outcome, "reason": o.Reason, "on": string(o.On),
		"opened_by": o.OpenedBy, "not_opened": o.NotOpened, "moisture": o.Moisture, "blanket": o.Blanket, "stain": o.Stain,
		"coating": o.Metal.Coating, "rust_form": o.Metal.Form, "rust": rustCode(o.Metal), "dried": o.Dried, "prepared": o.Prepared,
		"coated": o.Coated, "closing_metal": o.Closing.Metal, "closing_blanket": o.Closing.Blanket, "closing_water": o.Closing.Water,
		"closing_cover": o.Closing.Cover, "off_why": o.Closing.OffWhy, "note": o.Note} {
		f.set(name, text)
	}
	for name, answer := range map[string]*bool{"drips": o.Drips, "label": o.Label, "mold": o.Mold, "fresh_rust": o.Metal.FreshRust,
		"cured": o.Cured, "closing_label": o.Closing.Label} {
		f.setYesNo(name, answer)
	}
	fillMeasures(f, o, units)
	fillWalls(f, o.Readings, o.OpenedBy)
	fillPlaces(f, o.Places)
	return f
}

func fillMeasures(f *form, o models.Opening, units string) {
	f.setNumber("water_clock", o.WaterClock)
	f.setShare("water_share", o.WaterShare)
	f.setNumber("area", o.Metal.AreaPct)
	f.setNumber("minutes", o.Materials.Minutes)
	f.setNumber("sealant", o.Materials.SealantML)
	f.setNumber("coating_used", o.Materials.CoatingML)
	f.setExact("pit", o.Metal.PitMM, asThick, units)
	f.setExact("film", o.FilmUM, asFilm, units)
	f.setExact("tape", o.Materials.TapeM, asLength, units)
	f.setExact("blanket_used", o.Materials.BlanketM2, asArea, units)
}

func rustCode(m models.MetalFinding) string {
	if m.Grade == "" {
		return m.Scale
	}
	return m.Scale + ":" + m.Grade
}

// fillPlaces fills the seal place by place.
func fillPlaces(f *form, places []models.PlaceFinding) {
	for _, p := range places {
		f.values.Add("place", string(p.Place))
		f.set("found_"+string(p.Place), string(p.Found))
		f.set("left_"+string(p.Place), string(p.Left))
		if p.Found != "" {
			f.set("found_all", "each")
		}
		if p.Left != "" {
			f.set("left_all", "each")
		}
	}
}
