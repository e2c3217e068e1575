package server

import (
	"fmt"

	"drylag/models"
)

// changeLine is one step in a cover's scores, in words.
type changeLine struct {
	On      models.Date
	Risk    string    // "19 → 48", "stays 48"
	After   string    // what made it
	Opening models.ID // that did, None if it was none
	Do      string    // what to do since
	Was     string    // what there was to do before, "" the same
}

// causes of a score in words; opening, look and amendment name their record.
var causes = map[string]string{
	"import": "an import", "new day": "time went by", "learned": "what openings taught", "priors": "the expert’s priors were changed", "climate": "new weather or logger data", "policy": "the constants were changed",
	"edit": "the cover was entered or edited", "put off": "the date was put off", "reading": "a thickness reading",
	"follow-up": "a follow-up was opened or closed", "record": "a record", "look": "a look from outside", "opening": "an opening",
	"amendment": "an amendment",
}

// changeLines are the steps that can be seen, newest first.
func changeLines(file models.CoverFile) []changeLine {
	var out []changeLine
	for i, now := range file.Changes {
		var before *models.ScoreChange
		if i+1 < len(file.Changes) {
			before = &file.Changes[i+1]
			if before.Risk == now.Risk && before.Action == now.Action && before.DueOn == now.DueOn {
				continue
			}
		}
		out = append(out, changeOf(file, now, before))
	}
	return out
}

func changeOf(file models.CoverFile, now models.ScoreChange, before *models.ScoreChange) changeLine {
	line := changeLine{On: models.DateOf(now.At, file.Sheet.Building.Zone()), Do: dueSays(now), Risk: fmt.Sprintf("%d at first", now.Risk)}
	line.After = causes[now.Cause]
	if line.After == "" {
		line.After = now.Cause
	}
	if o := openingBefore(file, now); o != nil && (now.Cause == "opening" || now.Cause == "amendment") {
		line.Opening = o.Root
		line.After = "the " + now.Cause + " of " + o.On.Say()
	}
	if before == nil {
		return line
	}
	line.Risk = fmt.Sprintf("%d → %d", before.Risk, now.Risk)
	if before.Risk == now.Risk {
		line.Risk = fmt.Sprintf("stays %d", now.Risk)
	}
	if was := dueSays(*before); was != line.Do {
		line.Was = was
	}
	return line
}

// openingBefore is the opening that was entered last before a score.
func openingBefore(file models.CoverFile, at models.ScoreChange) *models.Opening {
	var last *models.Opening
	for _, item := range file.History {
		o := item.Opening
		if o != nil && !o.EnteredAt.After(at.At) && (last == nil || o.EnteredAt.After(last.EnteredAt)) {
			last = o
		}
	}
	return last
}
