package server

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// pageFaults are what a page breaks of the rules for every page: nothing
// inline, which the content security policy would refuse; one h1; every control
// with a label; every id once; what refers to an id finds it.
func pageFaults(body string) []string {
	doc, err := html.Parse(strings.NewReader(body))
	if err != nil {
		return []string{err.Error()}
	}
	p := pageCheck{ids: map[string]int{}, labels: map[string]bool{}}
	p.collect(doc)
	p.walk(doc, false)
	if p.h1 != 1 {
		p.add("%d h1", p.h1)
	}
	for id, n := range p.ids {
		if n > 1 {
			p.add("id %s %d times", id, n)
		}
	}
	return p.faults
}

type pageCheck struct {
	ids    map[string]int
	labels map[string]bool
	h1     int
	faults []string
}

func (p *pageCheck) add(format string, args ...any) {
	p.faults = append(p.faults, fmt.Sprintf(format, args...))
}

func (p *pageCheck) collect(n *html.Node) {
	if id := attr(n, "id"); id != "" {
		p.ids[id]++
	}
	if n.Data == "label" {
		p.labels[attr(n, "for")] = true
	}
	for c := range n.ChildNodes() {
		p.collect(c)
	}
}

func (p *pageCheck) walk(n *html.Node, inLabel bool) {
	if n.Type == html.ElementNode {
		p.element(n, inLabel)
		inLabel = inLabel || n.Data == "label"
	}
	for c := range n.ChildNodes() {
		p.walk(c, inLabel)
	}
}

func (p *pageCheck) element(n *html.Node, inLabel bool) {
	for _, a := range n.Attr {
		switch {
		case a.Key == "style", strings.HasPrefix(a.Key, "on"), strings.HasPrefix(strings.TrimSpace(a.Val), "javascript:"):
			p.add("inline: %s %s=%q", n.Data, a.Key, a.Val)
		case a.Key == "aria-describedby", a.Key == "aria-labelledby", a.Key == "for":
			p.refers(n, a)
		case a.Key == "href" && strings.HasPrefix(a.Val, "#") && p.ids[a.Val[1:]] == 0:
			p.add("%s leads nowhere", a.Val)
		}
	}
	switch n.Data {
	case "style":
		p.add("inline style")
	case "script":
		if attr(n, "src") == "" {
			p.add("inline script")
		}
	case "h1":
		p.h1++
	case "input", "select", "textarea":
		free := inLabel || p.labels[attr(n, "id")] || attr(n, "aria-label") != "" || attr(n, "type") == "hidden" || has(n, "hidden")
		if !free {
			p.add("no label for %s %s", n.Data, attr(n, "name"))
		}
	}
}

func (p *pageCheck) refers(n *html.Node, a html.Attribute) {
	for _, id := range strings.Fields(a.Val) {
		if p.ids[id] == 0 {
			p.add("%s %s refers to %s, which is not there", n.Data, a.Key, id)
		}
	}
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

// The check itself must see what it is for.
func TestPageFaults(t *testing.T) {
	whole := `<h1>A</h1><label for="f-a">A</label><input id="f-a" aria-describedby="f-a-hint"><p id="f-a-hint"></p><a href="#f-a">a</a>`
	tests := []struct{ name, body, want string }{
		{"whole", whole, ""},
		{"style attribute", whole + `<p style="color:red">`, "inline"},
		{"handler", whole + `<p onclick="x()">`, "inline"},
		{"script", whole + `<script>x()</script>`, "inline script"},
		{"script address", whole + `<a href="javascript:x()">x</a>`, "inline"},
		{"two titles", whole + `<h1>B</h1>`, "2 h1"},
		{"no label", whole + `<input name="b">`, "no label for input b"},
		{"id twice", whole + `<p id="f-a">`, "id f-a 2 times"},
		{"dead reference", whole + `<p aria-describedby="gone">`, "gone"},
		{"dead anchor", whole + `<a href="#gone">x</a>`, "leads nowhere"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := strings.Join(pageFaults(tt.body), "; ")
			if tt.want == "" {
				require.Empty(t, got)
				return
			}
			require.Contains(t, got, tt.want)
		})
	}
}
