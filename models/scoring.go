package models

import "time"

// Scoring is how far the scoring of the whole fleet has come: the pass that
// runs, or the last one.
type Scoring struct {
	Running bool
	Asked   bool   // one is wanted and begins in a moment
	Cause   string // as in ScoreChange
	Done    int    // covers
	Total   int
	Began   time.Time
	Ended   time.Time // zero while it runs
	Stopped string    // name of who stopped it; what was done by then stays
	Failed  bool      // it ended with an error and will be tried again
}
