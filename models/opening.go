package models

import (
	"strings"
	"time"
)

// The words of an opening, in the order of the work.
var (
	Outcomes = Vocabulary{
		{"opened", "opened"}, {"already_off", "already off when I came"},
		{"could_not_open", "could not open"}, {"stopped", "stopped for safety"},
	}
	NotOpenedReasons = Vocabulary{
		{"no_access", "no access"}, {"not_found", "not found"},
		{"wrong_part", "wrong part"}, {"permit_refused", "permit refused"},
	}
	OpeningReasons = Vocabulary{
		{"periodic", "periodic"}, {"maintenance", "maintenance access"}, {"reported", "reported"},
		{"baseline", "baseline at fitting"}, {"follow_up", "follow-up"},
	}
	Moistures = Vocabulary{
		{"dry", "dry"}, {"sweat", "sweat only"}, {"damp", "damp"}, {"beads", "beads"},
		{"wet", "wet"}, {"pooled", "pooled"}, {"ice", "ice"},
	}
	BlanketStates  = Vocabulary{{"dry", "dry"}, {"damp", "damp"}, {"wet", "wet"}}
	CoatingStates  = Vocabulary{{"none", "none"}, {"intact", "intact"}, {"breached", "breached"}, {"failed", "failed"}}
	RustScales     = Vocabulary{{"ri", "ISO 4628-3 (Ri 0 is clean)"}, {"d610", "ASTM D610 (10 is clean)"}, {"iso8501", "ISO 8501-1, uncoated (A is mill scale)"}, {"area", "rusted area in percent"}}
	RustForms      = Vocabulary{{"even", "even"}, {"pitted", "pitted"}, {"crevice", "in a crevice"}, {"bolting", "bolting"}}
	DryMethods     = Vocabulary{{"wiped", "wiped"}, {"blown", "blown with air"}, {"heated", "warmed"}, {"stopped", "loop stopped"}, {"not_dried", "not dried"}}
	Preparations   = Vocabulary{{"St 2", "St 2 (SSPC-SP 2)"}, {"St 3", "St 3 (SSPC-SP 3)"}, {"Sa 1", "Sa 1 (SSPC-SP 7)"}, {"Sa 2", "Sa 2 (SSPC-SP 6)"}, {"Sa 2 1/2", "Sa 2 1/2 (SSPC-SP 10)"}, {"Sa 3", "Sa 3 (SSPC-SP 5)"}, {"SP 11", "SSPC-SP 11"}}
	CoatClasses    = Vocabulary{{"none", "none"}, {"medium", "single coat or inhibitor"}, {"high", "full coating system"}}
	ClosingMetals  = Vocabulary{{"dry", "dry"}, {"sweating", "sweating"}, {"wet", "wet"}}
	ClosingBlanket = Vocabulary{{"dry", "dry"}, {"damp", "damp"}, {"replaced", "replaced"}}
	ClosingWater   = Vocabulary{{"running", "running"}, {"stopped", "stopped"}}
	ClosingCovers  = Vocabulary{{"same", "same cover"}, {"new", "new cover"}, {"left_off", "left off"}}
)

// Opening is one look under one cover, or the honest record that there was
// none. The seal found is evidence about the past; the seal left starts the
// next wet-or-dry clock. It is never changed: an amendment is a later version
// with its own author, time and reason.
type Opening struct {
	ID      ID // of this version; the first version's ID is the opening's
	Root    ID // the first version's ID
	Version int
	Reason  string // OpeningReasons; "" where it was stopped for safety before anybody said
	Outcome string // Outcomes

	Cover     ID
	Building  ID   // set by register from the cover
	On        Date // day of the work
	EnteredAt time.Time
	OpenedBy  string // who did the work
	Recorder  ID     // whose account entered it
	Amends    string // why this version replaces the one before; "" for the first

	NotOpened string // NotOpenedReasons, where it could not be opened
	Drips     *bool
	Label     *bool // label present
	Places    []PlaceFinding

	Moisture   string   // Moistures, judged in the first half minute
	WaterClock *float64 // clock position of the water, 12 = top, looking along the flow
	WaterShare *float64 // share of the area, 0 to 1
	Blanket    string   // BlanketStates
	Mold       *bool
	Stain      string

	Metal    MetalFinding
	Readings []ThicknessReading

	Dried    string // DryMethods
	Prepared string // Preparations, only when isolated and drained
	Coated   string // CoatClasses applied now
	FilmUM   *float64
	Cured    *bool

	Closing   Closing
	Materials Materiel
	Note      string
}

// MetalFinding is what the bared metal looked like. The scale that the
// inspector used is kept; the other scale is derived and called so.
type MetalFinding struct {
	Seen      bool     // the metal was looked at
	Coating   string   // CoatingStates
	Scale     string   // RustScales
	Grade     string   // on that scale: "Ri 2", "6", "B"; empty for area
	AreaPct   *float64 // rusted area in percent where the scale is area
	Form      string   // RustForms
	FreshRust *bool    // since the last closing
	PitMM     *float64 // deepest pit, where safe to measure
}

