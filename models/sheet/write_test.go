package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/unicode"
)

func writeCSV(t testing.TB, columns []string, rows ...[]Value) string {
	t.Helper()
	var b bytes.Buffer
	w, err := NewCSV(&b, columns)
	require.NoError(t, err)
	writeAll(t, w, rows)
	return b.String()
}

func writeXLSX(t testing.TB, columns []string, rows ...[]Value) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := NewXLSX(&b, "Covers", columns)
	require.NoError(t, err)
	writeAll(t, w, rows)
	return b.Bytes()
}

func writeAll(t testing.TB, w Writer, rows [][]Value) {
	t.Helper()
	for _, r := range rows {
		require.NoError(t, w.Row(r...))
	}
	require.NoError(t, w.Close())
}

func TestWriteCSV(t *testing.T) {
	for _, c := range []struct {
		name   string
		value  Value
		want   string
		source string
	}{
		{"text", Text("V-1"), `V-1`, ""},
		{"formula", Text("=1+1"), `'=1+1`, "OWASP ASVS 5.0.0, 1.2.10"},
		{"plus", Text("+cmd"), `'+cmd`, "1.2.10"},
		{"minus", Text("-cmd"), `'-cmd`, "1.2.10"},
		{"at", Text("@SUM(1)"), `'@SUM(1)`, "1.2.10"},
		{"tab", Text("\t=1"), "'\t=1", "1.2.10"},
		{"carriage return", Text("\r=1"), "\"'\r\n=1\"", "1.2.10; line ends become the file's"},
		{"NUL", Text("\x00=1"), "'\x00=1", "1.2.10"},
		{"phone number is text", Text("+1-555-0100"), `'+1-555-0100`, "1.2.10"},
		{"number stays a number", Number(-5.2), `-5.2`, "1.2.10"},
		{"number as text stays one too", Text("-5.2"), `-5.2`, "1.2.10"},
		{"minus alone", Text("-"), `'-`, "1.2.10"},
		{"no exponent", Number(1e21), `1000000000000000000000`, ""},
		{"small", Number(1.25e-5), `0.0000125`, ""},
		{"day", Day(time.Date(2024, 2, 29, 23, 0, 0, 0, time.FixedZone("", -6*3600))), `2024-02-29`, "the day where it was"},
		{"empty", Value{}, ``, ""},
		{"comma", Text("a,b"), `"a,b"`, "RFC 4180, 2.6"},
		{"quote", Text(`2" valve`), `"2"" valve"`, "RFC 4180, 2.7"},
		{"line end", Text("a\nb"), "\"a\r\nb\"", "RFC 4180, 2.6"},
		{"not UTF-8", Text("a\xb0b"), "a\ufffdb", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := writeCSV(t, []string{"x", "y"}, []Value{Text("k"), c.value})
			require.Equal(t, "x,y\r\nk,"+c.want+"\r\n", got, c.source)
		})
	}
	require.Equal(t, "'=x,y\r\n", writeCSV(t, []string{"=x", "y"}), "a column's name is text as well")
}

func TestRowsThatCannotBeWritten(t *testing.T) {
	for name, open := range map[string]func(*bytes.Buffer) (Writer, error){
		"CSV":  func(b *bytes.Buffer) (Writer, error) { return NewCSV(b, []string{"a", "b"}) },
		"XLSX": func(b *bytes.Buffer) (Writer, error) { return NewXLSX(b, "s", []string{"a", "b"}) },
	} {
		var b bytes.Buffer
		w, err := open(&b)
		require.NoError(t, err, name)
		require.ErrorContains(t, w.Row(Text("x")), "a row of 1 cells for 2 columns")
		require.ErrorContains(t, w.Row(Text("x"), Number(math.NaN())), "column b: NaN is not a number")
		require.ErrorContains(t, w.Row(Number(math.Inf(-1)), Text("x")), "column a: -Inf is not a number")
		require.NoError(t, w.Close())
	}
	w, err := NewXLSX(&bytes.Buffer{}, "s", []string{"a"})
	require.NoError(t, err)
	require.ErrorContains(t, w.Row(Text(strings.Repeat("é", 32768))), "column a: text of more than 32767 characters")
	require.NoError(t, w.Row(Text(strings.Repeat("é", 32767))))
	require.NoError(t, w.Close())
	_, err = NewXLSX(&bytes.Buffer{}, "a/b", []string{"a"})
	require.Error(t, err, "a sheet's name may not hold a slash")
}

