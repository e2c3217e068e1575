package sheet

import (
	"fmt"
	"math"
	"time"
)

// Value is one cell to be written. The zero Value is an empty cell.
type Value struct {
	kind   valueKind
	text   string
	number float64
	day    time.Time
}

type valueKind int

const (
	emptyValue valueKind = iota
	textValue
	numberValue
	dayValue
)

// Text is a cell of text, whatever it looks like.
func Text(s string) Value { return Value{kind: textValue, text: s} }

// Number is a cell of digits. NaN and Inf cannot be written: Row refuses them.
func Number(v float64) Value { return Value{kind: numberValue, number: v} }

// Day is a cell with the calendar day of t where t is.
func Day(t time.Time) Value {
	return Value{kind: dayValue, day: time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)}
}

// Texts makes cells of text.
func Texts(texts ...string) []Value {
	values := make([]Value, len(texts))
	for i, s := range texts {
		values[i] = Text(s)
	}
	return values
}

// Writer writes a table row by row. Close finishes the file and must be
// called; it does not close what is written to.
type Writer interface {
	Row(values ...Value) error
	Close() error
}

// checkRow refuses what cannot be read back.
func checkRow(columns []string, values []Value) error {
	if len(values) != len(columns) {
		return fmt.Errorf("a row of %d cells for %d columns", len(values), len(columns))
	}
	for i, v := range values {
		if v.kind == numberValue && (math.IsNaN(v.number) || math.IsInf(v.number, 0)) {
			return fmt.Errorf("column %s: %v is not a number that can be written", columns[i], v.number)
		}
	}
	return nil
}
