package server

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// form is what a person typed, kept as text so that it comes back unchanged
// when something is wrong. Reading a field notes what cannot be read as a
// fault at that field; names of fields are those of models' faults.
type form struct {
	values url.Values
	Faults models.Faults
}

// typed is the form that was sent.
func typed(c *gin.Context) (*form, error) {
	if err := c.Request.ParseForm(); err != nil {
		return nil, unparsed(err)
	}
	return &form{values: c.Request.PostForm}, nil
}

// unparsed keeps the cap on the body apart from what is no form.
func unparsed(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return fmt.Errorf("%w: %w", errUnparsed, err)
}

// blank is an empty form to fill from a record.
func blank() *form { return &form{values: url.Values{}} }

func (f *form) set(name, value string) { f.values.Set(name, value) }

func (f *form) setNumber(name string, v *float64) {
	if v != nil {
		f.set(name, strconv.FormatFloat(*v, 'g', -1, 64))
	}
}

func (f *form) setWhole(name string, v *int) {
	if v != nil {
		f.set(name, strconv.Itoa(*v))
	}
}

func (f *form) setYesNo(name string, v *bool) {
	switch {
	case v == nil:
	case *v:
		f.set(name, "yes")
	default:
		f.set(name, "no")
	}
}

// text is one line or more, without blanks around it.
func (f *form) text(name string) string { return strings.TrimSpace(f.values.Get(name)) }

// raw is text exactly as typed, for passwords.
func (f *form) raw(name string) string { return f.values.Get(name) }

func (f *form) id(name string) models.ID { return models.ID(f.text(name)) }

func (f *form) ids(name string) []models.ID {
	var out []models.ID
	for _, v := range f.values[name] {
		if v != "" {
			out = append(out, models.ID(v))
		}
	}
	return out
}

// has tells whether a box was ticked.
func (f *form) has(name string) bool { return f.values.Get(name) == "yes" }

// yesNo is nil where the answer is "not recorded".
func (f *form) yesNo(name string) *bool {
	switch f.text(name) {
	case "yes":
		return new(true)
	case "no":
		return new(false)
	}
	return nil
}

// date is a calendar day, "" where nothing was typed.
func (f *form) date(name string) models.Date {
	s := f.text(name)
	if s == "" {
		return ""
	}
	d, err := models.ParseDate(s)
	if err != nil {
		f.Faults.Add(name, "%s", err)
	}
	return d
}

// number is nil where nothing was typed.
func (f *form) number(name string) *float64 {
	s := f.text(name)
	if s == "" {
		return nil
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		f.Faults.Add(name, "%q is not a number: write it as 12.5", s)
		return nil
	}
	return &v
}

// whole is nil where nothing was typed.
func (f *form) whole(name string) *int {
	s := f.text(name)
	if s == "" {
		return nil
	}
	v, err := strconv.Atoi(s)
	if err != nil {
		f.Faults.Add(name, "%q is not a whole number", s)
		return nil
	}
	return &v
}

// version is the version of the record that the form was made from.
func (f *form) version() int {
	v, err := strconv.Atoi(f.text("version"))
	if err != nil {
		return 0
	}
	return v
}

// check is every fault at once: what could not be read, and what of the record
// breaks a rule, except where that only follows from the former.
func (f *form) check(broken error) error {
	all := append(models.Faults{}, f.Faults...)
	var known *models.Error
	switch {
	case broken == nil:
	case errors.As(broken, &known) && known.Kind == models.Invalid:
		for _, fault := range known.Faults {
			if f.fault(fault.Field) == "" {
				all = append(all, fault)
			}
		}
	default:
		return broken
	}
	return all.Err()
}

// fault is what is wrong with a field, "" nothing.
func (f *form) fault(name string) string {
	for _, fault := range f.Faults {
		if fault.Field == name {
			return fault.Msg
		}
	}
	return ""
}

// param is an ID from the address.
func param(c *gin.Context, name string) models.ID { return models.ID(c.Param(name)) }
