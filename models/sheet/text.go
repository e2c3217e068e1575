package sheet

import (
	"bufio"
	"errors"
	"io"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
)

// The encodings of text files.
const (
	utf8Text    = "UTF-8"
	utf16Text   = "UTF-16"
	windowsText = "Windows-1252"
)

// openText finds out the encoding and the delimiter of a text file.
func (t *Table) openText(r io.ReaderAt, size int64) error {
	text, err := t.decode(r, size)
	if err != nil {
		return err
	}
	return t.openRecords(text)
}

// decode gives a function that reads the file from its start as UTF-8 without
// a byte order mark, with \n where a file has only \r.
func (t *Table) decode(r io.ReaderAt, size int64) (func() io.Reader, error) {
	raw := func() io.Reader { return io.NewSectionReader(r, 0, size) }
	encoding, marked := findMark(raw())
	text := func() io.Reader { return toUTF8(raw(), encoding) }
	seen, err := survey(text())
	if err != nil {
		return nil, err
	}
	switch {
	case seen.nul:
		return nil, broken("this is not a text file; save the table as CSV UTF-8 or XLSX")
	case seen.illegal && marked:
		return nil, broken("the file says that it is %s, but line %d is not; save it again as CSV UTF-8", encoding, seen.illegalLine)
	case seen.illegal && seen.control:
		return nil, broken("this is not a table; save it as CSV UTF-8 or XLSX")
	case seen.illegal:
		encoding = windowsText
		t.Warnings = append(t.Warnings, "The file is not UTF-8 and was read as Windows-1252; look at signs such as ° and é, or save it as CSV UTF-8.")
	}
	t.Encoding = encoding
	if !seen.lf {
		return func() io.Reader { return transform.NewReader(text(), runes.Map(unixLine)) }, nil
	}
	return text, nil
}

// findMark tells the encoding by the byte order mark, UTF-8 where there is none.
func findMark(r io.Reader) (encoding string, marked bool) {
	head := make([]byte, 3)
	n, _ := io.ReadFull(r, head) // a failing reader fails again in survey
	switch h := string(head[:n]); {
	case h == Mark:
		return utf8Text, true
	case n >= 2 && (h[:2] == "\xff\xfe" || h[:2] == "\xfe\xff"):
		return utf16Text, true
	}
	return utf8Text, false
}

// toUTF8 reads a text in an encoding as UTF-8 without a byte order mark.
func toUTF8(r io.Reader, encoding string) io.Reader {
	switch encoding {
	case utf16Text:
		return transform.NewReader(r, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder())
	case windowsText:
		return transform.NewReader(r, charmap.Windows1252.NewDecoder())
	}
	b := bufio.NewReader(r)
	if head, _ := b.Peek(len(Mark)); string(head) == Mark {
		_, _ = b.Discard(len(Mark)) // it has just been peeked
	}
	return b
}

func unixLine(c rune) rune {
	if c == '\r' {
		return '\n'
	}
	return c
}

// marks are what tells text from something else, and one text from another.
type marks struct {
	illegal     bool // not UTF-8
	illegalLine int
	nul         bool
	control     bool // characters that no table has
	lf          bool
}

// survey looks at every character once.
func survey(r io.Reader) (m marks, err error) {
	b, line := bufio.NewReaderSize(r, 1<<16), 1
	for {
		c, n, err := b.ReadRune()
		if errors.Is(err, io.EOF) {
			return m, nil
		}
		if err != nil {
			return m, err
		}
		switch {
		case c == utf8.RuneError && n == 1 && !m.illegal:
			m.illegal, m.illegalLine = true, line
		case c == '\n':
			m.lf = true
			line++
		case c == 0:
			m.nul = true
		case c < ' ' && c != '\t' && c != '\r' && c != '\f':
			m.control = true
		}
	}
}
