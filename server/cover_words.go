package server

import (
	"html/template"
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// actionWords says an action; "Not before" names its month.
func actionWords(a models.Action, due models.Date) string {
	if a == models.NotBefore && due != "" {
		return models.Actions.Say(string(a)) + " " + due.Month()
	}
	return models.Actions.Say(string(a))
}

// dueWords says a due date after its word of action, "" where that word says
// it already. Only a date that must be kept "was due".
func dueWords(a models.Action, rule models.DueRule, on, today models.Date) string {
	switch {
	case on == "" || a == models.NotBefore:
		return ""
	case rule == models.RuleOff:
		return "off since " + on.Say()
	case on == today:
		return "today"
	case on > today:
		return "by " + on.Say()
	case rule.Must():
		return "was due " + on.Say()
	case rule == models.RuleFirstLook:
		return "planned for " + on.Say()
	}
	return "since " + on.Say()
}

// wetConditions say how the record knows about water under a cover.
var wetConditions = models.Vocabulary{
	{Code: string(models.NeverSeen), Say: "never seen"}, {Code: string(models.WetKnown), Say: "closed damp or wet"},
	{Code: string(models.Bare), Say: "bare"}, {Code: string(models.WetEstimated), Say: "estimated"},
}

// coverLine is one row of a list with its small picture and its words.
type coverLine struct {
	models.CoverRow
	Icon  template.HTML
	Today models.Date // in its building
	Place bool        // say room and building: no heading does
	Pick  bool        // offer to choose it
}

// Do is the word of action, with its month where it only says not before.
func (l coverLine) Do() string { return actionWords(l.Action, l.DueOn) }

// When is the due date after that word.
func (l coverLine) When() string { return dueWords(l.Action, l.Rule, l.DueOn, l.Today) }

// Because is the reason, where there is something to do that the word of action
// and its date do not say; what is only worth opening says so in short.
func (l coverLine) Because() string {
	switch {
	case l.Action == models.NotBefore, l.Rule == models.RuleOff:
		return ""
	case l.Rule == models.RuleWorth:
		return models.DueRules.Say(string(l.Rule))
	}
	return l.Why
}

// Wet is whether it is wet now, in words.
func (l coverLine) Wet() string { return register.WetSaid(l.Condition, l.PWet) }

// Found is what the last opening found, in words.
func (l coverLine) Found() string {
	out := strings.ReplaceAll(l.LastRust, " ", "\u00a0")
	if l.LastWet != nil {
		water := "dry"
		if *l.LastWet {
			water = "wet"
		}
		if out != "" {
			water += ", "
		}
		out = water + out
	}
	return out
}
