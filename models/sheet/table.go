// Package sheet reads tables that people keep, CSV and XLSX, row by row, finds
// out which column is which, and writes such files.
//
// A file is judged by its content, never by its name, and is bounded by Limits
// before and while it is read. Nothing is guessed silently: what was assumed
// stands in Table, what cannot be read is a [Fault] that says what to do.
package sheet

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
	"unicode/utf8"
)

// The kinds of file that can be read.
const (
	CSV  = "CSV"
	XLSX = "XLSX"
)

// Options say how to read a file.
type Options struct {
	Sheet  string // of a workbook; "" is the first visible one with content
	Limits Limits
}

// Row is one row below the header.
type Row struct {
	Line  int      // where it begins in the file, from 1
	Cells []string // one for each column unless the row came with a fault
}

// Table is a file whose header has been read. Its rows can be gone through any
// number of times while the reader given to [Open] stays open.
type Table struct {
	Name      string
	Kind      string   // CSV or XLSX
	Columns   []string // the header as found
	Line      int      // of the header
	Delimiter rune     // of a CSV file: comma, semicolon, tab or |
	Encoding  string   // of a CSV file: "UTF-8", "UTF-16" or "Windows-1252"
	Sheet     string   // of a workbook: the sheet read
	Warnings  []string // what was assumed and should be looked at

	limits  Limits
	exact   bool                         // a row must have as many cells as the header
	records func() iter.Seq2[Row, error] // the file from its first line, blank rows too
}

// Open reads the header of a file of size bytes. The name is only for
// messages. The first row that is not blank is the header; the caller keeps r
// open while it reads rows. An error is a [*Fault], or the reader's own.
func Open(r io.ReaderAt, size int64, name string, opt Options) (*Table, error) {
	t := &Table{Name: name, limits: opt.Limits.orUsual()}
	if size > t.limits.Bytes {
		return nil, broken("the file has %d MB and may have %d; split it and bring in the parts", size>>20, t.limits.Bytes>>20)
	}
	if size == 0 {
		return nil, broken("the file is empty; choose another one")
	}
	if err := t.open(source{r, name}, size, opt.Sheet); err != nil {
		return nil, err
	}
	return t, t.readHeader()
}

// source is the reader given to Open. It marks its own errors, so that they
// are not taken for faults of the file.
type source struct {
	io.ReaderAt
	name string
}

func (s source) ReadAt(p []byte, off int64) (int, error) {
	n, err := s.ReaderAt.ReadAt(p, off)
	if err != nil && !errors.Is(err, io.EOF) {
		err = &readError{s.name, err}
	}
	return n, err
}

type readError struct {
	name string
	err  error
}

func (e *readError) Error() string { return "read " + e.name + ": " + e.err.Error() }
func (e *readError) Unwrap() error { return e.err }

// open finds out by the first bytes what kind of file it is.
func (t *Table) open(r io.ReaderAt, size int64, sheet string) error {
	head := make([]byte, min(size, 8))
	if _, err := r.ReadAt(head, 0); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	switch s := string(head); {
	case strings.HasPrefix(s, "PK\x03\x04"), strings.HasPrefix(s, "PK\x05\x06"):
		t.Kind = XLSX
		return t.openWorkbook(r, size, sheet)
	case s == "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
		return broken("this is a workbook of the old kind or one with a password; save it without a password as XLSX")
	case strings.HasPrefix(s, "%PDF"):
		return broken("this is a PDF; bring in the spreadsheet it was made from")
	}
	t.Kind, t.exact = CSV, true
	if strings.HasSuffix(strings.ToLower(t.Name), ".xlsx") {
		t.Warnings = append(t.Warnings, "The name says workbook, but the file is text; it was read as CSV.")
	}
	return t.openText(r, size)
}

// readHeader takes the first row that is not blank as the names of the columns.
func (t *Table) readHeader() error {
	for row, err := range t.records() {
		if f := asFault(err); f != nil {
			f.Ends = true // without a header nothing can be read
		}
		if err != nil {
			return nameColumn(err, nil)
		}
		if blank(row.Cells) {
			continue
		}
		t.Line, t.Columns = row.Line, cutBlank(row.Cells)
		return t.checkHeader()
	}
	return broken("the file has no header row; the first row must name the columns")
}