// full is a writer with no room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errDisk }

func TestWriterFails(t *testing.T) {
	c, err := NewCSV(full{}, []string{"a"})
	require.NoError(t, err, "it is held back")
	require.ErrorIs(t, c.Close(), errDisk)
	x, err := NewXLSX(full{}, "s", []string{"a"})
	require.NoError(t, err)
	require.ErrorIs(t, x.Close(), errDisk)
	_, err = NewRefused(full{}, []string{"a"})
	require.ErrorIs(t, err, errDisk)
}

func TestWriteXLSX(t *testing.T) {
	book := writeXLSX(t, []string{"tag", "temp", "day", "none"},
		[]Value{Text("=1+1"), Number(-5.2), Day(time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC)), {}},
		[]Value{Text("-5.2"), Number(1e5), Day(time.Date(1850, 1, 1, 0, 0, 0, 0, time.UTC)), Text("a\x01b")})

	// The workbook library, as another reader.
	f, err := excelize.OpenReader(bytes.NewReader(book), excelize.Options{UnzipSizeLimit: 1 << 20, UnzipXMLSizeLimit: 1 << 20})
	require.NoError(t, err)
	for _, c := range []struct {
		cell string
		kind excelize.CellType
		raw  string
	}{
		{"A2", excelize.CellTypeInlineString, "=1+1"}, {"B2", excelize.CellTypeUnset, "-5.2"}, {"C2", excelize.CellTypeUnset, "45351"}, // 39448 + 5903 days
		{"A3", excelize.CellTypeInlineString, "-5.2"}, {"B3", excelize.CellTypeUnset, "100000"}, {"C3", excelize.CellTypeInlineString, "1850-01-01"},
	} {
		kind, err := f.GetCellType("Covers", c.cell)
		require.NoError(t, err)
		require.Equal(t, c.kind, kind, c.cell)
		raw, err := f.GetCellValue("Covers", c.cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		require.Equal(t, c.raw, raw, c.cell)
		formula, err := f.GetCellFormula("Covers", c.cell)
		require.NoError(t, err)
		require.Empty(t, formula, c.cell)
	}
	require.NoError(t, f.Close())

	rows, faults := collect(t, openBook(t, book, Options{}))
	require.Empty(t, faults)
	require.Equal(t, []Row{{2, []string{"=1+1", "-5.2", "2024-02-29", ""}}, {3, []string{"-5.2", "100000", "1850-01-01", "a\ufffdb"}}}, rows)
	again := writeXLSX(t, []string{"a"}, []Value{Number(1)})
	require.Equal(t, again, writeXLSX(t, []string{"a"}, []Value{Number(1)}), "the same rows give the same file")
}

func TestUnprefix(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"'=x", "=x"}, {"''=x", "'=x"}, {"'-5.2", "-5.2"}, {"'\tx", "\tx"}, {"'\nx", "\nx"}, {"'\x00", "\x00"},
		{"'tis", "'tis"}, {"''", "''"}, {"'", "'"}, {"", ""}, {"=x", "=x"}, {"-5.2", "-5.2"},
	} {
		require.Equal(t, c.want, Unprefix(c.in), "%q", c.in)
	}
}

