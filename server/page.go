package server

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/web"
)

// shell is what every page has. A page's struct embeds it and adds its own.
type shell struct {
	Title  string
	At     string // path of the navigation entry that the page belongs to
	Gloves bool   // large targets, for work on site
	Form   *form  // nil: the page has none
	Retype bool   // its password does not come back when something is wrong
	Wrong  string // what kept the form from being saved, "" nothing

	// filled in by show
	Actor    models.Actor
	Nav      []navItem
	Demo     bool
	Insecure bool
	Said     string // what was just done
	Shown    time.Time

	asked []field // the fields laid out so far
}

// page is a struct that embeds shell.
type page interface{ frame() *shell }

func (sh *shell) frame() *shell { return sh }

// titled begins a page: its title and the navigation entry it belongs to.
func titled(title, at string) shell { return shell{Title: title, At: at} }

// retyped is a page with a password on it.
func (sh shell) retyped() shell { sh.Retype = true; return sh }

// Field is one field of the page's form, for a template to lay out.
func (sh *shell) Field(name, label string) field {
	f := field{Name: name, Label: label, kind: "text"}
	if sh.Form != nil {
		f.values, f.Fault = sh.Form.values[name], sh.Form.fault(name)
	}
	sh.asked = append(sh.asked, f)
	return f
}

// pages are the templates by name, each with the layout and all parts.
type pages map[string]*template.Template

func loadPages(st static) (pages, error) {
	files := web.Templates()
	common, err := template.New("").Funcs(funcs(st)).ParseFS(files, "layout.html", "part/*.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(files, "*.html")
	if err != nil {
		return nil, err
	}
	out := pages{}
	for _, name := range names {
		if name == "layout.html" {
			continue
		}
		own, err := template.Must(common.Clone()).ParseFS(files, name)
		if err != nil {
			return nil, err
		}
		if own.Lookup("main") == nil {
			return nil, fmt.Errorf("%s defines no main", name)
		}
		out[strings.TrimSuffix(name, path.Ext(name))] = own
	}
	return out, nil
}

// show sends a page.
func (s *Server) show(c *gin.Context, name string, p page) error {
	return s.showStatus(c, http.StatusOK, name, p)
}

// showStatus renders a page to memory and then sends it, so that a page is
// there whole or not at all.
func (s *Server) showStatus(c *gin.Context, status int, name string, p page) error {
	t, ok := s.pages[name]
	if !ok {
		return fmt.Errorf("no page %q", name)
	}
	s.dress(c, p.frame())
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "layout", p); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	if p.frame().sortFaults() { // the summary stands above the fields that it names
		b.Reset()
		if err := t.ExecuteTemplate(&b, "layout", p); err != nil {
			return fmt.Errorf("page %s: %w", name, err)
		}
	}
	return s.send(c, status, "text/html; charset=utf-8", b.Bytes())
}

// dress fills in what the page has from the request.
func (s *Server) dress(c *gin.Context, sh *shell) {
	units := sh.Actor.Units // a page may keep to the units in which something was typed
	sh.Actor = actor(c)
	if units != "" {
		sh.Actor.Units = units
	}
	if sh.Actor.ID != models.None {
		sh.Nav = navFor(sh.Actor.Role, sh.At, s.recordsWait(c))
	}
	sh.Demo, sh.Shown = s.config.Demo, s.register.Now()
	sh.Insecure = !s.config.Secure && !loopback(c)
	sh.Said = s.sessions.PopString(c.Request.Context(), saidKey)
}

// recordsWait tells whether a late record waits for the person. A page is shown
// whether or not that can be found out.
func (s *Server) recordsWait(c *gin.Context) bool {
	n, err := s.register.HeldCount(c.Request.Context(), actor(c))
	if err != nil {
		s.log.Error("late records", "request", requestID(c), "err", err)
	}
	return n > 0
}

// again sends a form back as it was typed, each fault at its field. What a
// person cannot mend in the form is returned as it came.
func (s *Server) again(c *gin.Context, name string, p page, err error) error {
	var known *models.Error
	if !errors.As(err, &known) {
		return err
	}
	switch known.Kind {
	case models.Internal, models.Missing, models.Denied:
		return err
	}
	sh := p.frame()
	if sh.Form == nil {
		sh.Form = &form{}
	}
	sh.Form.Faults = known.Faults
	sh.Wrong = known.Msg
	s.logFailure(c, statuses[known.Kind], err)
	return s.showStatus(c, statuses[known.Kind], name, p)
}
