package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// entry is one part of a workbook made by hand.
type entry struct{ name, text string }

const (
	packageRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookRels    = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>` +
		`<Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="/xl/worksheets/sheet2.xml"/>` +
		`<Relationship Id="rId3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/>` +
		`<Relationship Id="rId4" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`
	oneSheet = `<workbook xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><workbookPr/><sheets><sheet name="Covers" sheetId="1" r:id="rId1"/></sheets></workbook>`
	shared   = `<sst><si><t>tag</t></si><si><r><t xml:space="preserve">gate </t></r><r><rPr><b/></rPr><t>valve</t></r><rPh sb="0" eb="1"><t>aid</t></rPh></si><si><t>two_x000D_&#10;lines</t></si></sst>`
	styles   = `<styleSheet><numFmts count="2"><numFmt numFmtId="164" formatCode="[$-409]d\-mmm\-yyyy;@"/><numFmt numFmtId="165" formatCode="0.0&quot; days&quot;"/></numFmts>` +
		`<cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="22"/><xf numFmtId="20"/><xf numFmtId="46"/><xf numFmtId="10"/><xf numFmtId="164"/><xf numFmtId="165"/></cellXfs></styleSheet>`
)

func workbookOf(sheet string) []entry {
	return []entry{
		{"_rels/.rels", packageRels}, {"xl/workbook.xml", oneSheet}, {"xl/_rels/workbook.xml.rels", bookRels},
		{"xl/sharedStrings.xml", shared}, {"xl/styles.xml", styles}, {"xl/worksheets/sheet1.xml", sheet},
	}
}

func zipOf(t testing.TB, entries ...entry) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		w, err := z.Create(e.name)
		require.NoError(t, err)
		_, err = w.Write([]byte(e.text))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

func sheetOf(rows string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + rows + `</sheetData></worksheet>`
}

func openBook(t *testing.T, book []byte, opt Options) *Table {
	t.Helper()
	table, err := Open(bytes.NewReader(book), int64(len(book)), "covers.xlsx", opt)
	require.NoError(t, err)
	return table
}

// bookBytes is a workbook of one column, written by excelize itself.
func bookBytes(t testing.TB, column ...string) []byte {
	t.Helper()
	f := excelize.NewFile()
	for i, s := range column {
		require.NoError(t, f.SetCellStr("Sheet1", fmt.Sprintf("A%d", i+1), s))
	}
	b, err := f.WriteToBuffer()
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return b.Bytes()
}

