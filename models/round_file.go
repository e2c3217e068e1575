package models

// Candidate is a cover that a round may open: why, what opening it is worth,
// and what it takes.
type Candidate struct {
	Sheet  CoverSheet
	Rule   DueRule // of the date shown; "" where only the chance or a pin brings it in
	DueOn  Date
	Reason string // why it is a candidate, in words
	Action Action
	Risk   int
	After  int // risk once it was opened in the middle of the round and closed dry and sound

	Must     bool    // put back, reported, or past a limit that must be kept
	Benefit  float64 // percent of one standard opening's cost
	W        float64 // the index on the middle day, in openings' cost
	PWet     Range   // chance of wet on the middle day
	DryShare float64 // share of hours, in the months of the shifts, in which the bared metal stays dry
	DryMonth [12]bool

	Minutes int // handling
	Use     Supplies
	Assumed []string // sizes that nobody gave, in words

	People  int // needed at the part
	Lift    bool
	Permit  string   // name of the permit needed, "" none
	Windows []string // IDs of the windows of the order that it needs
	Pin     *RoundPin

	Standing     ID // the published round in which it stands already, None
	StandingName string
}

// StopRow is a stop with what its page and its paper say about the cover.
type StopRow struct {
	RoundStop
	RoundName string
	Day       Date
	Crew      string
	Inspector ID
	Sheet     CoverSheet
	Now       CoverRow // as the record knows the cover today
	Record    *Opening // current version of the record that answers it; nil: none
}

// Found says in one word what came of the stop: wet, dry, not_answered,
// could_not_open, stopped, skipped, replaced, or "" while it waits.
func (s StopRow) Found() string {
	switch o := s.Record; {
	case o != nil && !o.Opened():
		return o.Outcome
	case o != nil && !o.Answered():
		return "not_answered"
	case o != nil && o.Wet():
		return "wet"
	case o != nil:
		return "dry"
	case s.Skipped != "":
		return "skipped"
	case s.Replaced:
		return "replaced"
	}
	return ""
}

// LabelMissing tells whether the record that answers the stop found or left no
// label on the cover.
func (s StopRow) LabelMissing() bool {
	if s.Record == nil {
		return false
	}
	if left := s.Record.Closing.Label; left != nil {
		return !*left
	}
	return s.Record.Label != nil && !*s.Record.Label
}

// LeftOutRow is a cover that the plan leaves out, with the cover's facts.
type LeftOutRow struct {
	LeftOut
	Sheet CoverSheet
}

// ShiftLoad is what one crew carries and does in one shift, by the plan.
type ShiftLoad struct {
	Shift RoundShift
	Use   ShiftUse
	Carry Supplies // of the stops that are not done
	Stops int
	Done  int
}

// Progress is how far a round has come.
type Progress struct {
	Stops   int // of the plan, without those replaced
	Done    int // opened, found off, could not be opened, or stopped
	Opened  int
	Wet     int
	Skipped int
	Left    int // still to do

	MinutesPlanned int     // handling of what is done
	MinutesUsed    float64 // recorded
	MinutesUnknown int     // records without minutes
	Used           Supplies
	Unknown        int // records without any material
}

// RoundFile is a round with everything that its page and its paper say, cut to
// the buildings of whoever reads it.
type RoundFile struct {
	Round    Round
	Rows     []StopRow // in the order of visits; replaced ones last
	LeftOut  []LeftOutRow
	Shifts   []ShiftLoad
	Progress Progress
	Account  *RoundAccount // once closed
	Whole    bool          // every building of the round is the reader's
}

// RoundSide is one of two rounds that are compared.
type RoundSide struct {
	ID          ID
	Name        string
	State       RoundState
	Planned     bool
	Shifts      int
	Minutes     int // travel, set-up and handling
	Covers      int
	MustIn      int
	MustAll     int
	Benefit     float64
	Within      *float64
	Use         Supplies
	RiskBefore  int
	RiskAfter   int
	ExpectedWet float64
}

// RoundComparison is two rounds side by side.
type RoundComparison struct {
	X, Y         RoundSide
	OnlyX, OnlyY []StopRow
	Both         int // covers in both
}
