package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"reflect"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// faultsMost is how many faults of one body are told, nameMost how much of a
// field's name.
const (
	faultsMost = 100
	nameMost   = 60
)

// readJSON reads one JSON object. Whatever is no field, stands twice or is of
// another kind is refused, all of it at once and each at its field, so that
// nothing that was sent is silently dropped. null is the same as left out.
func readJSON(c *gin.Context, into any) error {
	if kind, _, err := mime.ParseMediaType(c.GetHeader("Content-Type")); err != nil || kind != "application/json" {
		return errMedia
	}
	body, err := io.ReadAll(c.Request.Body)
	if err != nil {
		return unparsed(err)
	}
	var syntax *json.SyntaxError
	if err := json.Unmarshal(body, new(json.RawMessage)); errors.As(err, &syntax) {
		return &models.Error{Kind: models.Invalid, Err: err, Msg: fmt.Sprintf("The body is not JSON: byte %d: %s.", syntax.Offset, syntax)}
	}
	var r jsonReader
	if r.value("", body, reflect.TypeOf(into).Elem()); len(r.faults) > 0 {
		return r.faults.Err()
	}
	return json.Unmarshal(body, into)
}

// jsonReader notes what of a body does not fit the type it is read into.
type jsonReader struct{ faults models.Faults }

var (
	dateType = reflect.TypeFor[models.Date]()
	timeType = reflect.TypeFor[time.Time]()
)

func (r *jsonReader) value(path string, raw json.RawMessage, t reflect.Type) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	raw = bytes.TrimSpace(raw)
	record := t.Kind() == reflect.Struct && t != timeType
	switch {
	case string(raw) == "null" && path != "":
	case record && raw[0] == '{':
		r.object(path, raw, jsonFields(t))
	case t.Kind() == reflect.Slice && raw[0] == '[':
		r.list(path, raw, t.Elem())
	case record || !fits(raw, t):
		r.fault(path, "expects "+wanted(t))
	}
}

// object checks each field by its exact name, in the order in which they stand.
func (r *jsonReader) object(path string, raw json.RawMessage, fields map[string]reflect.Type) {
	d, seen := json.NewDecoder(bytes.NewReader(raw)), map[string]bool{}
	_, err := d.Token() // the brace
	for err == nil && d.More() && len(r.faults) < faultsMost {
		var token json.Token
		var value json.RawMessage
		if token, err = d.Token(); err != nil {
			return
		}
		err = d.Decode(&value)
		name, _ := token.(string)
		of, known := fields[name]
		at := strings.TrimPrefix(path+"."+name, ".")
		switch {
		case !known:
			r.fault(at, "is no field of this")
		case seen[name]:
			r.fault(at, "stands twice")
		default:
			r.value(at, value, of)
		}
		seen[name] = true
	}
}

func (r *jsonReader) list(path string, raw json.RawMessage, of reflect.Type) {
	var items []json.RawMessage
	if err := json.Unmarshal(raw, &items); err != nil {
		r.fault(path, "expects a list")
	}
	for i, item := range items {
		if len(r.faults) < faultsMost {
			r.value(fmt.Sprintf("%s[%d]", path, i), item, of)
		}
	}
}

func (r *jsonReader) fault(path, msg string) {
	if path == "" {
		path = "body"
	}
	if len(path) > nameMost {
		path = strings.ToValidUTF8(path[:nameMost], "") + "…"
	}
	r.faults.Add(path, "%s", msg)
}

// jsonFields are the fields of a struct of the API by their names.
func jsonFields(t reflect.Type) map[string]reflect.Type {
	out := map[string]reflect.Type{}
	for _, f := range reflect.VisibleFields(t) {
		if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" && name != "-" {
			out[name] = f.Type
		}
	}
	return out
}

// fits tells whether a plain value can be read.
func fits(raw json.RawMessage, t reflect.Type) bool {
	to := reflect.New(t)
	if string(raw) == "null" || json.Unmarshal(raw, to.Interface()) != nil {
		return false
	}
	if t != dateType {
		return true
	}
	_, err := models.ParseDate(to.Elem().String())
	return err == nil
}

// wanted says what a field takes.
func wanted(t reflect.Type) string {
	switch {
	case t == dateType:
		return "a day, as 2026-11-25"
	case t == timeType:
		return "an instant, as 2026-11-25T10:43:00Z"
	}
	switch t.Kind() {
	case reflect.Struct:
		return "an object"
	case reflect.Slice:
		return "a list"
	case reflect.Bool:
		return "true or false"
	case reflect.Int, reflect.Int64:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	}
	return "text"
}
