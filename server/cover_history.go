package server

import (
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// entry is one line of a cover's history.
type entry struct {
	models.HistoryItem
	Found []string // of an opening, in short sentences
	Left  []string
}

func entriesOf(file models.CoverFile) []entry {
	out := make([]entry, len(file.History))
	for i, item := range file.History {
		out[i] = entry{HistoryItem: item}
		if o := item.Opening; o != nil {
			out[i].Found, out[i].Left = foundLines(*o), leftLines(*o)
		}
	}
	return out
}

// foundLines say what an opening found: water, blanket, rust, seal.
func foundLines(o models.Opening) []string {
	var out []string
	if o.Moisture != "" {
		out = append(out, "metal "+models.Moistures.Say(o.Moisture)+clockWords(o))
	}
	if o.Blanket != "" {
		out = append(out, "blanket "+models.BlanketStates.Say(o.Blanket))
	}
	if yes(o.Mold) {
		out = append(out, "mold")
	}
	if said, derived := register.RustSaid(o.Metal); said != "" {
		if derived != "" {
			said += " (" + derived + ", derived)"
		}
		out = append(out, "rust "+said)
	}
	if yes(o.Metal.FreshRust) {
		out = append(out, "fresh rust since closing")
	}
	if o.Metal.Form != "" {
		out = append(out, "rust "+models.RustForms.Say(o.Metal.Form))
	}
	if yes(o.Drips) {
		out = append(out, "dripping")
	}
	return append(out, sealWords(o.Places, brokenFound, foundWord)...)
}

func yes(v *bool) bool { return v != nil && *v }

func clockWords(o models.Opening) string {
	if o.WaterClock == nil || !o.Wet() {
		return ""
	}
	return " at " + num(*o.WaterClock, 0) + " o’clock"
}

func foundWord(p models.PlaceFinding) string {
	if p.Found == "" {
		return ""
	}
	return models.FoundWords.Say(string(p.Found))
}

// leftLines say how it was treated and left: dried, coated, closed, seal.
func leftLines(o models.Opening) []string {
	var out []string
	c := o.Closing
	if c.Cover != "" {
		out = append(out, models.ClosingCovers.Say(c.Cover))
	}
	if c.OffWhy != "" {
		out = append(out, c.OffWhy)
	}
	if c.Metal != "" {
		out = append(out, "metal "+models.ClosingMetals.Say(c.Metal))
	}
	if c.Blanket != "" {
		out = append(out, "blanket "+models.ClosingBlanket.Say(c.Blanket))
	}
	if o.Coated != "" && o.Coated != "none" {
		out = append(out, models.CoatClasses.Say(o.Coated))
	}
	return append(out, sealWords(o.Places, brokenLeft, leftWord)...)
}

func leftWord(p models.PlaceFinding) string {
	if p.Left == "" {
		return ""
	}
	return models.LeftWords.Say(string(p.Left))
}

// sealWords name the places that are broken, else say that the seal is sound.
func sealWords(places []models.PlaceFinding, broken func(models.PlaceFinding) bool, word func(models.PlaceFinding) string) []string {
	var bad []string
	said := false
	for _, p := range places {
		said = said || word(p) != ""
		if broken(p) {
			bad = append(bad, p.Place.Say()+" "+word(p))
		}
	}
	switch {
	case len(bad) > 0:
		return bad
	case said:
		return []string{"seal sound"}
	}
	return nil
}

// FoundSays and LeftSays are those lines as one sentence.
func (e entry) FoundSays() string { return sentence(e.Found) }
func (e entry) LeftSays() string  { return sentence(e.Left) }

func sentence(parts []string) string {
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, ", ")) + "."
}

// Amends is why the opening was amended, as a sentence.
func (e entry) Amends() string {
	return capital(strings.TrimRight(strings.TrimSpace(e.Opening.Amends), ".")) + "."
}

// Broken are the places of the seal that a look saw broken.
func (e entry) Broken() []string {
	if e.Look == nil {
		return nil
	}
	return sealWords(e.Look.Places, brokenFound, foundWord)
}

// LookSays is the sentence of a look.
func (e entry) LookSays() string {
	l := e.Look
	var out []string
	switch {
	case l.InPlace == nil:
	case *l.InPlace:
		out = append(out, "in place")
	default:
		out = append(out, "cover off")
	}
	if yes(l.Drips) {
		out = append(out, "dripping")
	}
	if l.Port != "" {
		out = append(out, "sight port "+models.PortStates.Say(l.Port))
	}
	return sentence(append(out, e.Broken()...))
}
