package risk

import (
	"slices"

	"drylag/models"
)

// SuppliesOf is what the next re-closing takes as a round counts it, every place
// of the seal made anew, with what was assumed, in words. An open follow-up that
// asks for a coat or a new cover adds the coating or the blanket. The error is
// that of Reclosing.
func SuppliesOf(s models.CoverSheet, open []models.FollowUp) (models.Supplies, []string, error) {
	asks := func(kind string) bool {
		return slices.ContainsFunc(open, func(f models.FollowUp) bool { return f.Open() && f.Kind == kind })
	}
	r, err := Reclosing(s, Remake{Blanket: asks("cover"), Coat: asks("coat")})
	if err != nil {
		return models.Supplies{}, nil, err
	}
	var assumed []string
	for _, a := range []models.Amount{r.TapeM, r.SealantML, r.CoatingML, r.BlanketM2} {
		for _, x := range a.Assumed {
			if text := x.What + ": " + x.Why; a.Value > 0 && !slices.Contains(assumed, text) {
				assumed = append(assumed, text)
			}
		}
	}
	return r.Supplies(), assumed, nil
}
