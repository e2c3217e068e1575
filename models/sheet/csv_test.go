package sheet

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/unicode"
)

func openText(t *testing.T, text string) *Table {
	t.Helper()
	table, err := Open(strings.NewReader(text), int64(len(text)), "covers.csv", Options{})
	require.NoError(t, err)
	return table
}

// collect goes through all rows: the good ones and the faults.
func collect(t *testing.T, table *Table) (rows []Row, faults []Fault) {
	t.Helper()
	for row, err := range table.Rows() {
		if err == nil {
			rows = append(rows, row)
			continue
		}
		f := asFault(err)
		require.NotNil(t, f, "%v", err)
		faults = append(faults, *f)
	}
	return rows, faults
}

func inUTF16(text string, order unicode.Endianness) string {
	s, err := unicode.UTF16(order, unicode.UseBOM).NewEncoder().String(text)
	if err != nil {
		panic(err)
	}
	return s
}

func TestOpenText(t *testing.T) {
	for _, c := range []struct {
		name, text string
		columns    []string
		rows       []Row
		encoding   string
		delimiter  rune
		warnings   int
	}{
		{"plain", "tag,room\nV-1,B12\n", []string{"tag", "room"}, []Row{{2, []string{"V-1", "B12"}}}, "UTF-8", ',', 0},
		{"no line end at the end", "tag,room\r\nV-1,B12", []string{"tag", "room"}, []Row{{2, []string{"V-1", "B12"}}}, "UTF-8", ',', 0},
		{"byte order mark", Mark + "tag,room\nV-1,B12\n", []string{"tag", "room"}, []Row{{2, []string{"V-1", "B12"}}}, "UTF-8", ',', 0},
		{"UTF-16 little end first", inUTF16("tag;°F\nV-1;42\n", unicode.LittleEndian), []string{"tag", "°F"}, []Row{{2, []string{"V-1", "42"}}}, "UTF-16", ';', 0},
		{"UTF-16 big end first", inUTF16("tag\t°F\nV-1\t42\n", unicode.BigEndian), []string{"tag", "°F"}, []Row{{2, []string{"V-1", "42"}}}, "UTF-16", '\t', 0},
		{"Windows-1252", "tag,temp \xb0F,note\nV-1,42,caf\xe9 \x96 low\n", []string{"tag", "temp °F", "note"}, []Row{{2, []string{"V-1", "42", "café – low"}}}, "Windows-1252", ',', 1},
		{"pipes", "a|b|c\n1|2|3\n", []string{"a", "b", "c"}, []Row{{2, []string{"1", "2", "3"}}}, "UTF-8", '|', 0},
		{"semicolons with decimal commas", "tag;temp, °C\nV-1;6,5\n", []string{"tag", "temp, °C"}, []Row{{2, []string{"V-1", "6,5"}}}, "UTF-8", ';', 0},
		{"semicolons fewer than commas in names", "tag;room, level, wing\nV-1;B12\n", []string{"tag", "room, level, wing"}, []Row{{2, []string{"V-1", "B12"}}}, "UTF-8", ';', 0},
		{"semicolon in a name", "tag,temp; °F\nV-1,42\n", []string{"tag", "temp; °F"}, []Row{{2, []string{"V-1", "42"}}}, "UTF-8", ',', 0},
		{"stated delimiter", "sep=;\r\na,b;c\r\n1,2;3\r\n", []string{"a,b", "c"}, []Row{{3, []string{"1,2", "3"}}}, "UTF-8", ';', 0},
		{"one column", "tag\nV-1\nV-2\n", []string{"tag"}, []Row{{2, []string{"V-1"}}, {3, []string{"V-2"}}}, "UTF-8", ',', 0},
		{"lines end in CR only", "tag,room\rV-1,B12\rV-2,B13", []string{"tag", "room"}, []Row{{2, []string{"V-1", "B12"}}, {3, []string{"V-2", "B13"}}}, "UTF-8", ',', 0},
		{"blank lines", "\n\n,,\ntag,room\n\n , \nV-1,B12\n\n", []string{"tag", "room"}, []Row{{7, []string{"V-1", "B12"}}}, "UTF-8", ',', 0},
		{"line ends in cells", "tag,note\nV-1,\"wet\nat the bottom\"\nV-2,dry\n", []string{"tag", "note"}, []Row{{2, []string{"V-1", "wet\nat the bottom"}}, {4, []string{"V-2", "dry"}}}, "UTF-8", ',', 0},
		{"quotes in a quoted cell", "tag,note\nV-1,\"2\"\" gate valve, old\"\n", []string{"tag", "note"}, []Row{{2, []string{"V-1", "2\" gate valve, old"}}}, "UTF-8", ',', 0},
		{"blank columns at the end", "tag,room,,\nV-1,B12,,\n", []string{"tag", "room"}, []Row{{2, []string{"V-1", "B12"}}}, "UTF-8", ',', 0},
		{"header kept as found", " Tag ,Room No.\nV-1, B12\n", []string{" Tag ", "Room No."}, []Row{{2, []string{"V-1", " B12"}}}, "UTF-8", ',', 0},
		{"our own prefix is taken off", "tag,'+room\nV-1,'=x\n", []string{"tag", "+room"}, []Row{{2, []string{"V-1", "=x"}}}, "UTF-8", ',', 0},
		{"header only", "tag,room\n", []string{"tag", "room"}, nil, "UTF-8", ',', 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			table := openText(t, c.text)
			rows, faults := collect(t, table)
			require.Empty(t, faults)
			require.Equal(t, CSV, table.Kind)
			require.Equal(t, c.columns, table.Columns)
			require.Equal(t, c.rows, rows)
			require.Equal(t, c.encoding, table.Encoding)
			require.Equal(t, string(c.delimiter), string(table.Delimiter))
			require.Len(t, table.Warnings, c.warnings)
			again, _ := collect(t, table)
			require.Equal(t, rows, again, "a second pass gives the same")
		})
	}
}