func TestCells(t *testing.T) {
	for _, c := range []struct{ name, cell, want, source string }{
		{"shared text", `<c t="s"><v>0</v></c>`, "tag", "ECMA-376 part 1, 18.18.11"},
		{"rich text without reading aid", `<c t="s"><v>1</v></c>`, "gate valve", "ECMA-376 part 1, 18.4.8, 18.4.6"},
		{"escaped character", `<c t="s"><v>2</v></c>`, "two\r\nlines", "ECMA-376 part 1, 22.9.2.19"},
		{"text in the cell", `<c t="inlineStr"><is><t>V-1</t></is></c>`, "V-1", "18.18.11"},
		{"text that looks like a number", `<c t="inlineStr"><is><t>12E3</t></is></c>`, "12E3", "a tag stays a tag"},
		{"text with a comment in it", `<c t="inlineStr"><is><t>V<!-- x -->-1</t></is></c>`, "V-1", "XML 1.0, 2.5"},
		{"text of a formula", `<c t="str"><f>A1&amp;"x"</f><v>tagx</v></c>`, "tagx", "18.18.11"},
		{"number of a formula", `<c><f>6*7</f><v>42</v></c>`, "42", "18.3.1.40"},
		{"shared formula", `<c><f t="shared" si="0"/><v>43</v></c>`, "43", "18.3.1.40"},
		{"yes or no", `<c t="b"><v>1</v></c>`, "TRUE", "18.18.11"},
		{"no exponent", `<c><v>1E+05</v></c>`, "100000", "plain digits"},
		{"no exponent, small", `<c><v>1.2500000000000001E-5</v></c>`, "0.0000125", "plain digits"},
		{"large", `<c><v>123456789012345</v></c>`, "123456789012345", "plain digits"},
		{"seventeen digits", `<c><v>0.10000000000000001</v></c>`, "0.1", "the number nearest to 0.1"},
		{"negative", `<c><v>-5.2</v></c>`, "-5.2", "plain digits"},
		{"date", `<c s="1"><v>39448</v></c>`, "2008-01-01", "help text of the DATEVALUE function: 39448 (from memory)"},
		{"last date", `<c s="1"><v>2958465</v></c>`, "9999-12-31", "ECMA-376 part 1, 18.17.4.1 (from memory)"},
		{"first of March 1900", `<c s="1"><v>61</v></c>`, "1900-03-01", "18.17.4.1 (from memory)"},
		{"first of January 1900", `<c s="1"><v>1</v></c>`, "1900-01-01", "18.17.4.1 (from memory)"},
		{"date shows no time", `<c s="1"><v>39448.75</v></c>`, "2008-01-01", "as its format shows it"},
		{"own format", `<c s="6"><v>39448</v></c>`, "2008-01-01", "18.8.30"},
		{"date and time", `<c s="2"><v>39448.75</v></c>`, "2008-01-01T18:00:00", "0.75 of 24 h"},
		{"midnight", `<c s="2"><v>39448</v></c>`, "2008-01-01T00:00:00", "as its format shows it"},
		{"last moment of a day", `<c s="2"><v>39448.9999999</v></c>`, "2008-01-02T00:00:00", "to the second"},
		{"time", `<c s="3"><v>0.5625</v></c>`, "13:30:00", "0.5625 of 24 h"},
		{"hours past a day", `<c s="4"><v>1.5</v></c>`, "36:00:00", "1.5 of 24 h"},
		{"percent", `<c s="5"><v>0.07</v></c>`, "7%", "18.8.30, number 10"},
		{"percent, all digits", `<c s="5"><v>0.4525</v></c>`, "45.25%", "18.8.30, number 10"},
		{"letters in quotes are no date", `<c s="7"><v>2.5</v></c>`, "2.5", "18.8.31"},
		{"style that is not there", `<c s="99"><v>2.5</v></c>`, "2.5", "as without style"},
		{"date as text", `<c t="d"><v>2008-01-01T00:00:00</v></c>`, "2008-01-01", "18.18.11"},
	} {
		t.Run(c.name, func(t *testing.T) {
			table := openBook(t, zipOf(t, workbookOf(sheetOf(`<row><c t="inlineStr"><is><t>name</t></is></c></row><row>`+c.cell+`</row>`))...), Options{})
			rows, faults := collect(t, table)
			require.Empty(t, faults)
			require.Equal(t, []Row{{2, []string{c.want}}}, rows, c.source)
		})
	}
}

func TestFormatOf(t *testing.T) {
	for _, c := range []struct {
		code string
		want format
	}{
		{"General", plain}, {"0.00", plain}, {"#,##0;[Red]-#,##0", plain}, {"0.0E+00", plain}, {"@", plain},
		{`0" days"`, plain}, {`0\d`, plain}, {`_(* #,##0_);_(* \(#,##0\)`, plain}, {`[Red]0.0`, plain}, {"# ?/?", plain},
		{"0%", percent}, {"0.0%;-0.0%", percent}, {`0"%"`, plain},
		{"yyyy-mm-dd", day}, {"m/d/yy", day}, {"MMM", day}, {`[$-409]mmmm\ d\,\ yyyy;@`, day}, {"dddd", day},
		{"m/d/yy h:mm", moment}, {"yyyy-mm-ddThh:mm:ss", moment}, {"[$-409]m/d/yy h:mm AM/PM;@", moment},
		{"h:mm", clock}, {"h:mm:ss AM/PM", clock}, {"mm:ss", clock},
		{"[h]:mm", duration}, {"[mm]:ss", duration}, {"[h]", duration},
	} {
		require.Equal(t, c.want, formatOf(c.code), c.code)
	}
}

// The workbook library reads the same serial days, to half a second.
func TestMomentsAgreeWithLibrary(t *testing.T) {
	for _, since04 := range []bool{false, true} {
		b := &workbook{since04: since04}
		for serial := 61.0; serial < 2900000; serial = serial*1.01 + 0.37 {
			got, ok := b.moment(serial)
			require.True(t, ok)
			want, err := excelize.ExcelDateToTime(serial, since04)
			require.NoError(t, err)
			require.WithinDuration(t, want, got, 501*time.Millisecond, "%v", serial)
		}
	}
}

