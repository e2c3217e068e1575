package sheet

import (
	"errors"
	"fmt"
)

// Fault is one thing wrong with a file or one of its rows, worded for the
// person who has to put it right: what is wrong and what to do instead.
type Fault struct {
	Line   int    // in the file, from 1: a text line or a workbook row; 0 for the file as a whole
	Column string // the column's name as found, else its letter; "" for the whole row
	Msg    string // may be shown
	Ends   bool   // nothing after it was read, so the rows before it are not the whole file

	place int // column from 1, for a fault found before the columns have names
}

// Error gives place and message, "line 12, column Service temp: ...".
func (f *Fault) Error() string {
	switch {
	case f.Line > 0 && f.Column != "":
		return fmt.Sprintf("line %d, column %s: %s", f.Line, f.Column, f.Msg)
	case f.Line > 0:
		return fmt.Sprintf("line %d: %s", f.Line, f.Msg)
	case f.Column != "":
		return fmt.Sprintf("column %s: %s", f.Column, f.Msg)
	}
	return f.Msg
}

// broken is a fault of the file as a whole, after which nothing is read.
func broken(format string, args ...any) *Fault {
	return &Fault{Msg: fmt.Sprintf(format, args...), Ends: true}
}

// asFault is the Fault in err's chain, nil if there is none.
func asFault(err error) *Fault {
	if f, ok := errors.AsType[*Fault](err); ok {
		return f
	}
	return nil
}

// letters names a column from 1 as workbooks do: A, Z, AA.
func letters(n int) string {
	s := ""
	for ; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}
