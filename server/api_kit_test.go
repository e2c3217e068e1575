package server

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
	"github.com/stretchr/testify/require"

	"drylag/web"
)

// described is the description of the API as it is served, and its routes.
var described = sync.OnceValues(func() (doc *openapi3.T, err error) {
	if doc, err = openapi3.NewLoader().LoadFromData(web.OpenAPI()); err != nil {
		return nil, err
	}
	doc.Servers = nil
	return doc, nil
})

var describedRoutes = sync.OnceValues(func() (routers.Router, error) {
	doc, err := described()
	if err != nil {
		return nil, err
	}
	return gorillamux.NewRouter(doc)
})

// keepsDescription holds one request and its answer to the description. What
// the service takes must be allowed, every answer described, by its own status.
// The client does this for whatever a test sends to the API.
func keepsDescription(t *testing.T, r *http.Request, body string, a answer) {
	t.Helper()
	router, err := describedRoutes()
	require.NoError(t, err)
	r.Body = io.NopCloser(strings.NewReader(body))
	said := fmt.Sprintf("%s %s: %d %s", r.Method, r.URL, a.status, a.body)
	route, params, err := router.FindRoute(r)
	if err != nil {
		refused := []int{http.StatusForbidden, http.StatusNotFound, http.StatusMethodNotAllowed}
		require.Contains(t, refused, a.status, "not described: %s", said)
		return
	}
	options := &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}
	in := &openapi3filter.RequestValidationInput{Request: r, PathParams: params, Route: route, Options: options}
	if a.status < http.StatusBadRequest {
		require.NoError(t, openapi3filter.ValidateRequest(t.Context(), in), "taken though not described: %s", said)
	}
	if a.status < http.StatusInternalServerError {
		require.NotNil(t, route.Operation.Responses.Status(a.status), "a status that is not described: %s", said)
	}
	require.NoError(t, openapi3filter.ValidateResponse(t.Context(), &openapi3filter.ResponseValidationInput{RequestValidationInput: in,
		Status: a.status, Header: a.header, Body: io.NopCloser(bytes.NewBufferString(a.body)), Options: options}), "%s", said)
}

// api sends a request to the JSON API with further headers, by pairs.
func (c *client) api(method, path, body string, header ...string) answer {
	c.w.t.Helper()
	c.header = http.Header{"Sec-Fetch-Site": {"same-origin"}}
	for i := 0; i < len(header); i += 2 {
		c.header.Set(header[i], header[i+1])
	}
	kind := ""
	if body != "" {
		kind = "application/json"
	}
	return c.send(method, path, kind, body)
}
