package models

import "cmp"

// Found is the state of one place of the seal before anything is touched.
type Found string

// Left is the state of one place of the seal as the cover is closed.
type Left string

// FoundWords are the states as found, LeftWords as left (risk.md, last section).
var (
	FoundWords = Vocabulary{
		{"sound", "sound"}, {"lifting", "lifting"}, {"open", "open"},
		{"missing", "missing"}, {"na", "not applicable"},
	}
	LeftWords = Vocabulary{
		{"renewed", "renewed"}, {"undisturbed", "undisturbed and sound"}, {"patched", "patched"},
		{"lifting", "lifting"}, {"open", "open"}, {"missing", "missing"}, {"na", "not applicable"},
	}
)

// SealState sums up the places of a seal.
type SealState string

// The states of a whole seal.
const (
	SealSound    SealState = "sound"    // every place renewed, undisturbed and sound, or not applicable
	SealRepaired SealState = "repaired" // something patched
	SealPoor     SealState = "poor"     // any place lifting, open or missing
	SealUnknown  SealState = "unknown"  // not recorded
)

// PlaceFinding is one place of the seal at one opening or look.
type PlaceFinding struct {
	Place Place
	Found Found // "" not recorded
	Left  Left  // "" not recorded
}

// Broken tells whether a place is lifting, open or missing.
func broken(state string) bool { return state == "lifting" || state == "open" || state == "missing" }

// sealLeft sums places as left: the worst word wins; nothing recorded is unknown.
func sealLeft(places []PlaceFinding) SealState {
	state := SealUnknown
	for _, p := range places {
		switch {
		case broken(string(p.Left)):
			return SealPoor
		case p.Left == "patched":
			state = SealRepaired
		case p.Left != "" && state == SealUnknown:
			state = SealSound
		}
	}
	for _, p := range places {
		if p.Left == "" && state != SealUnknown {
			return SealUnknown
		}
	}
	return state
}

// sealFound sums places as found: sound, poor or unknown.
func sealFound(places []PlaceFinding) SealState {
	state := SealUnknown
	for _, p := range places {
		if broken(string(p.Found)) {
			return SealPoor
		}
		if p.Found != "" {
			state = SealSound
		}
	}
	return state
}

// SealNow sums the places up as they are now: each as it was seen from outside
// since, else as it was left, else as it was found before. Poor where one is
// broken, sound where something is known and nothing broken.
func SealNow(left, seen []PlaceFinding) SealState {
	now := map[Place]string{}
	for _, p := range left {
		now[p.Place] = cmp.Or(string(p.Left), string(p.Found))
	}
	for _, p := range seen {
		now[p.Place] = cmp.Or(string(p.Found), now[p.Place])
	}
	state := SealUnknown
	for _, word := range now {
		switch {
		case broken(word):
			return SealPoor
		case word != "":
			state = SealSound
		}
	}
	return state
}
