package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/web"
)

// showOpenAPI sends the description of the API (OpenAPI 3.1).
func (s *Server) showOpenAPI(c *gin.Context) error {
	return s.send(c, http.StatusOK, "application/json", web.OpenAPI())
}

// readJSON reads one JSON value and nothing else; a field that is not known is
// refused, so that nothing that was sent is silently dropped.
func readJSON(c *gin.Context, into any) error {
	d := json.NewDecoder(c.Request.Body)
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil && d.Decode(new(json.RawMessage)) != io.EOF {
		err = errors.New("there is more than one value")
	}
	var large *http.MaxBytesError
	var wrong *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &large):
		return err
	case errors.As(err, &wrong):
		return faultAt(wrong.Field, fmt.Sprintf("expects %s, not %s", wrong.Type, wrong.Value))
	}
	return &models.Error{Kind: models.Invalid, Msg: "The body is not the JSON this expects: " + strings.TrimPrefix(err.Error(), "json: ") + ".", Err: err}
}

// etag is the version of a record as RFC 9110 has it.
func etag(version int) string { return `"` + strconv.Itoa(version) + `"` }

// notModified answers a reader who has this version already.
func notModified(c *gin.Context, version int) bool {
	c.Header("ETag", etag(version))
	if c.GetHeader("If-None-Match") != etag(version) {
		return false
	}
	c.Status(http.StatusNotModified)
	c.Writer.WriteHeaderNow()
	return true
}

// ifMatch is the version that an edit says it changes; without one the edit is
// refused with 428.
func ifMatch(c *gin.Context) (int, error) {
	tag := c.GetHeader("If-Match")
	version, err := strconv.Atoi(strings.Trim(tag, `"`))
	switch {
	case tag == "":
		return 0, models.Errorf(models.NeedsVersion, "Send the version you are changing as If-Match.")
	case err != nil || version < 1:
		return 0, models.Errorf(models.Stale, "If-Match %s is no version of this record.", tag)
	}
	return version, nil
}