func TestSheets(t *testing.T) {
	name := func(s string) string { return sheetOf(`<row><c t="inlineStr"><is><t>` + s + `</t></is></c></row>`) }
	book := func(states ...string) []entry {
		return []entry{
			{"_rels/.rels", packageRels}, {"xl/_rels/workbook.xml.rels", bookRels}, {"xl/sharedStrings.xml", shared}, {"xl/styles.xml", styles},
			{"xl/workbook.xml", fmt.Sprintf(`<x:workbook xmlns:x="m" xmlns:r="o"><x:sheets><x:sheet name="One" %s r:id="rId1"/><x:sheet name="Two" %s r:id="rId2"/></x:sheets></x:workbook>`, states[0], states[1])},
			{"xl/worksheets/sheet1.xml", states[2]}, {"xl/worksheets/sheet2.xml", states[3]},
		}
	}
	for _, c := range []struct {
		name  string
		book  []entry
		sheet string
		want  string
		says  string
	}{
		{"first", book("", "", name("a"), name("b")), "", "One", ""},
		{"first with content", book("", "", sheetOf(`<row/><row><c s="1"/></row>`), name("b")), "", "Two", ""},
		{"first visible", book(`state="hidden"`, "", name("a"), name("b")), "", "Two", ""},
		{"first not very hidden", book(`state="veryHidden"`, "", name("a"), name("b")), "", "Two", ""},
		{"by name", book("", "", name("a"), name("b")), " two ", "Two", ""},
		{"hidden by name", book("", `state="hidden"`, name("a"), name("b")), "Two", "Two", ""},
		{"no such name", book("", "", name("a"), name("b")), "Three", "", `the workbook has no sheet "Three"; it has One, Two`},
		{"nothing in it", book("", "", sheetOf(""), sheetOf("")), "", "", "no visible sheet of the workbook has anything in it"},
		{"named sheet empty", book("", "", name("a"), sheetOf("")), "Two", "", "no header row"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := zipOf(t, c.book...)
			table, err := Open(bytes.NewReader(b), int64(len(b)), "b.xlsx", Options{Sheet: c.sheet})
			if c.says != "" {
				require.ErrorContains(t, err, c.says)
				return
			}
			require.NoError(t, err)
			require.Equal(t, c.want, table.Sheet)
			require.Equal(t, XLSX, table.Kind)
		})
	}
}

func TestSheetFrom1904(t *testing.T) {
	entries := workbookOf(sheetOf(`<row><c t="s"><v>0</v></c></row><row><c s="1"><v>37986</v></c></row>`))
	entries[1].text = strings.Replace(oneSheet, "<workbookPr/>", `<workbookPr date1904="1"/>`, 1)
	rows, faults := collect(t, openBook(t, zipOf(t, entries...), Options{}))
	require.Empty(t, faults)
	require.Equal(t, []Row{{2, []string{"2008-01-01"}}}, rows) // 39448 - 1462
}

func TestSheetRows(t *testing.T) {
	table := openBook(t, zipOf(t, workbookOf(sheetOf(
		`<row r="3"><c r="A3" t="inlineStr"><is><t>tag</t></is></c><c r="B3" t="inlineStr"><is><t>room</t></is></c><c r="C3" t="inlineStr"><is><t> </t></is></c></row>`+
			`<row r="4"><c r="A4" s="1"/></row>`+
			`<row r="7"><c r="B7"><v>12</v></c></row>`+
			`<row><c><v>1</v></c><c/><c r="XFD8" s="3"/></row>`+
			`<row r="20"><c r="A20"><v>1</v></c><c r="D20"><v>4</v></c></row>`))...), Options{})
	require.Equal(t, []string{"tag", "room"}, table.Columns)
	require.Equal(t, 3, table.Line)
	rows, faults := collect(t, table)
	require.Equal(t, []Row{{7, []string{"", "12"}}, {8, []string{"1", ""}}}, rows)
	require.Equal(t, []Fault{{Line: 20, Msg: "the row has 4 cells, the header on line 3 has 2; name every column that is filled, or clear the cells to the right"}}, faults)
}

