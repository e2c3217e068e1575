package models

import "strings"

// SavedView is a selection of covers that a person keeps under a name: the
// filter, the order, and nothing of what it found.
type SavedView struct {
	ID     ID
	Owner  ID // the person who kept it
	Name   string
	Query  string // as the list of covers reads it: "building=…&state=off"
	Shared bool   // everyone may use it, within the own buildings
}

// Validate reports every fault at once.
func (v SavedView) Validate() error {
	var f Faults
	f.Need("name", strings.TrimSpace(v.Name) != "", "Give the selection a name.")
	checkLen(&f, "name", v.Name, 60)
	checkLen(&f, "query", v.Query, 1000)
	return f.Err()
}
