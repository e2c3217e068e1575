package models

import "time"

// Calendar is a secret address at which a calendar program reads what is due
// or planned. The secret itself is known only to whoever made it.
type Calendar struct {
	ID        ID
	Owner     ID     // whose buildings and rounds it shows
	Building  ID     // None: all of them
	Hash      string // SHA-256 of the secret
	CreatedAt time.Time
	LastRead  time.Time
	Revoked   bool
}

// CalendarEvent is one day of a calendar: a due date or a shift.
type CalendarEvent struct {
	UID      string // the same each time it is asked for
	Day      Date   // in the building's time zone
	Title    string
	Note     string
	Where    string
	Cover    ID // None: a shift
	Round    ID // None: a due date
	Building ID
}