func TestRefused(t *testing.T) {
	text := "tag,temp\nV-1,42\nV-2,cold\nV-3,=x,1\nV-4,2\" x\nV-5\n"
	table := openText(t, text)
	var b bytes.Buffer
	r, err := NewRefused(&b, table.Columns)
	require.NoError(t, err)
	for row, err := range table.Rows() {
		if f, bad := errors.AsType[*Fault](err); bad {
			require.NoError(t, r.Add(row, f))
		} else if row.Cells[1] == "cold" {
			require.NoError(t, r.Add(row, &Fault{Line: row.Line, Column: "temp", Msg: "type a number"}, &Fault{Msg: "unknown tag"}))
		}
	}
	require.NoError(t, r.Close())

	back := openText(t, b.String())
	require.Equal(t, []string{"Line in the file", "What to change", "tag", "temp"}, back.Columns)
	rows, faults := collect(t, back)
	require.Empty(t, faults)
	require.Len(t, rows, 4)
	require.Equal(t, []string{"3", "column temp: type a number; unknown tag", "V-2", "cold"}, rows[0].Cells)
	require.Equal(t, []string{"4", "V-3", "=x"}, []string{rows[1].Cells[0], rows[1].Cells[2], rows[1].Cells[3]})
	require.Contains(t, rows[1].Cells[1], "cells beyond the last column: 1")
	require.Equal(t, []string{"5", "", ""}, []string{rows[2].Cells[0], rows[2].Cells[2], rows[2].Cells[3]}, "a line that could not be read")
	require.Equal(t, []string{"6", "V-5", ""}, []string{rows[3].Cells[0], rows[3].Cells[2], rows[3].Cells[3]})

	var second bytes.Buffer
	r, err = NewRefused(&second, back.Columns)
	require.NoError(t, err)
	require.NoError(t, r.Add(rows[0], &Fault{Msg: "still cold"}))
	require.NoError(t, r.Close())
	require.Equal(t, Mark+"Line in the file,What to change,tag,temp\r\n2,still cold,V-2,cold\r\n", second.String(), "refused twice, told once")
}

// Rows are read one by one: what is held at a time does not grow with the file.
func TestMemoryStaysFlat(t *testing.T) {
	const rows = 100_000
	path := filepath.Join(t.TempDir(), "long.csv")
	out, err := os.Create(path)
	require.NoError(t, err)
	w, err := NewCSV(out, []string{"tag", "temp", "note"})
	require.NoError(t, err)
	for i := range rows {
		require.NoError(t, w.Row(Text("V-"+strconv.Itoa(i)), Number(float64(i)/8), Text("a note of the usual length, in a few words, with a comma")))
	}
	require.NoError(t, w.Close())
	size, err := out.Seek(0, 2)
	require.NoError(t, err)
	require.Greater(t, size, int64(6<<20), "more than may be held")

	table, err := Open(out, size, path, Options{})
	require.NoError(t, err)
	start, n := held(), 0
	for row, err := range table.Rows() {
		require.NoError(t, err)
		n++
		require.Equal(t, n+1, row.Line)
		if n%20_000 == 0 {
			require.Less(t, held(), start+4<<20, "after %d rows", n)
		}
	}
	require.Equal(t, rows, n)
	require.NoError(t, out.Close())
}

// held is the heap in use after a collection.
func held() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func FuzzWriteThenReadCSV(f *testing.F) {
	for _, s := range []string{"V-1", "=1+1", "'=x", "''-5", "\r\n", "a\rb", "a\r\n\"b\"", " x ", "\x00", "\xff", "\ufeff", "sep=;", "-5.2", "_x0041_"} {
		f.Add(s, "note")
		f.Add("V-1", s)
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		text := writeCSV(t, []string{"tag", "note", "n"}, []Value{Text(a), Text(b), Number(-5.2)})
		want := []string{unixLines(strings.ToValidUTF8(a, "\ufffd")), unixLines(strings.ToValidUTF8(b, "\ufffd")), "-5.2"}

		records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		for i, cell := range records[1] {
			require.Equal(t, want[i], Unprefix(cell))
			if cell != "" && !harmless.MatchString(cell) {
				require.NotContains(t, "=+-@\t\r\n\x00", cell[:1], "a formula got through")
			}
		}
		if strings.Contains(text, "\x00") || longest(want) > 32767 {
			return // Open refuses NUL and long cells
		}
		rows, faults := collect(t, openText(t, text))
		require.Empty(t, faults)
		require.Equal(t, []Row{{2, want}}, rows)
	})
}

