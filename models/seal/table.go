package seal

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Table is a table of text as read from a file.
type Table struct {
	Name    string // of the file, for messages; may be ""
	Columns []string
	Rows    [][]string
	Lines   []int // on which each row begins; nil counts from 2, below the header
}

// Has tells whether a column of that name is there.
func (t *Table) Has(column string) bool { return t.find(column) >= 0 }

// find is the position of a column, -1 if there is none. L and l are one name
// unless the table has both.
func (t *Table) find(column string) int {
	folded := -1
	for i, name := range t.Columns {
		name = strings.TrimSpace(name)
		if name == column {
			return i
		}
		if strings.EqualFold(name, column) {
			folded = i
		}
	}
	return folded
}

// reader reads the cells of a table row by row and keeps every fault.
type reader struct {
	*Table
	at     map[string]int
	row    int
	faults []error
}

// maxFaults are told at once; a wrong file would tell one per line.
const maxFaults = 10

// newReader checks that needed columns are there.
func newReader(t *Table, needed ...string) (*reader, error) {
	r := &reader{Table: t, at: map[string]int{}}
	for _, name := range needed {
		if !t.Has(name) {
			return nil, t.named(fmt.Errorf("the header has no column %q; it has %s", name, strings.Join(t.Columns, ", ")))
		}
	}
	return r, nil
}

// named puts the file's name before an error.
func (t *Table) named(err error) error {
	if err == nil || t.Name == "" {
		return err
	}
	return fmt.Errorf("%s: %w", t.Name, err)
}

// each reads every row with read and returns the faults in one line.
func (r *reader) each(read func()) error {
	for r.row = range r.Rows {
		read()
	}
	if extra := len(r.faults) - maxFaults; extra > 0 {
		r.faults = append(r.faults[:maxFaults], fmt.Errorf("and %d more faults", extra))
	}
	if len(r.faults) == 0 {
		return nil
	}
	texts := make([]string, len(r.faults))
	for i, f := range r.faults {
		texts[i] = f.Error()
	}
	return r.named(errors.New(strings.Join(texts, "; ")))
}

// line is where the row being read begins.
func (t *Table) line(row int) int {
	if row < len(t.Lines) {
		return t.Lines[row]
	}
	return row + 2
}

func (r *reader) fault(column, format string, args ...any) {
	r.faults = append(r.faults, fmt.Errorf("line %d, column %s: %s", r.line(r.row), column, fmt.Sprintf(format, args...)))
}

// name is the trimmed text in a column of the row being read; "" if there is none.
func (r *reader) name(column string) string {
	i, ok := r.at[column]
	if !ok {
		i = r.find(column)
		r.at[column] = i
	}
	if row := r.Rows[r.row]; i >= 0 && i < len(row) {
		return strings.TrimSpace(row[i])
	}
	return ""
}

// cell is a name of which NA, the blank of statistics packages, is none.
func (r *reader) cell(column string) string {
	if s := r.name(column); s != "NA" {
		return s
	}
	return ""
}

// number reads a cell; nil if it is blank or at fault.
func (r *reader) number(column string) *float64 {
	s := r.cell(column)
	if s == "" {
		return nil
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		r.fault(column, "%q is not a number; type one like 1.25 or leave it blank", s)
		return nil
	}
	return &x
}

// numberOr reads a cell, with a value for a blank one.
func (r *reader) numberOr(column string, blank float64) float64 {
	if x := r.number(column); x != nil {
		return *x
	}
	return blank
}

// needed reads a cell that must not be blank; NaN is a fault already kept.
func (r *reader) needed(column string) float64 {
	if r.cell(column) == "" {
		r.fault(column, "it must not be blank")
	}
	return r.numberOr(column, math.NaN())
}

// flag reads 0 or 1; blank is 0.
func (r *reader) flag(column string) bool {
	switch s := strings.ToLower(r.cell(column)); s {
	case "", "0", "no", "false":
		return false
	case "1", "yes", "true":
		return true
	default:
		r.fault(column, "%q is neither 0 nor 1", s)
		return false
	}
}
