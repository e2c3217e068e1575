package models

import (
	"errors"
	"fmt"
	"strings"
)

// Kind says what sort of trouble an Error is; server/errors.go maps it to an
// HTTP status. The zero kind is Internal: what nobody classified is logged in
// full and shown to nobody.
type Kind int

// The kinds, each with the HTTP status it becomes.
const (
	Internal     Kind = iota // 500
	Invalid                  // 422 the record breaks a rule; Faults name the fields
	Missing                  // 404
	Conflict                 // 409
	Stale                    // 412 edited by somebody else meanwhile
	NeedsVersion             // 428 an edit must say which version it changes
	SignIn                   // 401
	Denied                   // 403
	TooMany                  // 429
	Busy                     // 503
	Full                     // 507
)

// Error is the one error type whose text may be shown to a person.
type Error struct {
	Kind   Kind
	Msg    string  // may be shown
	Faults []Fault // every fault of the record at once
	Err    error   // cause, for the log only
}

// Fault is one thing wrong with one field, named as the form names it.
type Fault struct {
	Field string `json:"field"`
	Msg   string `json:"message"`
}

// Error gives the message, its faults and its cause, for the log.
func (e *Error) Error() string {
	parts := []string{e.Msg}
	for _, f := range e.Faults {
		parts = append(parts, f.Field+": "+f.Msg)
	}
	if e.Err != nil {
		parts = append(parts, e.Err.Error())
	}
	return strings.Join(parts, "; ")
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// Errorf makes an Error of a kind with a message that may be shown.
func Errorf(k Kind, format string, args ...any) *Error {
	return &Error{Kind: k, Msg: fmt.Sprintf(format, args...)}
}

// KindOf is the kind of the first Error in err's chain, Internal if none.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return Internal
}

// Faults collects what is wrong with a record, field by field.
type Faults []Fault

// Add notes one fault.
func (f *Faults) Add(field, format string, args ...any) {
	*f = append(*f, Fault{field, fmt.Sprintf(format, args...)})
}

// Need notes a fault where an answer is missing.
func (f *Faults) Need(field string, answered bool, question string) {
	if !answered {
		f.Add(field, "%s", question)
	}
}

// Err is nil without faults, else one Invalid error holding them all.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	msg := "1 answer needs a look."
	if len(f) > 1 {
		msg = fmt.Sprintf("%d answers need a look.", len(f))
	}
	return &Error{Kind: Invalid, Msg: msg, Faults: f}
}
