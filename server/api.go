package server

import (
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/web"
)

// api is where the JSON API begins.
const api = "/api/v1/"

// showOpenAPI sends the description of the API (OpenAPI 3.1).
func (s *Server) showOpenAPI(c *gin.Context) error {
	return s.send(c, http.StatusOK, "application/json", web.OpenAPI())
}

// kept is what the service sets on a record that can be edited. It may be sent
// back as it came, and changes nothing.
type kept struct {
	ID      models.ID `json:"id,omitempty"`
	Version int       `json:"version,omitempty"`
}

// check refuses another ID or version than the request is about.
func (k kept) check(id models.ID, version int) error {
	var f models.Faults
	if k.ID != models.None && k.ID != id {
		f.Add("id", "is set by the service")
	}
	if k.Version != 0 && k.Version != version {
		f.Add("version", "is set by the service: an edit says in If-Match which version it changes")
	}
	return f.Err()
}

// etag is the version of a record as RFC 9110 has it.
func etag(version int) string { return `"` + strconv.Itoa(version) + `"` }

// notModified answers a reader who has this version already.
func notModified(c *gin.Context, version int) bool {
	c.Header("ETag", etag(version))
	for tag := range strings.SplitSeq(c.GetHeader("If-None-Match"), ",") {
		if tag = strings.TrimPrefix(strings.TrimSpace(tag), "W/"); tag == etag(version) || tag == "*" {
			c.Status(http.StatusNotModified)
			c.Writer.WriteHeaderNow()
			return true
		}
	}
	return false
}

// ifMatch is the version that an edit says it changes; without one the edit is
// refused with 428.
func ifMatch(c *gin.Context) (int, error) {
	tag := c.GetHeader("If-Match")
	version, err := strconv.Atoi(strings.Trim(tag, `"`))
	switch {
	case tag == "":
		return 0, models.Errorf(models.NeedsVersion, "Send the version you are changing as If-Match.")
	case err != nil || etag(version) != tag || version < 0:
		return 0, models.Errorf(models.Stale, "If-Match %s is no version of this record.", tag)
	}
	return version, nil
}

// edit reads a record that changes the one at the address: the version that it
// follows, and the body.
func edit(c *gin.Context, sent any, k *kept) (version int, err error) {
	if version, err = ifMatch(c); err != nil {
		return 0, err
	}
	if version == 0 {
		return 0, models.Errorf(models.Stale, "A record that is there has version 1 at least.")
	}
	if err := readJSON(c, sent); err != nil {
		return 0, err
	}
	return version, k.check(param(c, "id"), version)
}

// add reads a record that is to be new.
func add(c *gin.Context, sent any, k *kept) error {
	if err := readJSON(c, sent); err != nil {
		return err
	}
	return k.check(models.None, 0)
}

// ownID is the UUID that a record was given where it was begun, sent as
// Idempotency-Key, so that sending it twice stores it once.
func ownID(c *gin.Context, noun string) (models.ID, error) {
	if id := models.ID(c.GetHeader("Idempotency-Key")); id != models.None {
		return id, nil
	}
	return models.None, faultAt("Idempotency-Key", "Send the "+noun+"’s own UUID in this header, so that sending twice stores once.")
}

// created answers that something was made, and where it is.
func (s *Server) created(c *gin.Context, path string, value any) error {
	c.Header("Location", api+path)
	return s.answer(c, http.StatusCreated, value)
}

// limited is how many rows a list is asked for.
func limited(c *gin.Context, usual, most int) (int, error) {
	n, err := strconv.Atoi(c.DefaultQuery("limit", strconv.Itoa(usual)))
	if err != nil || n < 1 || n > most {
		return 0, faultAt("limit", fmt.Sprintf("a whole number from 1 to %d", most))
	}
	return n, nil
}

// oneOf refuses a filter by a word that does not exist.
func oneOf(f *form, name string, words models.Vocabulary) {
	words.Check(&f.Faults, name, f.text(name))
}

var (
	readingFault = regexp.MustCompile(`^reading_(\d+)_(\w+)$`)
	placeFault   = regexp.MustCompile(`^(found|left)_(\w+)$`)
)

// named gives the faults of a record the names that its fields have in the API.
func named(err error, names map[string]string) error {
	var known *models.Error
	if !errors.As(err, &known) || len(known.Faults) == 0 {
		return err
	}
	out := *known
	out.Faults = slices.Clone(known.Faults)
	for i := range out.Faults {
		f := &out.Faults[i].Field
		if name, ok := names[*f]; ok {
			*f = name
		} else if m := readingFault.FindStringSubmatch(*f); m != nil {
			n, _ := strconv.Atoi(m[1])
			*f = fmt.Sprintf("readings[%d].%s", n-1, m[2])
		} else {
			*f = placeFault.ReplaceAllString(*f, "places.$2.$1")
		}
	}
	return &out
}

// version answers with a record and its version, or that it is as it was.
func (s *Server) version(c *gin.Context, version int, value any) error {
	if notModified(c, version) {
		return nil
	}
	return s.answer(c, http.StatusOK, value)
}

// added answers with a record that is new.
func (s *Server) added(c *gin.Context, noun string, id models.ID, version int, value any) error {
	c.Header("ETag", etag(version))
	return s.created(c, noun+"/"+string(id), value)
}

// saved answers with a record that was changed.
func (s *Server) saved(c *gin.Context, version int, value any) error {
	c.Header("ETag", etag(version))
	return s.answer(c, http.StatusOK, value)
}

// each is a list in the API's shape, empty rather than null.
func each[A, B any](list []A, as func(A) B) []B {
	out := make([]B, len(list))
	for i, x := range list {
		out[i] = as(x)
	}
	return out
}

// instant is nil for the zero time.
func instant(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = t.UTC()
	return &t
}