func TestNameNeverDecides(t *testing.T) {
	table, err := Open(strings.NewReader("tag\nV-1\n"), 8, "Covers.XLSX", Options{})
	require.NoError(t, err)
	require.Equal(t, CSV, table.Kind)
	require.Len(t, table.Warnings, 1)
}

func TestTextRowFaults(t *testing.T) {
	for _, c := range []struct {
		name, text   string
		line         int
		column, says string
		ends         bool
		good         int // rows that are read all the same
	}{
		{"cell too many", "tag,room\nV-1,B12\nV-2,B13,x\nV-3,B14\n", 3, "", "the row has 3 cells, the header on line 1 has 2; put a cell that holds a comma into double quotes", false, 2},
		{"cell missing", "tag;room\nV-1\nV-2;B13\n", 2, "", "has 1 cells, the header on line 1 has 2; put a cell that holds a semicolon", false, 1},
		{"title above the header", "Covers\ntag,room\n", 2, "", "if that line is a title, delete it", false, 0},
		{"quote in a bare cell", "tag,note\nV-1,2\" valve\nV-2,dry\n", 2, "", `put the cell into double quotes and write those inside it twice`, false, 1},
		{"text after a quoted cell", "tag,note\nV-1,\"wet\" twice\nV-2,dry\n", 2, "", "a double quote is not closed or is followed by text", true, 0},
		{"quote never closed", "tag,note\nV-1,\"wet\nV-2,dry\n", 2, "", "a double quote is not closed", true, 0},
		{"line after cells with line ends", "tag,note\nV-1,\"a\nb\nc\"\nV-2\n", 5, "", "has 1 cells", false, 1},
		{"cell too long", "tag,note\nV-1," + strings.Repeat("é", 32768) + "\nV-2," + strings.Repeat("é", 32767), 2, "note", "more than 32767 characters; shorten it", false, 1},
		{"record without end", "tag,note\nV-1,\"" + strings.Repeat("wet ", maxRecord/4+5000), 2, "", "is never closed; close it", true, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			rows, faults := collect(t, openText(t, c.text))
			require.Len(t, faults, 1)
			require.Equal(t, c.line, faults[0].Line)
			require.Equal(t, c.column, faults[0].Column)
			require.Contains(t, faults[0].Msg, c.says)
			require.Equal(t, c.ends, faults[0].Ends)
			require.Len(t, rows, c.good)
		})
	}
}

