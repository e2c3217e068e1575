package sheet

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"io"
	"io/fs"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// withZip is a workbook of zip entries made by hand.
func withZip(t testing.TB, make func(z *zip.Writer)) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	make(z)
	require.NoError(t, z.Close())
	return b.Bytes()
}

func create(t testing.TB, z *zip.Writer, h zip.FileHeader, text string) {
	t.Helper()
	w, err := z.CreateHeader(&h)
	require.NoError(t, err)
	_, err = io.WriteString(w, text)
	require.NoError(t, err)
}

// zeros are n bytes of nothing, packed, n a multiple of 1 MiB.
func zeros(t testing.TB, n int) (packed []byte, sum uint32) {
	t.Helper()
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	require.NoError(t, err)
	crc, block := crc32.NewIEEE(), make([]byte, 1<<20)
	for range n >> 20 {
		_, err = io.MultiWriter(w, crc).Write(block)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes(), crc.Sum32()
}

// raw adds an entry whose header says what it likes.
func raw(t testing.TB, z *zip.Writer, name string, packed []byte, sum uint32, says uint64) {
	t.Helper()
	w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CRC32: sum, CompressedSize64: uint64(len(packed)), UncompressedSize64: says})
	require.NoError(t, err)
	_, err = w.Write(packed)
	require.NoError(t, err)
}

// allParts writes the parts of a workbook around the sheet.
func allParts(t testing.TB, z *zip.Writer, sheet string, leave ...string) {
	t.Helper()
	for _, e := range workbookOf(sheet) {
		if len(leave) == 0 || e.name != leave[0] {
			create(t, z, zip.FileHeader{Name: e.name}, e.text)
		}
	}
}

const sheetPart, sharedPart = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"

// None of these takes much memory on its way to being refused; that it takes
// little time follows from how little is allocated. What the packages of the
// standard library allocate by the way is in the limit.
func TestBombs(t *testing.T) {
	gigabyte, sum := zeros(t, 1<<30)
	small := sheetOf(`<row><c t="s"><v>0</v></c></row>`)
	cell := `<c t="inlineStr"><is><t>`
	for _, c := range []struct {
		name, says string
		make       func(z *zip.Writer)
	}{
		{"a gigabyte of zeros as the sheet", "unpacks to far more than a table needs", func(z *zip.Writer) {
			allParts(t, z, "", sheetPart)
			raw(t, z, sheetPart, gigabyte, sum, 1<<30)
		}},
		{"the same saying it is small", "damaged", func(z *zip.Writer) {
			allParts(t, z, "", sheetPart)
			raw(t, z, sheetPart, gigabyte, sum, 1000)
		}},
		{"shared texts saying they are small", "damaged", func(z *zip.Writer) {
			allParts(t, z, small, sharedPart)
			raw(t, z, sharedPart, gigabyte, sum, 1000)
		}},
		{"beside the table", "unpacks to far more", func(z *zip.Writer) {
			allParts(t, z, small)
			raw(t, z, "xl/media/image1.png", gigabyte, sum, 1<<30)
		}},
		{"many parts, each within its ratio", "unpacks to more than 256 MB", func(z *zip.Writer) {
			allParts(t, z, small)
			stored := strings.Repeat("x", 1<<20)
			for i := range 300 { // each of 1 MiB, from which on the ratio counts
				create(t, z, zip.FileHeader{Name: "xl/media/" + strconv.Itoa(i), Method: zip.Deflate}, stored)
			}
		}},
		{"65,535 parts", "more than 2000 parts", func(z *zip.Writer) {
			allParts(t, z, small)
			for i := range 65535 - 6 {
				create(t, z, zip.FileHeader{Name: strconv.Itoa(i)}, "")
			}
		}},
		{"one text without end", "too long", func(z *zip.Writer) {
			allParts(t, z, sheetOf(`<row>`+cell+noise(64<<20)+`</t></is></c></row>`))
		}},
		{"one text without end, in pieces", "too long", func(z *zip.Writer) {
			allParts(t, z, sheetOf(`<row>`+cell+strings.Repeat(noise(1000)+"<!-- -->", 64<<10)+`</t></is></c></row>`))
		}},
		{"a number without end, in pieces", "too long", func(z *zip.Writer) {
			allParts(t, z, sheetOf(`<row><c><v>`+strings.Repeat(noise(1000)+"<!-- -->", 64<<10)+`</v></c></row>`))
		}},
		{"tags in tags", "too deep", func(z *zip.Writer) {
			allParts(t, z, sheetOf(`<row>`+strings.Repeat(`<a b="`+noise(20)+`">`, 1<<20)))
		}},
		{"an attribute without end", "too long", func(z *zip.Writer) {
			allParts(t, z, sheetOf(`<row><c r="`+noise(64<<20)+`"/></row>`))
		}},
		{"shared texts without end", "too much text", func(z *zip.Writer) {
			allParts(t, z, small, sharedPart)
			create(t, z, zip.FileHeader{Name: sharedPart}, "<sst>"+strings.Repeat("<si><t>"+noise(5000)+"</t></si>", 20000)+"</sst>")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			book := withZip(t, c.make)
			before := allocated()
			table, err := Open(bytes.NewReader(book), int64(len(book)), "bomb.xlsx", Options{})
			if err == nil {
				_, faults := collect(t, table)
				require.NotEmpty(t, faults)
				err = &faults[0]
			}
			require.ErrorContains(t, err, c.says)
			require.NotNil(t, asFault(err))
			require.Less(t, allocated()-before, uint64(160<<20))
		})
	}
}

