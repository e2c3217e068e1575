// Package models is drylag's vocabulary: the buildings, rooms, loops and
// components of a chilled-water plant, the removable covers on them, what was
// seen at each opening, and the rules those records must keep. It is pure: no
// clock, no disk, no network.
package models

// ID names one record for ever. It is a UUIDv7 in text form, made where the
// record is begun (a phone, an import, the service), so that sending the same
// record twice stores it once.
type ID string

// None is the ID of nothing.
const None ID = ""
