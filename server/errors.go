package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// statuses gives each kind of error its HTTP status.
var statuses = map[models.Kind]int{
	models.Internal:     http.StatusInternalServerError,
	models.Invalid:      http.StatusUnprocessableEntity,
	models.Missing:      http.StatusNotFound,
	models.Conflict:     http.StatusConflict,
	models.Stale:        http.StatusPreconditionFailed,
	models.NeedsVersion: http.StatusPreconditionRequired,
	models.SignIn:       http.StatusUnauthorized,
	models.Denied:       http.StatusForbidden,
	models.TooMany:      http.StatusTooManyRequests,
	models.Busy:         http.StatusServiceUnavailable,
	models.Full:         http.StatusInsufficientStorage,
}

// titles name each status in words on a page.
var titles = map[int]string{
	http.StatusBadRequest:            "This cannot be read",
	http.StatusUnauthorized:          "Log in first",
	http.StatusForbidden:             "Not allowed",
	http.StatusNotFound:              "Nothing here",
	http.StatusMethodNotAllowed:      "Not done this way",
	http.StatusConflict:              "Already there",
	http.StatusPreconditionFailed:    "Changed meanwhile",
	http.StatusPreconditionRequired:  "Which version?",
	http.StatusRequestEntityTooLarge: "Too large",
	http.StatusUnsupportedMediaType:  "Not this kind of content",
	http.StatusUnprocessableEntity:   "Not saved",
	http.StatusTooManyRequests:       "Too many tries",
	http.StatusInternalServerError:   "Something went wrong here",
	http.StatusServiceUnavailable:    "Busy just now",
	http.StatusInsufficientStorage:   "The disk is full",
}

// retryAfter is when to try again a service that is busy, in seconds.
const retryAfter = "5"

var (
	errMethod   = errors.New("method not allowed")
	errUnparsed = errors.New("request body cannot be read")
	errMedia    = errors.New("content type is not JSON")
)

// fail is the one place where an error becomes a response: a page in words, or
// application/problem+json (RFC 9457) under /api/. A cause goes to the log.
func (s *Server) fail(c *gin.Context, err error) {
	status, msg, faults := told(err)
	s.logFailure(c, status, err)
	switch status {
	case http.StatusServiceUnavailable:
		c.Header("Retry-After", retryAfter)
	case http.StatusTooManyRequests:
		c.Header("Retry-After", "60")
	}
	switch {
	case c.Writer.Written():
		c.Abort() // a half-sent answer cannot become another one
	case strings.HasPrefix(c.Request.URL.Path, "/api/"):
		code, field := codeOf(err)
		s.problem(c, status, msg, faults, code, field)
	case status == http.StatusUnauthorized && c.Request.Method == http.MethodGet:
		c.Redirect(http.StatusSeeOther, "/login?next="+url.QueryEscape(c.Request.URL.RequestURI()))
	default:
		s.errorPage(c, status, msg, faults)
	}
}

// told is what of an error may be shown.
func told(err error) (status int, msg string, faults models.Faults) {
	var known *models.Error
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge, fmt.Sprintf("This is more than the %s that can be taken here.", bytesText(large.Limit)), nil
	case errors.Is(err, errMethod):
		return http.StatusMethodNotAllowed, "This address does not take that kind of request.", nil
	case errors.Is(err, errMedia):
		return http.StatusUnsupportedMediaType, "This takes a JSON object: send it with Content-Type: application/json.", nil
	case errors.Is(err, errUnparsed):
		return http.StatusBadRequest, "What was sent is not a form that can be read. Go back and send it again.", nil
	case errors.Is(err, context.DeadlineExceeded):
		return http.StatusServiceUnavailable, "This took too long and was stopped. Try again in a moment.", nil
	case errors.As(err, &known) && known.Kind != models.Internal:
		return statuses[known.Kind], known.Msg, known.Faults
	}
	return http.StatusInternalServerError, "The record is as it was before. The number below leads the administrator to the cause in the log.", nil
}

func (s *Server) logFailure(c *gin.Context, status int, err error) {
	attrs := []any{"request", requestID(c), "route", c.FullPath(), "status", status, "user", actor(c).ID, "err", err.Error()}
	switch {
	case errors.Is(err, context.Canceled):
		s.log.Debug("gone", attrs...)
	case status >= http.StatusInternalServerError:
		s.log.Error("failed", attrs...)
	case status == http.StatusUnauthorized, status == http.StatusForbidden, status == http.StatusTooManyRequests:
		s.log.Warn("refused", attrs...)
	}
}

type errorPage struct {
	shell
	Status  int
	Msg     string
	List    models.Faults
	Request string
}

func (s *Server) errorPage(c *gin.Context, status int, msg string, faults models.Faults) {
	p := &errorPage{shell: titled(titles[status], ""), Status: status, Msg: msg, List: faults}
	if status >= http.StatusInternalServerError {
		p.Request = requestID(c)
	}
	if err := s.showStatus(c, status, "error", p); err != nil {
		s.log.Error("error page", "request", requestID(c), "err", err)
		c.Data(status, "text/plain; charset=utf-8", []byte(titles[status]))
	}
}

// problem is the body of RFC 9457, with the faults by field and the number
// under which the log holds the request.
type problem struct {
	Type    string         `json:"type"`
	Title   string         `json:"title"`
	Status  int            `json:"status"`
	Detail  string         `json:"detail"`
	Request string         `json:"request"`
	Code    string         `json:"code,omitempty"` // of a question that is not answered
	Field   string         `json:"field,omitempty"`
	Faults  []models.Fault `json:"faults,omitempty"`
}

func (s *Server) problem(c *gin.Context, status int, msg string, faults models.Faults, code, field string) {
	body, err := json.Marshal(problem{Type: "about:blank", Title: http.StatusText(status), Status: status,
		Detail: msg, Request: requestID(c), Code: code, Field: field, Faults: faults})
	if err != nil {
		s.log.Error("problem", "request", requestID(c), "err", err)
	}
	c.Data(status, "application/problem+json", body)
}

// bytesText is a size in words: "1 MB", "18.1 MB".
func bytesText(n int64) string {
	for _, u := range []struct {
		name string
		size int64
	}{{"GB", 1 << 30}, {"MB", 1 << 20}, {"kB", 1 << 10}} {
		if n >= u.size {
			return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(n)/float64(u.size)), ".0") + " " + u.name
		}
	}
	return fmt.Sprintf("%d bytes", n)
}
