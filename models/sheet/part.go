package sheet

import (
	"bufio"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf16"
)

var (
	errLongToken = errors.New("text or tag too long")
	errDeep      = errors.New("tags nested too deep")
	errMuchText  = errors.New("too much text")
)

// part is one XML part of a workbook, read tag by tag.
type part struct {
	*xml.Decoder
	meter *meter
	depth int
	file  io.Closer
}

// open opens a part for reading.
func (a *archive) open(name string) (*part, error) {
	f := a.parts[strings.ToLower(name)]
	if f == nil {
		return nil, broken("the workbook has no part %q; save it again as XLSX", name)
	}
	r, err := f.Open()
	if err != nil {
		return nil, damaged(name, err)
	}
	m := &meter{Reader: bufio.NewReader(r)}
	return &part{Decoder: xml.NewDecoder(m), meter: m, file: r}, nil
}

// next gives the next tag or text, valid until the one after it; io.EOF at the end.
func (p *part) next() (xml.Token, error) {
	p.meter.used = 0
	token, err := p.Token()
	switch token.(type) {
	case xml.StartElement:
		p.depth++
	case xml.EndElement:
		p.depth--
	}
	if p.depth > maxDepth {
		return nil, errDeep
	}
	return token, err
}

// close reads to the end, so that the checksum is looked at, and closes.
func (p *part) close(name string) error {
	if _, err := io.Copy(io.Discard, p.meter.Reader); err != nil {
		return p.fail(name, err)
	}
	return p.file.Close()
}

// fail closes a part that cannot be read on and says why.
func (p *part) fail(name string, err error) error {
	_ = p.file.Close() // only read from
	return damaged(name, err)
}

// each goes through the tags of a part that is read whole, with the path of
// the tag around each one.
func (a *archive) each(name string, visit func(around string, tag xml.StartElement)) error {
	p, err := a.open(name)
	if err != nil {
		return err
	}
	path := []string{""}
	for {
		token, err := p.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return p.fail(name, err)
		}
		switch tag := token.(type) {
		case xml.StartElement:
			visit(path[len(path)-1], tag)
			path = append(path, tag.Name.Local)
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
	return p.close(name)
}

// text collects the text of an element with rich text, <si> or <is>, to its
// end: all <t>, without the reading aids <rPh>.
func (p *part) text() (string, error) {
	var s, t strings.Builder
	aid, inside := 0, false
	for depth := p.depth; p.depth >= depth; {
		token, err := p.next()
		if err != nil {
			return "", err
		}
		switch x := token.(type) {
		case xml.StartElement:
			inside = x.Name.Local == "t"
			if x.Name.Local == "rPh" {
				aid++
			}
		case xml.EndElement:
			inside = false
			if x.Name.Local == "rPh" {
				aid--
			}
			s.WriteString(unescape(t.String()))
			t.Reset()
		case xml.CharData:
			if inside && aid == 0 {
				t.Write(x)
			}
		}
		if s.Len()+t.Len() > maxToken {
			return "", errLongToken
		}
	}
	return s.String(), nil
}

// damaged says why a part cannot be read: because of its content, unless the
// reader below failed.
func damaged(name string, err error) error {
	if _, ok := errors.AsType[*readError](err); ok {
		return err
	}
	if errors.Is(err, errLongToken) || errors.Is(err, errDeep) || errors.Is(err, errMuchText) {
		return broken("the part %q of the workbook is not that of a table (%v); save the sheet as CSV", name, err)
	}
	return broken("the part %q of the workbook is damaged; save it again as XLSX and send it again", name)
}

// attr gives an attribute, "" where there is none.
func attr(tag xml.StartElement, name string) string {
	for _, a := range tag.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// meter counts the bytes of one tag or text, which the decoder would otherwise
// collect without end. The decoder reads byte by byte where it can.
type meter struct {
	*bufio.Reader
	used int
}

func (m *meter) ReadByte() (byte, error) {
	if m.used++; m.used > maxToken {
		return 0, errLongToken
	}
	return m.Reader.ReadByte()
}

// unescape undoes the _xHHHH_ of ECMA-376 part 1, 22.9.2.19 (ST_Xstring).
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped.ReplaceAllStringFunc(s, func(e string) string {
		c, err := strconv.ParseUint(e[2:6], 16, 16)
		if err != nil || utf16.IsSurrogate(rune(c)) {
			return e
		}
		return string(rune(c))
	})
}
