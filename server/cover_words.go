package server

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"drylag/models"
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
	}
	return "since " + on.Say()
}

// vague is the width from which the interval of a chance is said in words.
const vague = 0.5

// chanceWords says whether it is wet now, as the first sentence of a score does.
func chanceWords(c models.WetCondition, p models.Range) string {
	switch {
	case c == models.Bare:
		return "bare"
	case c == models.WetKnown:
		return "wet"
	case p.Hi-p.Lo > vague:
		return "perhaps " + oneIn(p.Mid)
	case p.Mid < 0.02:
		return oneIn(p.Mid)
	}
	return "about " + oneIn(p.Mid)
}

// oneIn says a chance as people do, in the words of the score.
func oneIn(p float64) string {
	switch {
	case p < 0.02:
		return "less than 1 in 50"
	case p <= 0.4:
		return fmt.Sprintf("1 in %.0f", math.Round(1/p))
	case p < 0.45:
		return "2 in 5"
	case p < 0.55:
		return "1 in 2"
	case p < 0.63:
		return "3 in 5"
	case p < 0.7:
		return "2 in 3"
	case p < 0.95:
		return fmt.Sprintf("%.0f in 10", math.Round(10*p))
	}
	return "certain"
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

// Because is the reason, where there is something to do; what is only worth
// opening says so in short.
func (l coverLine) Because() string {
	switch {
	case l.Action == models.NotBefore:
		return ""
	case l.Rule == models.RuleWorth:
		return models.DueRules.Say(string(l.Rule))
	}
	return l.Why
}

// PastToo tells whether a date that must be kept has passed although another
// one is shown.
func (l coverLine) PastToo() bool { return l.Overdue && !l.Rule.Must() }

// Wet is whether it is wet now, in words.
func (l coverLine) Wet() string { return chanceWords(l.Condition, l.PWet) }

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