func TestSheetRowFaults(t *testing.T) {
	head := `<row><c t="inlineStr"><is><t>tag</t></is></c><c t="inlineStr"><is><t>temp</t></is></c></row>`
	for _, c := range []struct {
		name, rows, says string
		column           string
		ends             bool
	}{
		{"error of a formula", `<row><c><v>1</v></c><c t="e"><f>1/0</f><v>#DIV/0!</v></c></row>`, "the formula gives #DIV/0!; put a value into the cell", "temp", false},
		{"formula never calculated", `<row><c><v>1</v></c><c><f>A1*2</f></c></row>`, "the formula has no stored result", "temp", false},
		{"no date", `<row><c><v>1</v></c><c s="1"><v>0</v></c></row>`, "formatted as a date or time, but holds 0", "temp", false},
		{"29 February 1900", `<row><c><v>1</v></c><c s="1"><v>60</v></c></row>`, "but holds 60", "temp", false},
		{"before time", `<row><c><v>1</v></c><c s="3"><v>-0.5</v></c></row>`, "but holds -0.5", "temp", false},
		{"text lost", `<row><c t="s"><v>77</v></c></row>`, "the text of this cell is lost", "tag", false},
		{"column far out", `<row><c r="A2"><v>1</v></c><c r="XFD2"><v>1</v></c></row>`, "more columns than can be read (256)", "XFD", false},
		{"rows out of order", `<row r="9"><c><v>1</v></c></row><row r="4"/>`, "the rows of the sheet are out of order", "", true},
		{"too many cells", `<row>` + strings.Repeat(`<c r="A2"/>`, 16385) + `</row>`, "a row cannot have so many cells", "", true},
		{"row far out", `<row r="1048577"><c><v>1</v></c></row>`, "a sheet cannot have so many rows", "", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, faults := collect(t, openBook(t, zipOf(t, workbookOf(sheetOf(head+c.rows))...), Options{}))
			require.Len(t, faults, 1)
			require.Contains(t, faults[0].Msg, c.says)
			require.Equal(t, c.column, faults[0].Column)
			require.Equal(t, c.ends, faults[0].Ends)
		})
	}
}

// A sheet cut off in the middle must never look like a shorter one.
func TestSheetCutOff(t *testing.T) {
	whole := sheetOf(`<row><c t="s"><v>0</v></c></row><row><c><v>1</v></c></row><row><c><v>2</v></c></row>`)
	for cut := strings.Index(whole, "</sheetData>"); cut > 0; cut-- {
		b := zipOf(t, workbookOf(whole[:cut])...)
		table, err := Open(bytes.NewReader(b), int64(len(b)), "b.xlsx", Options{})
		if err != nil {
			require.ErrorContains(t, err, "damaged")
			continue
		}
		_, faults := collect(t, table)
		require.NotEmpty(t, faults, "cut at %d", cut)
		require.True(t, faults[len(faults)-1].Ends)
	}
}

// One flipped byte in the packed sheet is found, at the latest by its checksum.
func TestSheetFlipped(t *testing.T) {
	good := bookBytes(t, "tag", "V-1", "V-2", "V-3")
	r, err := zip.NewReader(bytes.NewReader(good), int64(len(good)))
	require.NoError(t, err)
	for _, f := range r.File {
		if f.Name != "xl/worksheets/sheet1.xml" {
			continue
		}
		from, err := f.DataOffset()
		require.NoError(t, err)
		for i := from; i < from+int64(f.CompressedSize64); i++ {
			bad := bytes.Clone(good)
			bad[i] ^= 0x10
			table, err := Open(bytes.NewReader(bad), int64(len(bad)), "b.xlsx", Options{})
			if err != nil {
				require.NotNil(t, asFault(err))
				continue
			}
			_, faults := collect(t, table)
			require.NotEmpty(t, faults, "byte %d", i)
		}
		return
	}
	t.Fatal("no sheet found")
}

// A workbook written by the workbook library, with every kind of cell.
func TestWorkbookOfLibrary(t *testing.T) {
	f := excelize.NewFile()
	set := func(cell string, v any) { require.NoError(t, f.SetCellValue("Sheet1", cell, v)) }
	for i, h := range []string{"tag", "temp", "day", "at", "wet", "share"} {
		set(string(rune('A'+i))+"2", h)
	}
	set("A3", "'V-1 & <2>")
	set("B3", -5.25)
	set("C3", time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC))
	set("D3", time.Date(2024, 2, 29, 13, 30, 5, 0, time.UTC))
	set("E3", true)
	set("F3", 0.45)
	share, err := f.NewStyle(&excelize.Style{NumFmt: 9})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Sheet1", "F3", "F3", share))
	day, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Sheet1", "C3", "C3", day))
	b, err := f.WriteToBuffer()
	require.NoError(t, err)
	require.NoError(t, f.Close())
	rows, faults := collect(t, openBook(t, b.Bytes(), Options{}))
	require.Empty(t, faults)
	require.Equal(t, []Row{{3, []string{"'V-1 & <2>", "-5.25", "2024-02-29", "2024-02-29T13:30:05", "TRUE", "45%"}}}, rows)
}

func TestShift(t *testing.T) {
	for i := range 10001 {
		v := float64(i) / 10000
		want := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%d.%02d", i/100, i%100), "0"), ".")
		require.Equal(t, want, shift(v, 2))
	}
	require.Equal(t, "0", shift(0, 2))
	require.Equal(t, "-1.5", shift(-0.015, 2))
	require.NotPanics(t, func() { shift(math.MaxFloat64, 2) })
}
