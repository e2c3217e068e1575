package risk

import (
	"math"

	"drylag/models"
	"drylag/models/seal"
)

// Episodes are what one cover's record teaches the wetness model: each time
// from a dry closing to the next opening that says wet or dry (learning.md 1).
// A cover closed damp begins none, nor does one whose closing day is not known.
// A dry sight port between the two is the last age at which it was known dry.
func Episodes(in Input) []seal.Episode {
	if in.Air.Hours == 0 {
		return nil
	}
	t := lifeOf(in)
	var out []seal.Episode
	for i, e := range t.episodes {
		if e.found == "" || e.wet || (i == 0 && t.flagged && e.from == t.start) {
			continue
		}
		x := seal.Episode{ID: string(in.Sheet.Cover.ID) + " " + string(e.to), Covariates: covariates(in, e),
			Dry: e.years(), Wet: math.Inf(1)}
		if e.found == "wet" {
			x.Dry, x.Wet = 0, e.years()
			if port := lastDryPort(in.Looks, e); port != "" {
				x.Dry = port.YearsSince(e.from)
			}
		}
		out = append(out, x)
	}
	return out
}

// lastDryPort is the last day within an episode on which a look from outside
// saw its sight port dry.
func lastDryPort(looks []models.Look, e episode) models.Date {
	var last models.Date
	for _, l := range looks {
		if l.Port == "dry" && l.On > e.from && l.On < e.to {
			last = max(last, l.On)
		}
	}
	return last
}
