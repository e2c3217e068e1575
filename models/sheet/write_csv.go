package sheet

import (
	"encoding/csv"
	"io"
	"regexp"
	"strings"
	"time"
)

// Mark is the byte order mark. A CSV file meant for a spreadsheet program
// begins with it, else ° and é come out wrong there.
const Mark = "\ufeff"

// CSVWriter writes CSV as RFC 4180 has it: commas, CRLF, quotes where needed.
// Text that a spreadsheet program would run as a formula is written behind a
// single quote, see [Unprefix].
type CSVWriter struct {
	w       *csv.Writer
	columns []string
}

// NewCSV writes the header and gives the writer for the rows.
func NewCSV(w io.Writer, columns []string) (*CSVWriter, error) {
	c := &CSVWriter{w: csv.NewWriter(w), columns: columns}
	c.w.UseCRLF = true
	return c, c.Row(Texts(columns...)...)
}

// Row writes one row. Line ends in a cell become single ones, and bytes that
// are not UTF-8 the sign for them, U+FFFD.
func (c *CSVWriter) Row(values ...Value) error {
	if err := checkRow(c.columns, values); err != nil {
		return err
	}
	cells := make([]string, len(values))
	for i, v := range values {
		switch v.kind {
		case textValue:
			cells[i] = unixLines(prefix(strings.ToValidUTF8(v.text, "\ufffd")))
		case numberValue:
			cells[i] = digits(v.number)
		case dayValue:
			cells[i] = v.day.Format(time.DateOnly)
		}
	}
	return c.w.Write(cells)
}

// Close writes what is still held back.
func (c *CSVWriter) Close() error {
	c.w.Flush()
	return c.w.Error()
}

func unixLines(s string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s)
}

var (
	// risky is text that is run as a formula, and what prefix makes of it, so
	// that Unprefix is its inverse. The signs: OWASP ASVS 5.0.0, 1.2.10, and
	// the line feed beside the carriage return.
	risky = regexp.MustCompile("^'*[=+\\-@\t\r\n\x00]")
	// harmless is a number, which stays one.
	harmless = regexp.MustCompile(`^[+-]\d+(\.\d+)?$`)
)

func prefix(s string) string {
	if risky.MatchString(s) && !harmless.MatchString(s) {
		return "'" + s
	}
	return s
}

// Unprefix undoes the single quote that CSVWriter puts before text that begins
// with = + - @, a tab, a line end or NUL. Open has done it to every cell of a
// CSV file.
func Unprefix(s string) string {
	if strings.HasPrefix(s, "'") && risky.MatchString(s) {
		return s[1:]
	}
	return s
}