func FuzzWriteThenReadXLSX(f *testing.F) {
	for _, s := range []string{"V-1", "=1+1", "'=x", "\r\n", "a\rb", " x ", "\x00", "\xff", "_x0041_", "_x005F_x0041_", "_xD800_", "_x0000_x0000_", "__x0041_x", "<&>", "12E3"} {
		f.Add(s, -5.2)
	}
	f.Add("", 1e300)
	f.Add("x", 0.30000000000000004)
	f.Fuzz(func(t *testing.T, s string, v float64) {
		clean, err := xmlText(s)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return // Row refuses these
		}
		rows, faults := collect(t, openBook(t, writeXLSX(t, []string{"tag", "n"}, []Value{Text(s), Number(v)}), Options{}))
		require.Empty(t, faults)
		require.Len(t, rows, 1)
		require.Equal(t, clean, rows[0].Cells[0])
		got, err := strconv.ParseFloat(rows[0].Cells[1], 64)
		require.NoError(t, err)
		require.InDelta(t, 0, (got-v)/max(math.Abs(v), math.SmallestNonzeroFloat64), 1e-14, "15 digits")
	})
}

func longest(texts []string) (n int) {
	for _, s := range texts {
		n = max(n, utf8.RuneCountInString(s))
	}
	return n
}

// Whatever the bytes, Open and Rows do not panic, and what they refuse they
// explain; a second pass gives the same.
func FuzzOpen(f *testing.F) {
	f.Add([]byte("tag,room\nV-1,B12\n"))
	f.Add([]byte("sep=;\na;b\n1;\"2\n3\"\n"))
	f.Add([]byte(inUTF16("tag\tn\nV-1\t2\n", unicode.LittleEndian)))
	f.Add([]byte("tag,\xb0\nV\"-1,2\n"))
	f.Add([]byte("a\rb\r\r"))
	f.Add(bookBytes(f, "tag", "V-1"))
	f.Add(zipOf(f, workbookOf(sheetOf(`<row r="1"><c r="A1" t="s"><v>0</v></c></row><row r="3"><c s="1"><v>39448</v></c></row>`))...))
	f.Add(writeXLSX(f, []string{"tag"}, []Value{Text("V-1")}))
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := Open(bytes.NewReader(data), int64(len(data)), "any", Options{})
		if err != nil {
			require.NotNil(t, asFault(err), "%v", err)
			require.NotEmpty(t, asFault(err).Msg)
			return
		}
		require.NotEmpty(t, table.Columns)
		rows, faults := collect(t, table)
		for _, r := range rows {
			require.Len(t, r.Cells, len(table.Columns))
			require.Greater(t, r.Line, table.Line)
		}
		again, faultsAgain := collect(t, table)
		require.Equal(t, rows, again)
		require.Equal(t, faults, faultsAgain)
	})
}

// The parts of a workbook, unpacked, so that the fuzzer gets behind the packing.
func FuzzParts(f *testing.F) {
	f.Add(sheetOf(`<row r="1"><c r="A1" t="s"><v>0</v></c></row><row r="3"><c s="1"><v>39448</v></c><c t="e"><v>#N/A</v></c></row>`), shared, styles, oneSheet)
	f.Fuzz(func(t *testing.T, sheet, texts, looks, book string) {
		entries := workbookOf(sheet)
		entries[1].text, entries[3].text, entries[4].text = book, texts, looks
		b := zipOf(t, entries...)
		table, err := Open(bytes.NewReader(b), int64(len(b)), "any.xlsx", Options{})
		if err != nil {
			require.NotNil(t, asFault(err), "%v", err)
			return
		}
		collect(t, table)
	})
}