func TestTextFaults(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"empty", "", "the file is empty"},
		{"only blank lines", "\n , \n\n", "no header row"},
		{"name twice", "tag,room, tag\n", `line 1, column C: the header names "tag" a second time, column A has that name too`},
		{"no name", "\ntag,,room\n", "line 2, column B: the column has no name"},
		{"quote in the header", "tag,2\" room\n", "line 1: a cell holds a double quote"},
		{"too many columns", strings.Repeat("a,", 256) + "b\n", "the file has 257 columns and may have 256"},
		{"PDF", "%PDF-1.7\nxyz", "this is a PDF"},
		{"old workbook", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more", "save it without a password as XLSX"},
		{"UTF-16 without its mark", "t\x00a\x00g\x00\n\x00", "this is not a text file"},
		{"neither UTF-8 nor a table", "tag\n\xff\xd8\x01\x02", "this is not a table"},
		{"mark but not UTF-8", Mark + "tag\nV-1\n\xb0\n", "says that it is UTF-8, but line 3 is not"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Open(strings.NewReader(c.text), int64(len(c.text)), "covers.csv", Options{})
			require.ErrorContains(t, err, c.says)
			require.NotNil(t, asFault(err))
			require.True(t, asFault(err).Ends)
		})
	}
}

func TestTextLimits(t *testing.T) {
	text := "tag,room\nV-1,B12\n\nV-2,B13\nV-3,B14\n"
	table, err := Open(strings.NewReader(text), int64(len(text)), "covers.csv", Options{Limits: Limits{Rows: 2}})
	require.NoError(t, err)
	rows, faults := collect(t, table)
	require.Len(t, rows, 2)
	require.Equal(t, []Fault{{Line: 5, Ends: true, Msg: "the file has more than 2 rows; split it and bring in the parts"}}, faults)

	_, err = Open(strings.NewReader(text), int64(len(text)), "covers.csv", Options{Limits: Limits{Bytes: 20}})
	require.ErrorContains(t, err, "split it")
	_, err = Open(strings.NewReader(text), int64(len(text)), "covers.csv", Options{Limits: Limits{Columns: 1}})
	require.ErrorContains(t, err, "2 columns and may have 1")
}

var errDisk = errors.New("the disk is gone")

// goneAfter is a reader that fails behind a place.
type goneAfter struct {
	io.ReaderAt
	place int64
}

func (g goneAfter) ReadAt(p []byte, off int64) (int, error) {
	if off+int64(len(p)) > g.place {
		return 0, errDisk
	}
	return g.ReaderAt.ReadAt(p, off)
}

func TestReaderFails(t *testing.T) {
	text := "tag,note\n" + strings.Repeat("V-1,a longer note\n", 20000)
	book := bookBytes(t, "tag", "V-1")
	for place := int64(0); place < int64(len(text)); place += 50000 {
		_, err := Open(goneAfter{strings.NewReader(text), place}, int64(len(text)), "covers.csv", Options{})
		require.ErrorIs(t, err, errDisk)
		require.Nil(t, asFault(err), "a failing disk is no fault of the file")
	}
	for place := int64(0); place < int64(len(book)); place += 500 {
		_, err := Open(goneAfter{bytes.NewReader(book), place}, int64(len(book)), "covers.xlsx", Options{})
		require.ErrorIs(t, err, errDisk)
		require.Nil(t, asFault(err))
	}
}
