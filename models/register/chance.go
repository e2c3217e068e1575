package register

import (
	"drylag/models"
	"drylag/models/risk"
)

// WetSaid says whether it is wet under a cover now: "wet" and "bare" where that
// is known, else the chance in the words of the score's own sentence.
func WetSaid(c models.WetCondition, p models.Range) string {
	switch c {
	case models.Bare:
		return "bare"
	case models.WetKnown:
		return "wet"
	}
	return risk.Chance(p)
}
