package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// XLSXWriter writes a workbook of one sheet, row by row, through a temporary
// file where it grows. Numbers and days are numeric cells; text is text, also
// where it looks like a formula.
type XLSXWriter struct {
	to      io.Writer
	file    *excelize.File
	stream  *excelize.StreamWriter
	columns []string
	dayLook int
	rows    int
}

// NewXLSX writes the header of a sheet, in bold and fixed while scrolling, and
// gives the writer for the rows. The sheet's name has at most 31 characters
// and none of : \ / ? * [ ].
func NewXLSX(w io.Writer, sheet string, columns []string) (*XLSXWriter, error) {
	x := &XLSXWriter{to: w, file: excelize.NewFile(), columns: columns}
	if err := x.begin(sheet); err != nil {
		_ = x.file.Close() // nothing has been written
		return nil, fmt.Errorf("begin sheet %s: %w", sheet, err)
	}
	return x, nil
}

func (x *XLSXWriter) begin(sheet string) (err error) {
	if err = x.file.SetSheetName("Sheet1", sheet); err != nil {
		return err
	}
	if x.stream, err = x.file.NewStreamWriter(sheet); err != nil {
		return err
	}
	if err = x.stream.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	iso := "yyyy-mm-dd"
	if x.dayLook, err = x.file.NewStyle(&excelize.Style{CustomNumFmt: &iso}); err != nil {
		return err
	}
	bold, err := x.file.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	return x.row(Texts(x.columns...), excelize.RowOpts{StyleID: bold})
}

// Row writes one row. Numbers keep 15 digits. Control characters, which a
// workbook cannot hold, and bytes that are not UTF-8 become U+FFFD; text of
// more than 32,767 characters is refused.
func (x *XLSXWriter) Row(values ...Value) error { return x.row(values) }

func (x *XLSXWriter) row(values []Value, look ...excelize.RowOpts) error {
	if err := checkRow(x.columns, values); err != nil {
		return err
	}
	x.rows++
	cells := make([]any, len(values))
	for i, v := range values {
		switch v.kind {
		case textValue:
			text, err := xmlText(v.text)
			if err != nil {
				return fmt.Errorf("row %d, column %s: %w", x.rows, x.columns[i], err)
			}
			cells[i] = textCell(text)
		case numberValue:
			cells[i] = v.number
		case dayValue:
			cells[i] = x.dayCell(v.day)
		}
	}
	return x.stream.SetRow(fmt.Sprintf("A%d", x.rows), cells, look...)
}

// dayCell is a day as workbooks count them; as text before March 1900, where
// they count wrong.
func (x *XLSXWriter) dayCell(day time.Time) any {
	serial := int(day.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
	if day.Year() < 1900 || serial < 61 {
		return day.Format(time.DateOnly)
	}
	return excelize.Cell{StyleID: x.dayLook, Value: serial}
}

// Close writes the workbook and removes the temporary file.
func (x *XLSXWriter) Close() error {
	err := x.stream.Flush()
	if err == nil {
		err = x.file.Write(x.to)
	}
	if closing := x.file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("write the workbook: %w", err)
	}
	return nil
}

// textCell keeps text that reads like an escaped character, such as _x0041_,
// by cutting it into runs, each of which does not. The workbook library's own
// way of writing it loses _xD800_ and _x0000_x0000_.
func textCell(s string) any {
	if !escaped.MatchString(s) {
		return s
	}
	parts := strings.Split(s, "_x")
	runs := make([]excelize.RichTextRun, len(parts))
	for i, p := range parts {
		if i > 0 {
			p = "x" + p
		}
		if i < len(parts)-1 {
			p += "_"
		}
		runs[i].Text = p
	}
	return runs
}

// xmlText is text without what XML cannot hold.
func xmlText(s string) (string, error) {
	if len(s) > excelize.TotalCellChars && len(utf16.Encode([]rune(s))) > excelize.TotalCellChars {
		return "", fmt.Errorf("text of more than %d characters", excelize.TotalCellChars)
	}
	return strings.Map(func(c rune) rune {
		if c < ' ' && c != '\t' && c != '\n' && c != '\r' || c == 0xfffe || c == 0xffff {
			return '\ufffd'
		}
		return c
	}, strings.ToValidUTF8(s, "\ufffd")), nil
}
