package models

import (
	"math"
	"strings"
	"time"
)

// LearnedFit is one version of what the openings have taught. It is kept as it
// was, so that a score can be traced to the fit that made it.
type LearnedFit struct {
	Version  string // as Score.Fit and Prediction.Fit name it
	At       time.Time
	Cause    string // why it was learned: "start", "openings" (or what else the record says), "priors"
	Until    Date   // newest opening it has learned from, "" none
	N, Wet   int    // episodes learned from, and how many ended wet
	Rejected int    // episodes left out, with their reasons in Body
	Priors   int    // version of the expert priors behind it, 0 the ones that ship
	Body     string // JSON of the fit
}

// PriorSet is one version of the expert's judgement behind the wetness model.
// A set is never edited: a change is a later version with its author and reason.
type PriorSet struct {
	Version int // from 1; 0 is what ships
	By      ID
	ByName  string
	At      time.Time
	Why     string
	Rows    []PriorRow
}

// PriorRow is what the expert believes of one factor before any opening, on
// the log scale: exp(Mean) times as fast, give or take exp(±SD).
type PriorRow struct {
	Column   string
	Mean, SD float64
}

// Validate reports every fault at once. Fields are named "mean_COLUMN" and
// "sd_COLUMN".
func (p PriorSet) Validate() error {
	var f Faults
	f.Need("why", strings.TrimSpace(p.Why) != "", "Say why: the next person will ask.")
	checkLen(&f, "why", p.Why, 500)
	for _, r := range p.Rows {
		if !(math.Abs(r.Mean) <= 5) {
			f.Add("mean_"+r.Column, "must be between -5 and 5 (148 times as slow or as fast)")
		}
		if !(r.SD >= 0.01 && r.SD <= 5) {
			f.Add("sd_"+r.Column, "must be between 0.01 and 5")
		}
	}
	return f.Err()
}

// ByMonth leads Prediction.Fit where a walk month by month made it after the
// fact, from the openings before that month: "month by month 2026-03".
const ByMonth = "month by month "

// Walked tells whether a walk month by month made the prediction.
func (p Prediction) Walked() bool { return strings.HasPrefix(p.Fit, ByMonth) }

// Prediction is what was expected of one opening before it was made. It is
// stored with the record and never worked out again by a later fit: only so
// can it show whether the predictions hold. Whether it was wet stands in the
// opening.
type Prediction struct {
	Opening  ID
	Cover    ID
	Building ID
	Round    ID // the round it belongs to, None: month by month
	On       Date
	Age      float64 // years since the cover was closed
	P        float64 // chance of wet at that age
	Lo, Hi   float64 // its 90 % interval
	Eta      float64 // log hazard that P rests on
	Base     float64 // share wet before that day, the first yardstick; Expert while nothing was opened
	ByAge    float64 // chance by a model that knows the age alone
	Expert   float64 // chance by the priors alone
	Fit      string  // version of the fit, or ByMonth and the month: see Walked
	Made     time.Time
	Wet      bool // read with the opening's current version; not stored here
}
