// Package risk joins physics, learning and records into one score per cover:
// how likely it is wet, what that costs the metal, what a leak would mean, and
// when to open it. It is pure: the day it speaks of comes in as an argument.
//
// The numbers rank covers and date openings. They are not code compliance, and
// the screen says so.
package risk

import (
	"drylag/models"
	"drylag/models/metal"
	"drylag/models/seal"
)

// Method is the version of this package's arithmetic, kept with every score.
// It goes up when the same inputs would give another score.
const Method = "2"

// Input is everything one score depends on. Openings are current versions.
type Input struct {
	Sheet     models.CoverSheet
	Openings  []models.Opening // oldest first
	Looks     []models.Look
	Earlier   []models.EarlierRecord
	Readings  []models.ThicknessReading
	FollowUps []models.FollowUp // open ones
	Deferrals []models.Deferral
	Air       Air
	Fit       *seal.Fit
	Policy    models.Policy
	Today     models.Date
	RoundEnd  models.Date // last day of the open round, "" none
	// FirstLookRank is the share of the building's never-seen covers that the
	// first-look program has opened once this one is, by falling index: 1/n
	// for the first, 1 for the last.
	FirstLookRank float64
	// OldestFirst is the time between openings in years by which covers fall
	// due while the predictions do not hold; nil: they may be gone by.
	OldestFirst *float64
}

// Air is a typical year of the cover's own room air against its own metal.
// Hours of a stopped loop count as dry; in the hot season the metal is hot.
type Air struct {
	Hours   float64        `json:"hours"`             // hours in the year
	Below   float64        `json:"below_dew_point"`   // hours with the metal below the room's dew point
	Drive   float64        `json:"drive_pa_h"`        // Σ max(0, p_room - p_sat(metal)), Pa·h
	Net     float64        `json:"net_drive_pa_h"`    // Σ (p_room - p_sat(metal)), Pa·h
	Months  [12]MonthAir   `json:"months"`            // January first
	Seasons []metal.Season `json:"seasons"`           // the metal temperature, weighted by hours
	Source  string         `json:"source"`            // in words: which file or logger, its age, what was filled
	Assumed bool           `json:"assumed,omitempty"` // no humidity data at all: 24 °C, 50 % all year
}

// MonthAir is one month of an Air.
type MonthAir struct{ Hours, Dry float64 }

// belowShare is the share of the year with the metal below the dew point.
func (a Air) belowShare() float64 {
	if a.Hours == 0 {
		return 0
	}
	return a.Below / a.Hours
}

// wetting is the share of wet time while water is under the cover: one where
// the year's net drive is inward (water that gets in stays), else the share of
// hours below the dew point.
func (a Air) wetting() float64 {
	if a.Net > 0 {
		return 1
	}
	return a.belowShare()
}
