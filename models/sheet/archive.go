package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"io/fs"
	"strings"
)

// archive is a workbook's zip file, checked before anything is unpacked.
type archive struct {
	parts map[string]*zip.File // by name in lower case, as workbooks compare names
}

// entrySign begins each line of a zip's list of parts.
var entrySign = []byte("PK\x01\x02")

// openArchive reads the list of parts and refuses what a workbook cannot be:
// too many parts, too large or too tightly packed ones, names that lead out of
// a folder, two of one name, links, encrypted parts, archives in the archive.
func openArchive(r io.ReaderAt, size int64, lim Limits) (*archive, error) {
	if n, err := countSigns(r, size); err != nil {
		return nil, err
	} else if n > lim.Entries {
		return nil, broken("the workbook has more than %d parts; save the sheet alone, as XLSX or CSV", lim.Entries)
	}
	z, err := zip.NewReader(r, size)
	if _, failed := errors.AsType[*readError](err); failed {
		return nil, err
	}
	if err != nil {
		return nil, broken("the workbook is damaged or not complete; save it again as XLSX and send it again")
	}
	a := &archive{parts: make(map[string]*zip.File, len(z.File))}
	total := uint64(0)
	for _, f := range z.File {
		name := strings.ToLower(f.Name)
		if a.parts[name] != nil {
			return nil, broken("the workbook has the part %q twice; save it again as XLSX", f.Name)
		}
		a.parts[name] = f
		if err := checkEntry(f, lim); err != nil {
			return nil, err
		}
		if total += min(f.UncompressedSize64, uint64(lim.Unpacked)+1); total > uint64(lim.Unpacked) {
			return nil, broken("the workbook unpacks to more than %d MB; save the sheet alone, as CSV", lim.Unpacked>>20)
		}
	}
	return a, nil
}

// countSigns counts what can be a line of the list of parts, in one pass that
// keeps nothing: the list of a file made to do harm can itself be the harm.
func countSigns(r io.ReaderAt, size int64) (n int, err error) {
	const step = 1 << 16
	buf := make([]byte, step+len(entrySign)-1)
	for at := int64(0); at < size; at += step {
		got, err := r.ReadAt(buf[:min(int64(len(buf)), size-at)], at)
		if err != nil && !errors.Is(err, io.EOF) {
			return n, err
		}
		n += bytes.Count(buf[:got], entrySign)
	}
	return n, nil
}

func checkEntry(f *zip.File, lim Limits) error {
	const encrypted = 1 // bit 0 of the flags, APPNOTE.TXT 4.4.4
	switch packed := max(f.CompressedSize64, 1); {
	case !plainPath(f.Name):
		return broken("the workbook has a part with the unusual name %q; save it again as XLSX", f.Name)
	case f.Flags&encrypted != 0:
		return broken("the workbook has a password; save it without one")
	case f.Method != zip.Store && f.Method != zip.Deflate:
		return broken("the workbook is packed in a way that is not read here; save it again as XLSX")
	case f.UncompressedSize64 > uint64(lim.Unpacked),
		f.UncompressedSize64 > ratioFrom && f.UncompressedSize64/packed > uint64(lim.Ratio):
		return broken("the part %q of the workbook unpacks to far more than a table needs; clear the formats of empty rows and columns, or save the sheet as CSV", f.Name)
	case f.Mode().IsDir():
		return nil
	case !f.Mode().IsRegular():
		return broken("the part %q of the workbook is a link; save it again as XLSX", f.Name)
	}
	return checkNested(f)
}

// plainPath tells whether a name stays inside the folder it is unpacked to, on
// every system.
func plainPath(name string) bool {
	control := func(c rune) bool { return c < ' ' || c == 0x7f }
	return fs.ValidPath(strings.TrimSuffix(name, "/")) && !strings.ContainsAny(name, `\:`) && !strings.ContainsFunc(name, control)
}

// checkNested looks at the first bytes of a part for a zip.
func checkNested(f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return broken("the part %q of the workbook is damaged; save it again as XLSX", f.Name)
	}
	defer func() { _ = r.Close() }() // only read from
	head := make([]byte, 4)
	n, _ := io.ReadFull(r, head) // a damaged part is found when it is read
	if string(head[:n]) == "PK\x03\x04" {
		return broken("the workbook has another archive in it, %q; delete embedded files, or save the sheet as CSV", f.Name)
	}
	return nil
}
