package reports

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// node is one element of a picture, read back by the standard library.
type node struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []node     `xml:",any"`
}

func (n node) attr(name string) string {
	for _, a := range n.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// all returns every element of that name, in the order drawn.
func (n node) all(name string) (found []node) {
	for _, c := range n.Children {
		if c.XMLName.Local == name {
			found = append(found, c)
		}
		found = append(found, c.all(name)...)
	}
	return found
}

func (n node) each(do func(node)) {
	do(n)
	for _, c := range n.Children {
		c.each(do)
	}
}

// texts joins everything written in the picture.
func (n node) texts() string {
	var b strings.Builder
	for _, t := range n.all("text") {
		b.WriteString(t.Text + "|")
	}
	return b.String()
}

func drawn(t testing.TB, p Plot) node {
	t.Helper()
	text, err := SVG(p)
	require.NoError(t, err)
	return parsed(t, text)
}

func parsed(t testing.TB, text []byte) node {
	t.Helper()
	var root node
	d := xml.NewDecoder(bytes.NewReader(text))
	require.NoError(t, d.Decode(&root), "%s", text)
	_, err := d.Token()
	require.True(t, errors.Is(err, io.EOF), "nothing after the picture")
	return root
}

// eachPlot runs do on every picture at the widths a page, a phone and a
// column of a page ask for.
func eachPlot(t *testing.T, do func(t *testing.T, p Plot, root node)) {
	for _, width := range []int{narrowest, Phone, 599, 600, Desk, 1400} {
		for _, n := range everyPlot(t, width) {
			t.Run(n.name+" at "+strconv.Itoa(width), func(t *testing.T) { do(t, n.plot, drawn(t, n.plot)) })
		}
	}
}

// A strict content security policy drops style attributes and elements, and a
// page in dark colors drops nothing: so neither may be there, nor fixed colors.
func TestSVGNamesClassesOnly(t *testing.T) {
	css, err := os.ReadFile("../web/static/chart.css")
	require.NoError(t, err)
	elements := []string{"svg", "g", "a", "title", "desc", "defs", "pattern", "path", "rect", "text"}
	paint := regexp.MustCompile(`^(none|url\(#[\w-]+\))$`)
	eachPlot(t, func(t *testing.T, p Plot, root node) {
		root.each(func(n node) {
			require.Contains(t, elements, n.XMLName.Local)
			for _, a := range n.Attrs {
				require.NotEqual(t, "style", a.Name.Local)
				require.NotRegexp(t, `^on`, a.Name.Local)
				if a.Name.Local == "fill" || a.Name.Local == "stroke" {
					require.Regexp(t, paint, a.Value)
				}
			}
			for class := range strings.FieldsSeq(n.attr("class")) {
				require.Contains(t, string(css), "."+class, "web/static/chart.css colors it")
			}
		})
	})
}

func TestSVGIsNamed(t *testing.T) {
	eachPlot(t, func(t *testing.T, p Plot, root node) {
		f := p.frame()
		require.Equal(t, "title", root.Children[0].XMLName.Local)
		require.Equal(t, f.Title, root.Children[0].Text)
		require.NotEmpty(t, root.attr("viewBox"))
		require.Equal(t, strconv.Itoa(f.width()), root.attr("width"))
		if f.ID == "" {
			require.Equal(t, f.Title, root.attr("aria-label"))
			return
		}
		require.Equal(t, root.Children[0].attr("id"), root.attr("aria-labelledby"))
		require.Equal(t, f.Desc, root.Children[1].Text)
		require.Equal(t, root.Children[1].attr("id"), root.attr("aria-describedby"))
	})
}

func TestSVGIdsAreItsOwn(t *testing.T) {
	eachPlot(t, func(t *testing.T, p Plot, root node) {
		ids := map[string]bool{}
		root.each(func(n node) {
			if id := n.attr("id"); id != "" {
				require.False(t, ids[id], "%s twice", id)
				require.True(t, strings.HasPrefix(id, p.frame().ID+"-"), id)
				ids[id] = true
			}
		})
		root.each(func(n node) {
			if ref, ok := strings.CutPrefix(n.attr("fill"), "url(#"); ok {
				require.True(t, ids[strings.TrimSuffix(ref, ")")], ref)
			}
		})
	})
}

// A reader must see every letter: no text leaves the picture, at any width.
func TestTextStaysInside(t *testing.T) {
	eachPlot(t, func(t *testing.T, p Plot, root node) {
		box := strings.Fields(root.attr("viewBox"))
		right, bottom := float(t, box[2]), float(t, box[3])
		for _, n := range root.all("text") {
			size := float(t, n.attr("font-size"))
			w, _ := roman().width(n.Text, size)
			x, y := float(t, n.attr("x")), float(t, n.attr("y"))
			require.GreaterOrEqual(t, x, 0.0, n.Text)
			require.LessOrEqual(t, x+w, right+1, n.Text)
			require.GreaterOrEqual(t, y-capitalHeight*size, -1.0, n.Text)
			require.LessOrEqual(t, y+0.2*size, bottom+1, n.Text)
			require.GreaterOrEqual(t, size, 12.0, "letters on a phone")
		}
	})
}

func float(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err, text)
	return v
}

