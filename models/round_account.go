package models

// RoundPromise is what a plan promised when it was published.
type RoundPromise struct {
	Covers      int
	Must        int
	Minutes     int // handling
	OnTheWay    int // travel and set-up
	Use         Supplies
	Benefit     float64
	ExpectedWet Range // how many of the covers would be found wet, with the spread of chance alone
}

// RoundAccount sets what a round promised against what was found. It is made
// once, when the round is closed, and stays as it is.
type RoundAccount struct {
	On       Date
	Promised RoundPromise

	Opened       int
	CouldNotOpen int
	Stopped      int
	Answered     int   // opened, with an answer wet or dry
	Wet          int   // of them
	Expected     Range // wet expected of the same covers, with the spread of chance alone

	Minutes        int     // promised for what was done with minutes recorded
	MinutesUsed    float64 // recorded
	MinutesUnknown int     // records without minutes

	Materials []MaterialAccount

	Skipped  []AccountLine
	Left     []AccountLine // neither opened nor skipped: back to due
	Replaced []AccountLine // taken out when it was planned again
	RiskThen int           // of the covers opened, as planned
	RiskNow  int           // of the same covers, today

	Sentences []string
}

// MaterialAccount is one material, promised for the closings that recorded it
// and used by them.
type MaterialAccount struct {
	Name     string // "tape"
	Unit     string // "m"
	Promised float64
	Used     float64
	Records  int // closings that recorded it
	Unknown  int // closings that did not
}

// AccountLine is one cover of an account, and why it stands there.
type AccountLine struct {
	Cover    ID
	Building ID
	Tag      string
	Where    string // "Quarry House, Plant room"
	Reason   string
}
