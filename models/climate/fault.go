package climate

import (
	"fmt"
	"strings"
	"time"
)

// Codes of a FileError.
const (
	CodeRows   = "CLIMATE_ROWS"   // an hourly file that is not a whole year
	CodeLogger = "CLIMATE_LOGGER" // a logger file that cannot be read
	CodeMonths = "CLIMATE_MONTHS" // monthly means that are not air
)

// Fault is one thing wrong with a file.
type Fault struct {
	Line  int    // counted from 1; 0: the file as a whole
	Field string // column, as named here or in the file
	Value string // as it stands in the file, "" where no one cell is at fault
	Msg   string // what is wrong and what to do
}

// String returns `line 12: dew point "40": is above the dry bulb`.
func (f Fault) String() string {
	where := f.Field
	if f.Value != "" {
		where += fmt.Sprintf(" %q", f.Value)
	}
	if f.Line > 0 {
		where = fmt.Sprintf("line %d: %s", f.Line, where)
	}
	return where + ": " + f.Msg
}

// FileError says why a file gives no climate. All faults are listed; Error
// prints the first few.
type FileError struct {
	Code   string
	Faults []Fault
	Open   *OpenTime // what is missing is the order of day and month
}

// OpenTime is a time that can be read in two ways.
type OpenTime struct {
	Line                 int
	Text                 string    // as written
	MonthFirst, DayFirst time.Time // both readings, as UTC
}

const faultsShown = 5

// Error returns the code and the first faults.
func (e *FileError) Error() string {
	var lines []string
	for _, f := range e.Faults[:min(faultsShown, len(e.Faults))] {
		lines = append(lines, f.String())
	}
	text := e.Code + ": " + strings.Join(lines, "; ")
	if more := len(e.Faults) - faultsShown; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text
}

// whole returns a FileError with one fault of the file as a whole.
func whole(code, field, format string, args ...any) *FileError {
	return &FileError{Code: code, Faults: []Fault{{Field: field, Msg: fmt.Sprintf(format, args...)}}}
}
