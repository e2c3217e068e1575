package sheet

import (
	"encoding/xml"
	"errors"
	"io"
	"iter"
	"path"
	"regexp"
	"strconv"
	"strings"
)

// escaped is a character as ST_Xstring writes it.
var escaped = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// workbook is what the worksheets of a file need to be read.
type workbook struct {
	*archive
	sheets   []worksheet
	since04  bool     // serial days count from 1904
	shared   []string // texts that cells name by number
	formats  []format // by the style number of a cell
	maxCells int
}

// worksheet is one sheet of a workbook.
type worksheet struct {
	name, part string
	hidden     bool
}

// openWorkbook reads what surrounds the sheets and chooses one.
func (t *Table) openWorkbook(r io.ReaderAt, size int64, sheet string) error {
	a, err := openArchive(r, size, t.limits)
	if err != nil {
		return err
	}
	b := &workbook{archive: a, maxCells: t.limits.Columns}
	if err := b.read(); err != nil {
		return err
	}
	s, err := b.choose(sheet)
	if err != nil {
		return err
	}
	t.Sheet = s.name
	t.records = func() iter.Seq2[Row, error] { return b.rows(s) }
	return nil
}

// choose finds a sheet by name, or the first visible one with content.
func (b *workbook) choose(name string) (worksheet, error) {
	var names []string
	for _, s := range b.sheets {
		if name != "" && strings.EqualFold(strings.TrimSpace(s.name), strings.TrimSpace(name)) {
			return s, nil
		}
		names = append(names, s.name)
		if name != "" || s.hidden {
			continue
		}
		for row, err := range b.rows(s) {
			if f := asFault(err); f != nil && f.Ends {
				return s, err
			}
			if err != nil || !blank(row.Cells) {
				return s, nil
			}
		}
	}
	if name != "" {
		return worksheet{}, broken("the workbook has no sheet %q; it has %s", name, strings.Join(names, ", "))
	}
	return worksheet{}, broken("no visible sheet of the workbook has anything in it; fill one, or name the hidden one")
}

// read reads the list of sheets, the formats and the shared texts.
func (b *workbook) read() error {
	top, err := b.relations("")
	if err != nil {
		return err
	}
	main := top.byType("officeDocument")
	if main == "" || !strings.HasSuffix(main, ".xml") {
		return broken("this archive is no XLSX workbook; save the table as XLSX or CSV")
	}
	links, err := b.relations(main)
	if err != nil {
		return err
	}
	if err := b.readSheets(main, links); err != nil {
		return err
	}
	if name := links.byType("styles"); name != "" {
		if err := b.readFormats(name); err != nil {
			return err
		}
	}
	if name := links.byType("sharedStrings"); name != "" {
		return b.readShared(name)
	}
	return nil
}

// relation says where a part named in another is found.
type relation struct{ id, kind, part string }

type relations []relation

func (rs relations) byType(kind string) string {
	for _, r := range rs {
		if r.kind == kind {
			return r.part
		}
	}
	return ""
}

// relations reads the relations of a part, those of the package for "".
func (b *workbook) relations(of string) (rs relations, err error) {
	folder, file := path.Split(of)
	name := folder + "_rels/" + file + ".rels"
	if b.parts[strings.ToLower(name)] == nil && of == "" {
		return nil, broken("this archive is no XLSX workbook; save the table as XLSX or CSV")
	}
	err = b.each(name, func(_ string, tag xml.StartElement) {
		if tag.Name.Local != "Relationship" || attr(tag, "TargetMode") == "External" || len(rs) == maxListed {
			return
		}
		target := attr(tag, "Target")
		if !strings.HasPrefix(target, "/") {
			target = path.Join("/", folder, target)
		}
		rs = append(rs, relation{attr(tag, "Id"), path.Base(attr(tag, "Type")), strings.TrimPrefix(path.Clean(target), "/")})
	})
	return rs, err
}

func (b *workbook) readSheets(name string, links relations) error {
	byID, listed := map[string]string{}, map[string]bool{}
	for _, l := range links {
		if l.kind == "worksheet" {
			byID[l.id] = l.part
		}
	}
	return b.each(name, func(_ string, tag xml.StartElement) {
		switch tag.Name.Local {
		case "workbookPr":
			v := attr(tag, "date1904")
			b.since04 = v == "1" || v == "true"
		case "sheet":
			part := byID[attr(tag, "id")]
			if part == "" || listed[part] { // a sheet of charts; a part is read once only
				return
			}
			listed[part] = true
			b.sheets = append(b.sheets, worksheet{attr(tag, "name"), part, strings.Contains(strings.ToLower(attr(tag, "state")), "hidden")})
		}
	})
}

func (b *workbook) readFormats(name string) error {
	codes := map[int]string{}
	return b.each(name, func(around string, tag xml.StartElement) {
		switch {
		case around == "numFmts" && tag.Name.Local == "numFmt" && len(codes) < maxListed:
			code := attr(tag, "formatCode")
			if id, err := strconv.Atoi(attr(tag, "numFmtId")); err == nil && len(code) <= maxCode {
				codes[id] = code
			}
		case around == "cellXfs" && tag.Name.Local == "xf" && len(b.formats) < maxListed:
			id, err := strconv.Atoi(attr(tag, "numFmtId"))
			if err != nil {
				id = 0 // the general format, as for a cell without style
			}
			code, own := codes[id]
			if !own {
				b.formats = append(b.formats, builtinFormat(id))
				return
			}
			b.formats = append(b.formats, formatOf(code))
		}
	})
}

// readShared reads the texts that cells name by number.
func (b *workbook) readShared(name string) error {
	p, err := b.open(name)
	if err != nil {
		return err
	}
	used := 0
	for {
		token, err := p.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if tag, ok := token.(xml.StartElement); ok && err == nil && tag.Name.Local == "si" {
			var s string
			s, err = p.text()
			b.shared = append(b.shared, s)
			used += len(s) + 16 // of the string itself
		}
		if used > maxShared {
			err = errMuchText
		}
		if err != nil {
			return p.fail(name, err)
		}
	}
	return p.close(name)
}
