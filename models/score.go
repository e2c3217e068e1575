package models

import "time"

// Range is an estimate with its 90 % interval.
type Range struct{ Mid, Lo, Hi float64 }

// Action is what to do, as the word of action that leads a line.
type Action string

// Actions in the order of urgency (risk.md 6).
const (
	PutBack   Action = "put_back"   // the cover is off
	LookNow   Action = "look_now"   // reported
	OpenNow   Action = "open_now"   // must passed or within 30 days, or worth opening passed
	ThisRound Action = "this_round" // by the end of the open round, else within 90 days
	NextRound Action = "next_round" // the following equal span
	NotBefore Action = "not_before" // later
)

// Actions in words, most urgent first.
var Actions = Vocabulary{
	{string(PutBack), "Put back"}, {string(LookNow), "Look now"}, {string(OpenNow), "Open now"},
	{string(ThisRound), "This round"}, {string(NextRound), "Next round"}, {string(NotBefore), "Not before"},
}

// DueRule is why a date stands.
type DueRule string

// The rules of risk.md 6. The first four are "must": only they are ever overdue.
const (
	RuleThickness DueRule = "thickness"  // a: last reading + half remaining life
	RuleLimit     DueRule = "limit"      // b: last opening + the owner's limit
	RuleReported  DueRule = "reported"   // d: reported, or closed damp or wet
	RuleOff       DueRule = "off"        // the cover is off
	RuleWorth     DueRule = "worth"      // c: the index W reaches the cost of one opening
	RuleFirstLook DueRule = "first_look" // never seen: the building's first-look program
	RuleSealFirst DueRule = "seal_first" // opening alone will not keep it dry
)

// Must tells whether the rule can be overdue.
func (r DueRule) Must() bool {
	return r == RuleThickness || r == RuleLimit || r == RuleReported || r == RuleOff
}

// DueRules in words.
var DueRules = Vocabulary{
	{string(RuleThickness), "half the remaining life"}, {string(RuleLimit), "the owner's limit"},
	{string(RuleReported), "reported or closed wet"}, {string(RuleOff), "cover off"},
	{string(RuleWorth), "worth opening"},
	{string(RuleFirstLook), "first look"}, {string(RuleSealFirst), "re-make the seal"},
}

// DueDate is one date with the rule and the sentence behind it.
type DueDate struct {
	Rule DueRule
	On   Date
	Why  string
}

// Term is one line of a "why?": what, how much, in words, and from where.
type Term struct {
	Name   string // "hours below dew point"
	Value  string // with its unit: "5,076 h of 8,760"
	Method string // formula or rule
	Source string // published source with its tag, or "judgement"
}

// WetCondition says how the record knows about water under the cover.
type WetCondition string

// The conditions of risk.md 2.
const (
	WetEstimated WetCondition = "estimated"  // P(wet) from the model
	WetKnown     WetCondition = "wet"        // closed damp or wet, not yet found dry
	NeverSeen    WetCondition = "never_seen" // never opened and no fitting date
	Bare         WetCondition = "bare"       // the cover is off
)

// Score is what the physics, the openings and the record make of one cover on
// one day. Same inputs, same score.
type Score struct {
	Cover    ID
	Building ID
	Room     ID
	On       Date // the day it speaks of
	At       time.Time
	Method   string // version of the method
	Fit      string // version of the wetness fit
	Inputs   string // JSON of everything that went in

	Condition WetCondition
	PWet      Range // probability that it is wet today
	PWetYear  Range // within 12 months of closing
	AgeYears  float64
	ExpertFit bool // no openings taught it yet

	HoursBelow    float64 // hours a year below the room's dew point
	YearHours     float64
	DriveIndex    float64 // annual drive over the reference, 1 = reference
	NetDriveUp    bool    // water that gets in stays
	SweatMonths   [12]bool
	DryHoursShare [12]float64 // share of the month's hours in which bare metal stays dry

	Driver        string // dry, mild, moderate, severe
	TableRateMMY  *float64
	RateFrom      string   // "table", "measured"; "" no published rate
	RateMMY       *float64 // used
	ScoredPart    string   // "the bolts", "the pipe wall"
	RequiredMM    *float64
	LastMM        *float64
	RemainingLife *Range // years, measured rates only

	Likelihood  float64 // 0-5
	Consequence int     // 1-5
	Risk        int     // 0-100
	Sentences   []string
	Why         []Term

	W       float64 // the index of learning.md 5, in openings' cost
	Benefit float64 // percent of one standard opening's cost
	Minutes float64

	Due       DueDate
	Others    []DueDate
	Action    Action
	Overdue   bool // Due must be kept and has passed
	PutOffTo  Date // the deferral in force
	Window    Date // from when opening makes sense
	FollowUps int  // open ones
}

// ScoreChange is one step in a cover's history of scores.
type ScoreChange struct {
	At     time.Time
	Risk   int
	PWet   float64
	DueOn  Date
	Action Action
	Rule   DueRule
	Cause  string // "opening", "look", "import", "new day", "climate", "policy", "amendment", "learned", "priors"
	Method string
	Fit    string
}

// Policy holds the organization's constants of judgement. Every one is shown
// where it is used, and each change is an event.
type Policy struct {
	Version        int
	LimitYears     float64 // class 4, and where a building sets none
	FirstLookYears float64
	HorizonYears   float64
	GaugeErrorMM   float64
	WetYearCost    float64 // cost of one year wet, in openings
	ThresholdP     *float64
	LookYears      float64 // outside look
	DriveRef       float64 // Pa·h a year
	RoundDays      int     // span of a round where none is open
	FoundWetCost   float64 // extra cost of finding a cover wet, in openings
	SpoilChance    float64 // chance that an opening spoils the seal unseen

	// FleetIntervalMonths is the time between openings while the predictions
	// do not hold; nil: the fleet's own median.
	FleetIntervalMonths *float64
}

// DefaultPolicy is the judgement that ships (risk.md; J = no source).
func DefaultPolicy() Policy {
	return Policy{LimitYears: 10, FirstLookYears: 3, HorizonYears: 5, GaugeErrorMM: 0.13, WetYearCost: 2,
		LookYears: 1, DriveRef: 4.30e6, RoundDays: 90, SpoilChance: 0.05}
}

// Validate reports every fault at once.
func (p Policy) Validate() error {
	var f Faults
	between(&f, "limit_years", &p.LimitYears, 0.5, 30, "years")
	between(&f, "first_look_years", &p.FirstLookYears, 0.5, 30, "years")
	between(&f, "horizon_years", &p.HorizonYears, 1, 30, "years")
	between(&f, "gauge_error", &p.GaugeErrorMM, 0.01, 2, "mm")
	between(&f, "wet_year_cost", &p.WetYearCost, 0.01, 100, "openings")
	between(&f, "threshold", p.ThresholdP, 0.01, 0.99, "")
	between(&f, "look_years", &p.LookYears, 0.25, 10, "years")
	between(&f, "found_wet_cost", &p.FoundWetCost, 0, 100, "openings")
	between(&f, "spoil_chance", &p.SpoilChance, 0, 0.9, "")
	between(&f, "fleet_interval_months", p.FleetIntervalMonths, 1, 120, "months")
	between(&f, "drive_ref", &p.DriveRef, 1e5, 1e8, "Pa·h")
	if p.RoundDays < 7 || p.RoundDays > 400 {
		f.Add("round_days", "must be between 7 and 400 days")
	}
	return f.Err()
}
