package sheet

import (
	"encoding/xml"
	"iter"
	"strconv"
	"strings"
)

// rows goes through the rows of a sheet.
func (b *workbook) rows(s worksheet) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		p, err := b.open(s.part)
		if err != nil {
			yield(Row{}, err)
			return
		}
		w := &rowReader{part: p, book: b}
		for {
			row, fault, err := w.row()
			if err != nil {
				yield(row, p.fail(s.part, err))
				return
			}
			if w.done {
				break
			}
			if !yield(row, orNil(fault)) || fault != nil && fault.Ends {
				_ = p.file.Close() // only read from
				return
			}
		}
		if err := p.close(s.part); err != nil {
			yield(Row{}, err)
		}
	}
}

// orNil keeps a nil fault from becoming an error that is not nil.
func orNil(f *Fault) error {
	if f == nil {
		return nil
	}
	return f
}

// rowReader reads a worksheet part row by row.
type rowReader struct {
	*part
	book *workbook
	line int
	done bool
}

// row reads the next <row>; done is set at the end of the data.
func (w *rowReader) row() (row Row, fault *Fault, err error) {
	for {
		token, err := w.next()
		if err != nil {
			return row, nil, err
		}
		switch tag := token.(type) {
		case xml.StartElement:
			if tag.Name.Local == "row" {
				return w.cells(tag)
			}
		case xml.EndElement:
			if tag.Name.Local == "sheetData" {
				w.done = true
				return row, nil, nil
			}
		}
	}
}

// cells reads the cells of a row to its end. The first fault is kept.
func (w *rowReader) cells(tag xml.StartElement) (row Row, fault *Fault, err error) {
	w.line++
	if n, err := strconv.Atoi(attr(tag, "r")); err == nil {
		if n < w.line {
			return Row{Line: w.line}, &Fault{Line: w.line, Ends: true, Msg: "the rows of the sheet are out of order; save the workbook again as XLSX"}, nil
		}
		w.line = n
	}
	row.Line = w.line
	if w.line > lastRow {
		return row, &Fault{Line: w.line, Ends: true, Msg: "a sheet cannot have so many rows; save the workbook again as XLSX"}, nil
	}
	for at, count, depth := 0, 0, w.depth; w.depth >= depth; {
		token, err := w.next()
		if err != nil {
			return row, nil, err
		}
		if tag, ok := token.(xml.StartElement); ok && tag.Name.Local == "c" {
			if count++; count > lastColumn {
				return row, &Fault{Line: w.line, Ends: true, Msg: "a row cannot have so many cells; save the workbook again as XLSX"}, nil
			}
			c, err := w.cell(tag)
			if err != nil {
				return row, nil, err
			}
			if at++; c.ref > 0 {
				at = c.ref
			}
			msg := w.put(&row, c, at)
			if msg != "" && fault == nil {
				fault = &Fault{Line: w.line, Msg: msg, place: at}
			}
		}
	}
	return row, fault, nil
}

// put sets one cell of a row and says what is wrong with it, "" if nothing is.
func (w *rowReader) put(row *Row, c cell, at int) (msg string) {
	text, msg := w.book.show(c)
	if text == "" && msg == "" {
		return ""
	}
	if at > w.book.maxCells {
		return "the sheet has more columns than can be read (" + strconv.Itoa(w.book.maxCells) + "); delete those that are not needed"
	}
	for len(row.Cells) < at {
		row.Cells = append(row.Cells, "")
	}
	row.Cells[at-1] = text
	return msg
}

// cell is a <c> as it stands in the part.
type cell struct {
	ref     int    // column from 1, 0 where it does not say
	style   int    // into workbook.formats
	kind    string // "" number, s shared text, str, inlineStr, b, e, d
	value   string
	inline  string // text that stands in the cell itself
	formula bool
}

// cell reads a <c> to its end.
func (w *rowReader) cell(tag xml.StartElement) (c cell, err error) {
	c.ref, c.kind = column(attr(tag, "r")), attr(tag, "t")
	if n, err := strconv.Atoi(attr(tag, "s")); err == nil {
		c.style = n
	}
	var inside string
	var value strings.Builder
	for depth := w.depth; w.depth >= depth; {
		token, err := w.next()
		if err != nil {
			return c, err
		}
		switch x := token.(type) {
		case xml.StartElement:
			inside = x.Name.Local
			switch inside {
			case "f":
				c.formula = true
			case "is":
				if c.inline, err = w.text(); err != nil {
					return c, err
				}
			}
		case xml.EndElement:
			inside = ""
		case xml.CharData:
			if inside == "v" {
				value.Write(x)
			}
		}
		if value.Len() > maxToken {
			return c, errLongToken
		}
	}
	c.value = value.String()
	return c, nil
}

// column reads the letters of a cell's name, "AB12" is 28; 0 where there are none.
func column(ref string) (n int) {
	for _, c := range strings.ToUpper(ref) {
		if c < 'A' || c > 'Z' || n > lastColumn {
			return n
		}
		n = n*26 + int(c-'A') + 1
	}
	return n
}

// show gives the text of a cell, and what is wrong with it.
func (b *workbook) show(c cell) (text, msg string) {
	switch c.kind {
	case "s":
		n, err := strconv.Atoi(strings.TrimSpace(c.value))
		if err != nil || n < 0 || n >= len(b.shared) {
			return "", "the text of this cell is lost; save the workbook again as XLSX"
		}
		return b.shared[n], ""
	case "inlineStr":
		return c.inline, ""
	case "str":
		return unescape(c.value), ""
	case "b":
		return strings.NewReplacer("0", "FALSE", "1", "TRUE").Replace(c.value), ""
	case "e":
		return c.value, "the formula gives " + c.value + "; put a value into the cell, or clear it"
	case "d":
		return strings.TrimSuffix(c.value, "T00:00:00"), ""
	}
	if c.formula && c.value == "" {
		return "", "the formula has no stored result; open the workbook in a spreadsheet program, let it calculate, and save it"
	}
	return b.number(c)
}