func TestTextIsEscaped(t *testing.T) {
	for _, width := range []int{Phone, Desk} {
		c := someRoom(t, Frame{ID: "x", Title: nasty, Desc: nasty, Width: width})
		c.Covers[0].Note = "a\x00b\x0cc" // no letters of XML
		text, err := SVG(c)
		require.NoError(t, err)
		require.NotContains(t, string(text), "<script")
		root := parsed(t, text)
		require.Equal(t, nasty, root.Children[0].Text)
		require.Equal(t, nasty, root.Children[1].Text)
		require.Equal(t, nasty+": must, 20 Jan 2026", root.all("a")[0].all("desc")[0].Text)
	}
}

func TestLinks(t *testing.T) {
	for _, width := range []int{Phone, Desk} {
		strips := drawn(t, someStrips(t, frameOf("s", width)))
		room := drawn(t, someRoom(t, frameOf("r", width)))
		require.Equal(t, "group", strips.attr("role"), "an image would hide its links")
		require.Equal(t, "img", drawn(t, ShareTrend{frameOf("q", width), someQuarters()}).attr("role"))
		require.Equal(t, []string{"/due?room=1&all=1", "/due?room=2", "/due?room=4"}, hrefs(strips))
		require.Equal(t, []string{"/covers/1", "/covers/2", "/covers/4", "/covers/5", "/covers/6"}, hrefs(room))
		require.Equal(t, nasty+": 4 due, first on 1 Dec 2025: 1 must, 1 first look, 2 worth opening", strips.all("a")[0].all("desc")[0].Text)
		require.Equal(t, "Empty: nothing due", strips.all("a")[2].all("desc")[0].Text)
		for _, a := range append(strips.all("a"), room.all("a")...) {
			hit := a.Children[0]
			require.Equal(t, "hit", hit.attr("class"))
			require.GreaterOrEqual(t, float(t, hit.attr("height")), 44.0, "a finger's target")
		}
	}
}

func hrefs(n node) (all []string) {
	for _, a := range n.all("a") {
		all = append(all, a.attr("href"))
	}
	return all
}

// Nothing is shared between pictures: drawn side by side each comes out as
// drawn alone. Run with -race.
func TestDrawnSideBySide(t *testing.T) {
	plots := everyPlot(t, Phone)
	alone := make([][]byte, len(plots))
	for i, n := range plots {
		text, err := SVG(n.plot)
		require.NoError(t, err)
		alone[i] = text
	}
	var all sync.WaitGroup
	together := make([][]byte, 4*len(plots))
	for i := range together {
		all.Go(func() { together[i], _ = SVG(plots[i%len(plots)].plot) })
	}
	all.Go(func() { _, _ = PNG(plots[0].plot) })
	all.Go(func() { _, _ = PNG(plots[0].plot) })
	all.Wait()
	for i, text := range together {
		require.Equal(t, string(alone[i%len(plots)]), string(text))
	}
}

func TestPNG(t *testing.T) {
	for _, n := range everyPlot(t, Phone) {
		t.Run(n.name, func(t *testing.T) {
			b, err := PNG(n.plot)
			require.NoError(t, err)
			img, err := png.Decode(bytes.NewReader(b))
			require.NoError(t, err)
			require.Equal(t, 2*n.plot.frame().width(), img.Bounds().Dx())
			r, g, bl, a := img.At(0, img.Bounds().Dy()/2).RGBA()
			require.NotZero(t, a, "white, not clear")
			marked := false
			for y := range img.Bounds().Dy() {
				for x := range img.Bounds().Dx() {
					r2, g2, b2, _ := img.At(x, y).RGBA()
					marked = marked || r2 != r || g2 != g || b2 != bl
				}
			}
			require.True(t, marked, "something is drawn")
		})
	}
}

func TestPNGRefusesTheEndless(t *testing.T) {
	c := manyRooms(t, 500)
	_, err := PNG(c)
	require.ErrorContains(t, err, "too tall")
}