// Closing is how the cover was closed; nothing here is ever preset.
type Closing struct {
	Metal   string // ClosingMetals
	Blanket string // ClosingBlanket
	Water   string // ClosingWater
	Cover   string // ClosingCovers
	OffWhy  string // why it was left off
	Label   *bool
}

// Dry tells whether metal and blanket were dry when closed. Unanswered is not dry.
func (c Closing) Dry() bool {
	return c.Metal == "dry" && (c.Blanket == "dry" || c.Blanket == "replaced")
}

// Materiel is what the closing used; nil is not recorded.
type Materiel struct {
	TapeM     *float64
	SealantML *float64
	CoatingML *float64
	BlanketM2 *float64
	Minutes   *float64
}

// Opened tells whether the metal was bared.
func (o Opening) Opened() bool { return o.Outcome == "opened" || o.Outcome == "already_off" }

// Wet is what the model, the charts and the triggers mean by wet: moisture
// other than dry or sweat-only, or a damp or wet blanket, or fresh rust since
// closing.
func (o Opening) Wet() bool {
	if !o.Opened() {
		return false
	}
	water := o.Moisture != "" && o.Moisture != "dry" && o.Moisture != "sweat"
	soaked := o.Blanket == "damp" || o.Blanket == "wet"
	return water || soaked || (o.Metal.FreshRust != nil && *o.Metal.FreshRust)
}

// Answered tells whether the opening says wet or dry at all.
func (o Opening) Answered() bool {
	return o.Opened() && (o.Moisture != "" || o.Blanket != "" || o.Metal.FreshRust != nil)
}

// SealLeft sums the places up as the wetness model reads them.
func (o Opening) SealLeft() SealState { return sealLeft(o.Places) }

// SealFound sums the places up as found.
func (o Opening) SealFound() SealState { return sealFound(o.Places) }

// LeftOff tells whether the component is bare after this record.
func (o Opening) LeftOff() bool {
	if o.Outcome == "already_off" {
		return o.Closing.Cover == "" || o.Closing.Cover == "left_off"
	}
	return o.Outcome == "opened" && o.Closing.Cover == "left_off"
}

// Reclosed tells whether this opening left a cover in place, so that the next
// wet-or-dry clock starts.
func (o Opening) Reclosed() bool {
	return o.Opened() && (o.Closing.Cover == "same" || o.Closing.Cover == "new")
}

// FullReclosing tells whether every place was renewed or is sound, so that the
// clock starts for every place. A partial opening leaves some untouched.
func (o Opening) FullReclosing() bool { return o.Reclosed() && o.SealLeft() != SealUnknown }

// Validate reports every fault at once: a basement is no place for guessing.
// today is the day it is in the cover's building.
func (o Opening) Validate(s CoverSheet, today Date) error {
	var f Faults
	o.checkHead(&f, s, today)
	o.checkWords(&f)
	o.checkNumbers(&f)
	switch o.Outcome {
	case "opened":
		o.checkFound(&f)
		o.checkMetal(&f)
		o.checkClosing(&f, s.Cover)
	case "already_off":
		o.checkMetal(&f)
		f.Need("closing_cover", o.Closing.Cover != "", "Was a cover put back, or is it still off?")
		if o.Closing.Cover == "same" || o.Closing.Cover == "new" {
			o.checkClosing(&f, s.Cover)
		}
	case "could_not_open":
		f.Need("not_opened", o.NotOpened != "", "Say why it could not be opened.")
	}
	return f.Err()
}

func (o Opening) checkHead(f *Faults, s CoverSheet, today Date) {
	f.Need("outcome", o.Outcome != "", "Say whether it was opened.")
	f.Need("reason", o.Reason != "" || o.Outcome == "stopped", "Say why it was opened.") // stopping saves at once
	f.Need("opened_by", strings.TrimSpace(o.OpenedBy) != "", "Say who did the work.")
	checkLen(f, "opened_by", o.OpenedBy, 80)
	if _, err := ParseDate(string(o.On)); err != nil {
		f.Add("on", "Give the day of the work, as 2026-11-25.")
	} else if o.On > today {
		f.Add("on", "The day of the work is in the future: it is %s there today.", today)
	}
	if st := s.Cover.State; st == Replaced || st == Retired {
		f.Add("cover", "This cover is %s: record it on the cover that is there now.", CoverStates.Say(string(st)))
	}
	if o.Version > 1 {
		f.Need("amends", strings.TrimSpace(o.Amends) != "", "Say why the record is amended.")
		checkLen(f, "amends", o.Amends, 400)
	}
}

