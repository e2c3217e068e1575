package models

import (
	"fmt"
	"strings"
	"time"
)

// RoundState is how far a round has come.
type RoundState string

// The states of a round.
const (
	RoundDraft     RoundState = "draft"     // being put together
	RoundPublished RoundState = "published" // inspectors and crews see it
	RoundClosed    RoundState = "closed"    // what was promised is set against what was found
	RoundWithdrawn RoundState = "withdrawn" // a variant that was not chosen, or a draft given up
)

// RoundStates in words.
var RoundStates = Vocabulary{
	{string(RoundDraft), "draft"}, {string(RoundPublished), "published"},
	{string(RoundClosed), "closed"}, {string(RoundWithdrawn), "withdrawn"},
}

// Supplies are the materials that covers take to be closed again. Tape is in m, sealant and
// coating in mL, blanket in m².
type Supplies struct{ TapeM, SealantML, CoatingML, BlanketM2 float64 }

// Plus returns both together.
func (m Supplies) Plus(o Supplies) Supplies {
	return Supplies{m.TapeM + o.TapeM, m.SealantML + o.SealantML, m.CoatingML + o.CoatingML, m.BlanketM2 + o.BlanketM2}
}

// RoundShift is one crew on one day: a slot of the plan.
type RoundShift struct {
	ID        string // "2026-03-02 A"
	Day       Date
	Crew      string
	Inspector ID  // who walks it, None: whoever comes
	Minutes   int // working time, before the reserve is taken off
	People    int
	Lift      bool // a lift is there
}

// RoundWindow is a shutdown or a permit: the days on which covers that need it
// can be opened.
type RoundWindow struct {
	ID     string
	Name   string
	Days   []Date
	Covers []ID
}

// RoundPin is the engineer's word over the plan's.
type RoundPin struct {
	Cover    ID
	Building ID   // of the cover
	In       bool // in: opened whatever it is worth; out: left alone
	Reason   string
	By       string
	At       time.Time
}

// RoundPlace is a building with the minutes it takes to get there, or a room
// with the minutes it takes to set up in it.
type RoundPlace struct {
	ID      ID
	Minutes int
}

// RoundOrder is what the engineer asks of a round.
type RoundOrder struct {
	Buildings []ID    // where to look for covers
	From, To  Date    // first and last day
	Reserve   float64 // share of each shift kept free, 0-0.5
	Shifts    []RoundShift
	Stock     *Supplies // nil: enough of everything
	Windows   []RoundWindow
	Pins      []RoundPin
	Travel    []RoundPlace // buildings whose minutes differ from the usual
	SetUp     []RoundPlace // rooms whose minutes differ from the usual
	TravelMin int          // usual minutes to a building
	SetUpMin  int          // usual minutes in a room
	DryOnly   bool         // a cover only in the months in which its metal stays dry
	ByChance  bool         // by the chance of wet instead of the index: clears a backlog
}

// RoundResult is what the plan says of itself.
type RoundResult struct {
	At         time.Time
	Benefit    float64  // percent of one standard opening's cost
	Bound      float64  // no plan with these hours and stock can have more
	Within     *float64 // percent below the bound, rounded up; nil: bound 0
	MustAll    int      // covers that must be opened
	MustIn     int      // of them in the plan
	MustBound  int      // no plan can have more of them
	ShortMin   int      // minutes missing for the musts left out
	Used       Supplies
	Binding    []string // sentences: what limits this round
	RiskBefore int      // summed over the candidates
	RiskAfter  int
	Shifts     []ShiftUse
	LeftOut    []LeftOut
	Answer     string        // the plan in one sentence
	Promise    *RoundPromise // as published; nil: not published
	Account    *RoundAccount // once closed
	Replanned  int           // how often it was planned again since
}

// ShiftUse is how the minutes of one shift are spent.
type ShiftUse struct {
	ID                      string
	Travel, SetUp, Handling int
	Free                    int
}

// LeftOut is a candidate that is not in the plan, and why.
type LeftOut struct {
	Cover    ID
	Building ID
	Reason   string
	Must     bool
}

