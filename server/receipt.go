package server

import (
	"fmt"
	"strings"

	"drylag/models"
	"drylag/models/register"
)

// receiptSays is what a record changed: risk, due date and reason before and
// after, what it asks for, what it closed.
func receiptSays(rc register.Receipt, done string) string {
	out := []string{done}
	if rc.Again {
		out = append(out, "It had arrived before and is kept once.")
	}
	out = append(out, scoreSays(rc)...)
	if rc.State == models.Off {
		out = append(out, "The cover is off: putting it back comes first.")
	}
	for _, f := range rc.Asked {
		out = append(out, fmt.Sprintf("Follow-up: %s, by %s.", models.FollowUpKinds.Say(f.Kind), f.By.Say()))
	}
	for _, f := range rc.Closed {
		out = append(out, fmt.Sprintf("Follow-up closed: %s (%s).", models.FollowUpKinds.Say(f.Kind), f.ClosedWhy))
	}
	return strings.Join(out, " ")
}

// scoreSays is the score before and after. Saving never waits for it.
func scoreSays(rc register.Receipt) []string {
	switch {
	case rc.Pending || rc.After == nil:
		return []string{"The score is pending: risk and date follow."}
	case rc.Before == nil:
		return []string{fmt.Sprintf("Risk %d. %s.", rc.After.Risk, dueSays(*rc.After))}
	}
	risk := fmt.Sprintf("Risk %d → %d.", rc.Before.Risk, rc.After.Risk)
	if rc.Before.Risk == rc.After.Risk {
		risk = fmt.Sprintf("Risk stays %d.", rc.After.Risk)
	}
	before, after := dueSays(*rc.Before), dueSays(*rc.After)
	if before == after {
		return []string{risk, "As before: " + after + "."}
	}
	return []string{risk, before + " → " + after + "."}
}

// dueSays is what to do, by when and by which rule: "Open now, due 25 Nov 2026
// (the owner's limit)".
func dueSays(c models.ScoreChange) string {
	action, rule := models.Actions.Say(string(c.Action)), models.DueRules.Say(string(c.Rule))
	switch {
	case c.DueOn == "":
		return action
	case c.Action == models.NotBefore:
		return fmt.Sprintf("%s %s (%s)", action, c.DueOn.Month(), rule)
	}
	return fmt.Sprintf("%s, due %s (%s)", action, c.DueOn.Say(), rule)
}