func (o Opening) checkWords(f *Faults) {
	for _, w := range []struct {
		field, code string
		words       Vocabulary
	}{
		{"outcome", o.Outcome, Outcomes}, {"not_opened", o.NotOpened, NotOpenedReasons},
		{"reason", o.Reason, OpeningReasons}, {"moisture", o.Moisture, Moistures},
		{"blanket", o.Blanket, BlanketStates}, {"coating", o.Metal.Coating, CoatingStates},
		{"rust_scale", o.Metal.Scale, RustScales}, {"rust_form", o.Metal.Form, RustForms},
		{"dried", o.Dried, DryMethods}, {"prepared", o.Prepared, Preparations},
		{"coated", o.Coated, CoatClasses}, {"closing_metal", o.Closing.Metal, ClosingMetals},
		{"closing_blanket", o.Closing.Blanket, ClosingBlanket},
		{"closing_water", o.Closing.Water, ClosingWater}, {"closing_cover", o.Closing.Cover, ClosingCovers},
	} {
		w.words.Check(f, w.field, w.code)
	}
	for _, p := range o.Places {
		if !p.Place.Valid() {
			f.Add("places", "%q is not a place of the seal", p.Place)
		}
		FoundWords.Check(f, "found_"+string(p.Place), string(p.Found))
		LeftWords.Check(f, "left_"+string(p.Place), string(p.Left))
	}
}

func (o Opening) checkNumbers(f *Faults) {
	between(f, "water_clock", o.WaterClock, 0, 12, "o'clock")
	between(f, "water_share", o.WaterShare, 0, 1, "")
	between(f, "area", o.Metal.AreaPct, 0, 100, "%")
	between(f, "pit", o.Metal.PitMM, 0, 60, "mm")
	between(f, "film", o.FilmUM, 1, 10000, "µm")
	between(f, "tape", o.Materials.TapeM, 0, 1000, "m")
	between(f, "sealant", o.Materials.SealantML, 0, 1e5, "mL")
	between(f, "coating_used", o.Materials.CoatingML, 0, 1e5, "mL")
	between(f, "blanket_used", o.Materials.BlanketM2, 0, 1000, "m²")
	between(f, "minutes", o.Materials.Minutes, 1, 6000, "minutes")
	for i, r := range o.Readings {
		r.check(f, i)
	}
	checkLen(f, "stain", o.Stain, 200)
	checkLen(f, "off_why", o.Closing.OffWhy, 400)
	checkLen(f, "note", o.Note, 4000)
}

func (o Opening) checkFound(f *Faults) {
	f.Need("moisture", o.Moisture != "", "Say what moisture was found, judged in the first half minute.")
	f.Need("blanket", o.Blanket != "", "Say whether the blanket was dry.")
}

func (o Opening) checkMetal(f *Faults) {
	m := o.Metal
	f.Need("rust_scale", m.Scale != "", "Say how rusted the metal is.")
	switch m.Scale {
	case "ri":
		f.Need("rust_grade", validGrade(m.Grade, "Ri 0", "Ri 1", "Ri 2", "Ri 3", "Ri 4", "Ri 5"), "Choose Ri 0 (clean) to Ri 5.")
	case "d610":
		f.Need("rust_grade", validGrade(m.Grade, "10", "9", "8", "7", "6", "5", "4", "3", "2", "1", "0"), "Choose 10 (clean) down to 0.")
	case "iso8501":
		f.Need("rust_grade", validGrade(m.Grade, "A", "B", "C", "D"), "Choose A, B, C or D.")
		if m.Coating == "intact" || m.Coating == "breached" || m.Coating == "failed" {
			f.Add("rust_scale", "ISO 8501-1 grades uncoated steel: use Ri, D610 or percent on coated metal.")
		}
	case "area":
		f.Need("area", m.AreaPct != nil, "Give the rusted area in percent.")
	}
}

func (o Opening) checkClosing(f *Faults, c Cover) {
	cl := o.Closing
	f.Need("closing_cover", cl.Cover != "", "Was the same cover put back, a new one, or is it left off?")
	if cl.Cover == "left_off" {
		f.Need("off_why", strings.TrimSpace(cl.OffWhy) != "", "Say why it is left off.")
		return
	}
	f.Need("closing_metal", cl.Metal != "", "Was the metal dry when the cover was closed?")
	f.Need("closing_blanket", cl.Blanket != "", "Was the blanket dry when the cover was closed?")
	f.Need("closing_water", cl.Water != "", "Was the chilled water running?")
	for _, p := range c.Places() {
		f.Need("left_"+string(p), o.left(p) != "", "Say how the "+p.Say()+" was left.")
	}
}

func (o Opening) left(p Place) Left {
	for _, q := range o.Places {
		if q.Place == p {
			return q.Left
		}
	}
	return ""
}

func validGrade(grade string, grades ...string) bool {
	for _, g := range grades {
		if g == grade {
			return true
		}
	}
	return false
}