// Round is a set of shifts with the covers to open in them.
type Round struct {
	ID          ID
	Name        string
	State       RoundState
	VariantOf   ID // the round it was copied from, None
	Order       RoundOrder
	Result      *RoundResult // nil: not planned yet
	Stops       []RoundStop
	Fit         string // version of the wetness fit when it was planned
	By          ID
	ByName      string
	CreatedAt   time.Time
	PublishedAt time.Time
	ClosedAt    time.Time
	Version     int
}

// RoundStop is one cover of a round: where in the plan it stands, what was
// promised of it, and what came of it.
type RoundStop struct {
	Round    ID
	Cover    ID
	Building ID
	Room     ID
	Shift    string // ID of the shift
	Position int    // in the order of visits, from 1
	Must     bool
	Reason   string // why it is in: the rule of its date, or the pin
	Benefit  float64
	Minutes  int
	Use      Supplies
	PWet     float64 // chance of wet on the day of the shift, as planned
	Risk     int
	Opening  ID     // the record that answers it, None: still to do
	Skipped  string // why it was passed over, "" it was not
	Replaced bool   // taken out by a later plan of the same round
}

// Done tells whether the stop needs no more visit.
func (s RoundStop) Done() bool { return s.Opening != None || s.Skipped != "" }

// Validate reports every fault of what is asked of a round.
func (r Round) Validate() error {
	var f Faults
	f.Need("name", strings.TrimSpace(r.Name) != "", "Give the round a name.")
	checkLen(&f, "name", r.Name, 80)
	o := r.Order
	f.Need("buildings", len(o.Buildings) > 0, "Choose at least one building.")
	f.Need("from", o.From != "", "Give the first day.")
	f.Need("to", o.To != "", "Give the last day.")
	if o.From != "" && o.To != "" && o.To < o.From {
		f.Add("to", "The last day lies before the first.")
	}
	if !(o.Reserve >= 0 && o.Reserve <= 0.5) {
		f.Add("reserve", "must be between 0 and half of the shift")
	}
	minutes(&f, "travel", o.TravelMin)
	minutes(&f, "set_up", o.SetUpMin)
	o.checkShifts(&f)
	o.checkStock(&f)
	for i, p := range o.Pins {
		f.Need(fmt.Sprintf("pin_%d", i+1), strings.TrimSpace(p.Reason) != "", "Say why.")
	}
	return f.Err()
}

func minutes(f *Faults, field string, n int) {
	if n < 0 || n > 600 {
		f.Add(field, "must be between 0 and 600 minutes")
	}
}

func (o RoundOrder) checkShifts(f *Faults) {
	f.Need("shifts", len(o.Shifts) > 0, "Give at least one shift.")
	seen := map[string]bool{}
	for i, s := range o.Shifts {
		at := func(name string) string { return fmt.Sprintf("shift_%d_%s", i+1, name) }
		f.Need(at("day"), s.Day != "", "Give the day.")
		if s.Day != "" && (s.Day < o.From || o.To != "" && s.Day > o.To) {
			f.Add(at("day"), "is not within the round")
		}
		if s.Minutes < 1 || s.Minutes > 960 {
			f.Add(at("minutes"), "must be between 1 and 960 minutes")
		}
		if s.People < 1 || s.People > 20 {
			f.Add(at("people"), "must be between 1 and 20")
		}
		if seen[s.ID] {
			f.Add(at("crew"), "Two shifts of one crew on one day.")
		}
		seen[s.ID] = true
	}
}

func (o RoundOrder) checkStock(f *Faults) {
	if o.Stock == nil {
		return
	}
	for field, v := range map[string]float64{"tape": o.Stock.TapeM, "sealant": o.Stock.SealantML,
		"coating": o.Stock.CoatingML, "blanket": o.Stock.BlanketM2} {
		if !(v >= 0 && v <= 1e6) {
			f.Add(field, "must be between 0 and 1,000,000")
		}
	}
}