func (t *Table) checkHeader() error {
	if n := len(t.Columns); n > t.limits.Columns {
		return &Fault{Line: t.Line, Ends: true, Msg: fmt.Sprintf("the file has %d columns and may have %d; delete those that are not needed", n, t.limits.Columns)}
	}
	seen := map[string]int{}
	for i, c := range t.Columns {
		f := &Fault{Line: t.Line, Column: letters(i + 1), Ends: true}
		name := strings.TrimSpace(c)
		switch before, twice := seen[name]; {
		case name == "":
			f.Msg = "the column has no name; name it in the header, or delete it"
		case utf8.RuneCountInString(name) > t.limits.Cell:
			f.Msg = "the name of the column is too long; is the first row the header?"
		case twice:
			f.Msg = fmt.Sprintf("the header names %q a second time, column %s has that name too; rename one of them", name, letters(before))
		default:
			seen[name] = i + 1
			continue
		}
		return f
	}
	return nil
}

// Rows goes through the rows below the header, without the blank ones. A row
// that cannot be used comes with a [*Fault] and the cells as far as they could
// be read; the rows after it follow, unless Fault.Ends. Any other error is the
// reader's, and ends the rows too.
func (t *Table) Rows() iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		n, header := 0, true
		for row, err := range t.records() {
			if err == nil && blank(row.Cells) {
				continue
			}
			if header {
				header = false
				continue
			}
			if n++; n > t.limits.Rows {
				yield(Row{}, &Fault{Line: row.Line, Ends: true, Msg: fmt.Sprintf("the file has more than %d rows; split it and bring in the parts", t.limits.Rows)})
				return
			}
			if !yield(t.fit(row, err)) {
				return
			}
		}
	}
}

// fit gives a row one cell for each column, or says why it cannot.
func (t *Table) fit(row Row, err error) (Row, error) {
	if err != nil {
		return row, nameColumn(err, t.Columns)
	}
	want := len(t.Columns)
	if len(row.Cells) > want {
		row.Cells = row.Cells[:max(want, len(cutBlank(row.Cells)))]
	}
	if got := len(row.Cells); got > want || got < want && t.exact {
		return row, t.ragged(row.Line, got)
	}
	for len(row.Cells) < want {
		row.Cells = append(row.Cells, "")
	}
	for i, c := range row.Cells {
		if len(c) > t.limits.Cell && utf8.RuneCountInString(c) > t.limits.Cell {
			return row, &Fault{Line: row.Line, Column: t.Columns[i], Msg: fmt.Sprintf("the cell has more than %d characters; shorten it", t.limits.Cell)}
		}
	}
	return row, nil
}

func (t *Table) ragged(line, got int) *Fault {
	f := &Fault{Line: line, Msg: fmt.Sprintf("the row has %d cells, the header on line %d has %d", got, t.Line, len(t.Columns))}
	switch {
	case len(t.Columns) == 1:
		f.Msg += "; if that line is a title, delete it, so that the first row names the columns"
	case t.Kind == XLSX:
		f.Msg += "; name every column that is filled, or clear the cells to the right"
	default:
		f.Msg += fmt.Sprintf("; put a cell that holds %s into double quotes, and leave no cell out", delimiterName(t.Delimiter))
	}
	return f
}

// nameColumn gives a fault that knows only its column's number the column's name.
func nameColumn(err error, columns []string) error {
	f := asFault(err)
	if f == nil || f.place == 0 || f.Column != "" {
		return err
	}
	f.Column = letters(f.place)
	if f.place <= len(columns) {
		f.Column = columns[f.place-1]
	}
	return f
}

// blank tells whether a row has nothing but spaces.
func blank(cells []string) bool { return len(cutBlank(cells)) == 0 }

// cutBlank leaves out the blank cells at the end.
func cutBlank(cells []string) []string {
	n := len(cells)
	for n > 0 && strings.TrimSpace(cells[n-1]) == "" {
		n--
	}
	return cells[:n]
}
