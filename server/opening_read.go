package server

import (
	"errors"
	"slices"
	"strings"

	"drylag/models"
)

// applies tells which parts of the form an outcome leaves to be answered. The
// form hides the others (data-not in part/opening.html), and they are not taken.
var applies = map[string]struct{ found, first, metal, closing bool }{
	"opened":         {true, true, true, true},
	"already_off":    {false, false, true, true},
	"could_not_open": {true, false, false, false},
	"stopped":        {true, true, true, false},
}

// readOpening reads the recording form. What cannot be read is a fault at its
// field; whether the answers hold together is for models to say.
func readOpening(f *form, c models.Cover, units string) models.Opening {
	o := models.Opening{ID: f.id("id"), Cover: f.id("cover"), Outcome: f.text("outcome"), Reason: f.text("reason"),
		On: f.date("on"), OpenedBy: f.text("opened_by"), Note: f.text("note"), Label: f.yesNo("label")}
	if f.has("stop") {
		o.Outcome = "stopped"
		f.set("outcome", o.Outcome)
	}
	part := applies[o.Outcome]
	if o.Outcome == "could_not_open" {
		o.NotOpened = f.text("not_opened")
	}
	if part.found {
		o.Drips = f.yesNo("drips")
	}
	if part.first {
		readFirst(f, &o, units)
	}
	if part.metal {
		readMetal(f, &o, units)
	}
	if part.closing {
		readTreatment(f, &o, units)
		readClosing(f, &o, units)
	}
	o.Places = readPlaces(f, c, part.found, part.closing && o.Closing.Cover != "left_off")
	return o
}

// readFirst reads what was seen in the first half minute.
func readFirst(f *form, o *models.Opening, units string) {
	o.Moisture, o.Blanket, o.Mold = f.text("moisture"), f.text("blanket"), f.yesNo("mold")
	o.Metal.FreshRust = f.yesNo("fresh_rust")
	if o.Moisture != "dry" {
		o.WaterClock = f.number("water_clock")
		o.WaterShare = f.share("water_share", units)
		o.Stain = f.text("stain")
	}
}

func readMetal(f *form, o *models.Opening, units string) {
	m := &o.Metal
	m.Coating, m.Form = f.text("coating"), f.text("rust_form")
	m.Scale, m.Grade, _ = strings.Cut(f.text("rust"), ":")
	if m.Scale == "" && f.text("area") != "" {
		m.Scale = "area" // a percentage is an answer
	}
	if m.Scale == "area" {
		m.AreaPct = f.percent("area", units)
	}
	m.Seen = m.Scale != ""
	m.PitMM = f.thick("pit", units)
	o.Readings = readWalls(f, units)
}

func readTreatment(f *form, o *models.Opening, units string) {
	o.Dried, o.Prepared, o.Coated = f.text("dried"), f.text("prepared"), f.text("coated")
	o.FilmUM, o.Cured = f.film("film", units), f.yesNo("cured")
}

func readClosing(f *form, o *models.Opening, units string) {
	o.Closing.Cover = f.text("closing_cover")
	if o.Closing.Cover == "left_off" {
		o.Closing.OffWhy = f.text("off_why")
	} else {
		o.Closing.Metal, o.Closing.Blanket = f.text("closing_metal"), f.text("closing_blanket")
		o.Closing.Water, o.Closing.Label = f.text("closing_water"), f.yesNo("closing_label")
	}
	o.Materials = models.Materiel{TapeM: f.length("tape", units), SealantML: f.volume("sealant", units),
		CoatingML: f.volume("coating_used", units), BlanketM2: f.measured("blanket_used", asArea, units),
		Minutes: f.number("minutes")}
}

// placesOf are the places that the form asks about: those of the cover, and
// those named in the form, which were recorded when the cover had others.
func placesOf(f *form, c models.Cover) []models.Place {
	out := c.Places()
	for _, name := range f.values["place"] {
		if p := models.Place(name); p.Valid() && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}

// readPlaces reads the seal, place by place or by one answer for all of them.
func readPlaces(f *form, c models.Cover, found, left bool) []models.PlaceFinding {
	var out []models.PlaceFinding
	for _, p := range placesOf(f, c) {
		x := models.PlaceFinding{Place: p}
		if found {
			x.Found = foundAt(f, p)
		}
		if left {
			x.Left = leftAt(f, p)
		}
		if x.Found != "" || x.Left != "" {
			out = append(out, x)
		}
	}
	return out
}

func foundAt(f *form, p models.Place) models.Found {
	if all := f.text("found_all"); all != "" && all != "each" {
		return models.Found(all)
	}
	return models.Found(f.text("found_" + string(p)))
}

// leftAt is how a place was left. "opened" is the answer of a cover opened at
// its seam and ends: those are renewed, and the rest was not touched.
func leftAt(f *form, p models.Place) models.Left {
	switch all := f.text("left_all"); all {
	case "", "each":
		return models.Left(f.text("left_" + string(p)))
	case "opened":
		if p == models.LongSeam || p == models.NearEnd || p == models.FarEnd {
			return "renewed"
		}
		return "undisturbed"
	default:
		return models.Left(all)
	}
}

// oneFault puts the faults of fields that one question asks for into one, where
// there is more than one.
func oneFault(err error, prefix, field, question string) error {
	var known *models.Error
	if !errors.As(err, &known) {
		return err
	}
	var rest models.Faults
	first := -1
	for i, fault := range known.Faults {
		if !strings.HasPrefix(fault.Field, prefix) {
			rest = append(rest, fault)
		} else if first < 0 {
			first = i
		}
	}
	if len(known.Faults)-len(rest) < 2 {
		return err
	}
	rest = slices.Insert(rest, first, models.Fault{Field: field, Msg: question})
	again := rest.Err().(*models.Error)
	again.Err = known.Err
	return again
}
