package server

import (
	"fmt"
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// foundWords are the findings of an opening in words: rust, water, what of the
// seal was left broken.
func foundWords(o models.Opening) []string {
	var out []string
	if said, _ := register.RustSaid(o.Metal); said != "" {
		out = append(out, "rust "+said)
	}
	if o.Moisture != "" {
		w := models.Moistures.Say(o.Moisture)
		if o.WaterClock != nil && o.Wet() {
			w += fmt.Sprintf(" at %g o’clock", *o.WaterClock)
		}
		out = append(out, w)
	}
	for _, p := range o.Places {
		if brokenLeft(p) {
			out = append(out, p.Place.Say()+" left "+models.LeftWords.Say(string(p.Left)))
		}
	}
	return out
}

func brokenLeft(p models.PlaceFinding) bool {
	return p.Left == "lifting" || p.Left == "open" || p.Left == "missing"
}

func brokenFound(p models.PlaceFinding) bool {
	return p.Found == "lifting" || p.Found == "open" || p.Found == "missing"
}

// lookWords are what a look saw broken, "" nothing.
func lookWords(l models.Look) string {
	var out []string
	for _, p := range l.Places {
		if brokenFound(p) {
			out = append(out, p.Place.Say()+" "+foundWord(p))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "from outside on " + l.On.Say() + ": " + strings.Join(out, ", ")
}
