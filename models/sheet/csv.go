package sheet

import (
	"encoding/csv"
	"errors"
	"io"
	"iter"
	"strings"
)

// delimiters in the order of preference where the file fits more than one: a
// comma is also a decimal sign and stands in names.
var delimiters = []rune{'\t', ';', '|', ','}

var errLongRecord = errors.New("record too long")

// openRecords finds the delimiter and sets how the records are read.
func (t *Table) openRecords(text func() io.Reader) error {
	sample, err := io.ReadAll(io.LimitReader(text(), 1<<16))
	if err != nil {
		return err
	}
	stated := statedDelimiter(string(sample))
	t.Delimiter = stated
	if stated == 0 {
		t.Delimiter = findDelimiter(string(sample))
	}
	t.records = func() iter.Seq2[Row, error] {
		return func(yield func(Row, error) bool) { t.readText(text(), stated != 0, yield) }
	}
	return nil
}

// statedDelimiter reads the line "sep=;" that some spreadsheet programs write
// first, 0 where there is none.
func statedDelimiter(sample string) rune {
	line, _, _ := strings.Cut(sample, "\n")
	line = strings.TrimSuffix(line, "\r")
	for _, d := range delimiters {
		if strings.EqualFold(line, "sep="+string(d)) {
			return d
		}
	}
	return 0
}

// findDelimiter takes the one that cuts the header into most columns, of those
// that cut the next row into as many, if there are any.
func findDelimiter(sample string) rune {
	best, most, agreed := ',', 1, false
	for _, d := range delimiters {
		header, next := firstTwo(sample, d)
		agrees := header > 1 && next == header
		if agrees && !agreed || agrees == agreed && header > most {
			best, most, agreed = d, header, agrees
		}
	}
	return best
}

// firstTwo counts the cells of the first two rows that are not blank.
func firstTwo(sample string, d rune) (header, next int) {
	r := csv.NewReader(strings.NewReader(sample))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = d, -1, true
	for {
		cells, err := r.Read()
		switch {
		case err != nil:
			return header, next
		case blank(cells):
		case header == 0:
			header = len(cutBlank(cells))
		default:
			return header, len(cells)
		}
	}
}

// readText yields the records of a text.
func (t *Table) readText(text io.Reader, stated bool, yield func(Row, error) bool) {
	guard := &recordGuard{r: text}
	r := csv.NewReader(guard)
	r.Comma, r.FieldsPerRecord = t.Delimiter, -1
	for line := 0; ; {
		guard.read = 0
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			f := textFault(err, line)
			if f == nil {
				yield(Row{}, err)
				return
			}
			if !yield(Row{Line: f.Line}, f) || f.Ends {
				return
			}
			continue
		}
		line, _ = r.FieldPos(0)
		if stated {
			stated = false
			continue
		}
		for i, c := range cells {
			cells[i] = Unprefix(c)
		}
		if !yield(Row{Line: line, Cells: cells}, nil) {
			return
		}
	}
}

// textFault says what to do about a record that cannot be read; last is the
// line of the record before it. It is nil where the reader below failed.
func textFault(err error, last int) *Fault {
	var p *csv.ParseError
	switch {
	case errors.Is(err, errLongRecord):
		return &Fault{Line: last + 1, Ends: true, Msg: "a double quote opened on this line or a later one is never closed; close it"}
	case !errors.As(err, &p):
		return nil
	case errors.Is(err, csv.ErrBareQuote):
		return &Fault{Line: p.StartLine, Msg: `a cell holds a double quote but does not begin with one; put the cell into double quotes and write those inside it twice, as in "2"" gate valve"`}
	case errors.Is(err, csv.ErrQuote):
		return &Fault{Line: p.StartLine, Ends: true, Msg: `a double quote is not closed or is followed by text; write double quotes inside a cell twice, as in "2"" gate valve"`}
	}
	return &Fault{Line: p.StartLine, Ends: true, Msg: "the line cannot be read; save the table again as CSV UTF-8"}
}

// recordGuard stops a record that would fill the memory.
type recordGuard struct {
	r    io.Reader
	read int // bytes since the record began
}

func (g *recordGuard) Read(p []byte) (int, error) {
	if g.read > maxRecord {
		return 0, errLongRecord
	}
	n, err := g.r.Read(p)
	g.read += n
	return n, err
}

func delimiterName(d rune) string {
	switch d {
	case '\t':
		return "a tab"
	case ';':
		return "a semicolon"
	case '|':
		return "a |"
	}
	return "a comma"
}