func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

// noise is text that does not pack well: a fixed sequence of letters.
func noise(n int) string {
	b, x := make([]byte, n), uint32(1)
	for i := range b {
		x = x*1664525 + 1013904223
		b[i] = 'a' + byte(x>>24)%26
	}
	return string(b)
}

func TestArchivesRefused(t *testing.T) {
	small := sheetOf(`<row><c t="s"><v>0</v></c></row>`)
	extra := func(h zip.FileHeader, text string) func(z *zip.Writer) {
		return func(z *zip.Writer) {
			allParts(t, z, small)
			create(t, z, h, text)
		}
	}
	link := zip.FileHeader{Name: "xl/link"}
	link.SetMode(fs.ModeSymlink | 0o777)
	for _, c := range []struct {
		name, says string
		make       func(z *zip.Writer)
	}{
		{"out of the folder", "unusual name", extra(zip.FileHeader{Name: "../evil.xml"}, "x")},
		{"out in the middle", "unusual name", extra(zip.FileHeader{Name: "xl/../../evil.xml"}, "x")},
		{"from the root", "unusual name", extra(zip.FileHeader{Name: "/etc/evil.xml"}, "x")},
		{"backslashes", "unusual name", extra(zip.FileHeader{Name: `..\evil.xml`}, "x")},
		{"drive", "unusual name", extra(zip.FileHeader{Name: `c:evil.xml`}, "x")},
		{"NUL in the name", "unusual name", extra(zip.FileHeader{Name: "xl/a\x00.xml"}, "x")},
		{"twice", "twice", extra(zip.FileHeader{Name: "XL/Worksheets/sheet1.xml"}, "x")},
		{"link", "is a link", extra(link, "/etc/passwd")},
		{"archive in the archive", "another archive in it", extra(zip.FileHeader{Name: "xl/embeddings/1.bin"}, string(withZip(t, func(z *zip.Writer) { allParts(t, z, small) })))},
		{"password", "has a password", func(z *zip.Writer) {
			allParts(t, z, small)
			_, err := z.CreateRaw(&zip.FileHeader{Name: "x", Flags: 1, Method: zip.Store})
			require.NoError(t, err)
		}},
		{"other method", "packed in a way that is not read", func(z *zip.Writer) {
			allParts(t, z, small)
			_, err := z.CreateRaw(&zip.FileHeader{Name: "x", Method: 93})
			require.NoError(t, err)
		}},
		{"no workbook", "no XLSX workbook", func(z *zip.Writer) { create(t, z, zip.FileHeader{Name: "mimetype"}, "x") }},
		{"empty archive", "no XLSX workbook", func(*zip.Writer) {}},
		{"sheet not there", "no part", func(z *zip.Writer) { allParts(t, z, small, sheetPart) }},
		{"links not there", "no part", func(z *zip.Writer) { allParts(t, z, small, "xl/_rels/workbook.xml.rels") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			book := withZip(t, c.make)
			_, err := Open(bytes.NewReader(book), int64(len(book)), "b.xlsx", Options{})
			require.ErrorContains(t, err, c.says)
			require.NotNil(t, asFault(err))
		})
	}
	good := withZip(t, func(z *zip.Writer) { allParts(t, z, small) })
	_, err := Open(bytes.NewReader(good), int64(len(good)), "b.xlsx", Options{})
	require.NoError(t, err, "without the harm the same workbook is read")
	for cut := 4; cut < len(good); cut += 7 {
		_, err := Open(bytes.NewReader(good[:cut]), int64(cut), "b.xlsx", Options{})
		require.ErrorContains(t, err, "damaged or not complete")
	}
}

// The count at the end of the list says 5, the list has far more.
func TestArchiveCountLies(t *testing.T) {
	book := withZip(t, func(z *zip.Writer) {
		for i := range 5000 {
			create(t, z, zip.FileHeader{Name: strconv.Itoa(i)}, "")
		}
	})
	end := bytes.LastIndex(book, []byte("PK\x05\x06"))
	binary.LittleEndian.PutUint16(book[end+8:], 5)
	binary.LittleEndian.PutUint16(book[end+10:], 5)
	_, err := Open(bytes.NewReader(book), int64(len(book)), "b.xlsx", Options{})
	require.ErrorContains(t, err, "more than 2000 parts")
}

// A sign lying across two steps of the count is counted once.
func TestCountSigns(t *testing.T) {
	for at := 1<<16 - 6; at < 1<<16+6; at++ {
		b := make([]byte, 1<<17+5)
		copy(b[at:], entrySign)
		copy(b[len(b)-4:], entrySign)
		n, err := countSigns(bytes.NewReader(b), int64(len(b)))
		require.NoError(t, err)
		require.Equal(t, 2, n, "at %d", at)
	}
}
