package models

import "fmt"

// CoverFilter narrows a list of covers. Empty fields do not narrow. Scope is
// set by register from the actor, never from a request.
type CoverFilter struct {
	Text        string // tag, label, where, room: the site's own tag is searched first
	Building    ID
	Room        ID
	Loop        ID
	Kind        string
	State       string
	Action      string
	Condition   string // WetCondition
	Rule        string // DueRule
	DueBy       Date
	RiskAtLeast int
	Scope       *[]ID // buildings allowed; nil: all

	Sort  string // CoverSorts; "" walking order
	After string // cursor of the row before the first one wanted
	Limit int    // 0: 50
}

// CoverSorts are the orders a list of covers can have.
var CoverSorts = Vocabulary{
	{"walk", "walking order"}, {"due", "due date"}, {"risk", "risk"}, {"tag", "tag"},
}

// CoverRow is one line of a list of covers.
type CoverRow struct {
	ID, Building, Room ID
	BuildingName       string
	RoomName           string
	Tag, Label         string
	Kind               string
	NPS                *float64
	Where              string
	Access             string
	State              CoverState
	Penetrations       *int
	SeamClock          *float64

	LastOpened Date   // last time the metal was bared, in drylag or before it; "" never
	LastWet    *bool  // found wet then; nil: not answered or never
	LastRust   string // grade as recorded then, with its scale: "Ri 2", "D610 6"
	AreaPct    *float64
	Seal       SealState // as last left, or seen from outside since: sound, poor, unknown

	Condition WetCondition
	PWet      Range
	Risk      int
	DueOn     Date
	Window    Date
	Rule      DueRule
	Why       string
	Action    Action
	Overdue   bool
	W         float64
	Scored    bool // false: score pending
	FollowUps int
	Sweat     [12]bool
}

// CoverPage is one page of a list of covers.
type CoverPage struct {
	Rows  []CoverRow
	Total int    // matching the filter, over all pages
	Next  string // cursor of the next page, "" at the end
}

// RoomRow is one room with the counts of its covers.
type RoomRow struct {
	Room
	BuildingName   string
	Covers, Off    int
	Due, NeverSeen int
	AirSource      string
}

// BuildingNumbers are the owner's five numbers and what stands beside them.
type BuildingNumbers struct {
	Building  Building
	Covers    int // in place or off
	Off       int
	WetOpen   int // found wet and not yet put right
	NeverSeen int
	Overdue   int // past their limit
	Due       int // due within the round span or overdue
	Clear     Clearance
}

// Clearance is what it takes to clear what is due.
type Clearance struct {
	Covers int
	Hours  float64  // crew hours
	TapeM  float64  // an estimate from the covers' own sizes
	Money  *float64 // at the site's own rates; nil where a rate is missing
}

// WetQuarter is how many covers were opened in a quarter and how many of them
// were wet, with Wilson's 90 % interval of the share.
type WetQuarter struct {
	Quarter     string // "2026 Q4"
	Opened, Wet int
	Share       Range
}

// When is the year and the number of the quarter, 0 and 0 if it has none.
func (q WetQuarter) When() (year, number int) {
	if _, err := fmt.Sscanf(q.Quarter, "%d Q%d", &year, &number); err != nil {
		return 0, 0
	}
	return year, number
}

// GradeYear is the rust grades found in a year: how many covers at Ri 0 to 5
// (derived where another scale was used) and how many were not graded.
type GradeYear struct {
	Year      int
	Ri        [6]int
	NotGraded int
}

// PlaceCount is how often a place of the seal was found broken.
type PlaceCount struct {
	Place        string // long seam, near end, far end, penetration, ...
	Seen, Broken int
}

// BuildingTrend is a building over the years.
type BuildingTrend struct {
	Numbers   BuildingNumbers
	Quarters  []WetQuarter
	Years     []GradeYear
	Places    []PlaceCount
	Sentences []string
}

// HistoryItem is one line of a cover's history, newest first.
type HistoryItem struct {
	On       Date
	Opening  *Opening  // current version
	Versions []Opening // all versions, oldest first, where amended
	Look     *Look
	Earlier  *EarlierRecord
	Deferral *Deferral
	By       string // who entered it
}

// CoverFile is everything the record holds about one cover.
type CoverFile struct {
	Sheet     CoverSheet
	Score     *Score        // nil: score pending
	Changes   []ScoreChange // newest first
	History   []HistoryItem
	Readings  []ThicknessReading // oldest first
	FollowUps []FollowUp
	LastAir   *RoomReading // of its room, within two hours
}

// Morning is the first page, as sentences are made of it.
type Morning struct {
	Today         Date
	Off           []CoverRow // first few
	OffCount      int
	LookNow       []CoverRow
	LookNowCount  int
	Overdue       []CoverRow // past a date that must be kept, and to be opened: neither off nor reported
	OverdueCount  int
	DueRound      int // due within the round span
	FollowUps     []FollowUp
	FollowUpCount int
	NeverSeen     int
	Covers        int
	Pending       int // scores pending
	RecentWet     int // found wet in the last 30 days
	RecentOpened  int
}
