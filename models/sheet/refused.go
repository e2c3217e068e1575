package sheet

import (
	"io"
	"slices"
	"strings"
)

// The columns that a file of refused rows has before the file's own.
const (
	refusedLine   = "Line in the file"
	refusedReason = "What to change"
)

// Refused writes the rows that were not taken as CSV, each with its line and
// the reasons before its cells, so that they can be put right there and
// brought in again.
type Refused struct {
	w    *CSVWriter
	keep []int // columns of the rows; those of an earlier file of refused rows are left out
}

// NewRefused begins a file of refused rows of a table with these columns.
func NewRefused(w io.Writer, columns []string) (*Refused, error) {
	r := &Refused{}
	header := []string{refusedLine, refusedReason}
	for i, c := range columns {
		if name := strings.TrimSpace(c); name != refusedLine && name != refusedReason {
			r.keep = append(r.keep, i)
			header = append(header, c)
		}
	}
	if _, err := io.WriteString(w, Mark); err != nil {
		return nil, err
	}
	var err error
	r.w, err = NewCSV(w, header)
	return r, err
}

// Add writes one row and all that is wrong with it. Cells beyond the last
// column are told with the reasons.
func (r *Refused) Add(row Row, faults ...*Fault) error {
	var reasons []string
	last := -1
	if len(r.keep) > 0 {
		last = slices.Max(r.keep)
	}
	for _, f := range faults {
		reasons = append(reasons, (&Fault{Column: f.Column, Msg: f.Msg}).Error())
	}
	if len(row.Cells) > last+1 {
		reasons = append(reasons, "cells beyond the last column: "+strings.Join(row.Cells[last+1:], " | "))
	}
	line := Value{}
	if row.Line > 0 {
		line = Number(float64(row.Line))
	}
	values := []Value{line, Text(strings.Join(reasons, "; "))}
	for _, i := range r.keep {
		if i < len(row.Cells) {
			values = append(values, Text(row.Cells[i]))
			continue
		}
		values = append(values, Value{})
	}
	return r.w.Row(values...)
}

// Close writes what is still held back.
func (r *Refused) Close() error { return r.w.Close() }
