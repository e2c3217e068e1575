package server

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/register"
)

// operation is what the description says of a route.
func operation(t *testing.T, r route) *openapi3.Operation {
	t.Helper()
	doc, err := described()
	require.NoError(t, err)
	path := r.Path
	for _, name := range []string{"id", "key", "name", "quantity"} {
		path = strings.ReplaceAll(path, ":"+name, "{"+name+"}")
	}
	item := doc.Paths.Value(path)
	require.NotNil(t, item, "%s is not described", r.Path)
	op := item.GetOperation(r.Method)
	require.NotNil(t, op, "%s %s is not described", r.Method, r.Path)
	return op
}

// apiRoutes are the routes of the JSON API.
func apiRoutes() []route {
	return slices.DeleteFunc(slices.Clone(routes), func(r route) bool { return !strings.HasPrefix(r.Path, api) })
}

// takesJSON tells whether a route has a JSON body.
func takesJSON(op *openapi3.Operation) bool {
	return op.RequestBody != nil && op.RequestBody.Value.Content["application/json"] != nil
}

func TestDescriptionIsValid(t *testing.T) {
	a := newWorld(t).nobody().get("/api/v1/openapi.json")
	doc, err := openapi3.NewLoader().LoadFromData([]byte(a.body))
	require.NoError(t, err)
	require.NoError(t, doc.Validate(t.Context()))
	require.Equal(t, "3.1.0", doc.OpenAPI)
}

// Every route is described with the errors that it can have, and nothing else is.
func TestEveryAPIRouteIsDescribed(t *testing.T) {
	doc, err := described()
	require.NoError(t, err)
	count, ids := 0, map[string]bool{}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			count++
			require.False(t, ids[op.OperationID], "%s stands twice", op.OperationID)
			ids[op.OperationID] = true
		}
	}
	require.Len(t, apiRoutes(), count, "an operation without a route")
	for _, r := range apiRoutes() {
		op := operation(t, r)
		require.NotEmpty(t, op.Summary, r.Path)
		for status, needed := range map[int]bool{
			http.StatusUnauthorized: r.Act != public, http.StatusForbidden: r.Act != public,
			http.StatusNotFound:              strings.Contains(r.Path, "/:"),
			http.StatusPreconditionFailed:    r.Method == put,
			http.StatusPreconditionRequired:  r.Method == put,
			http.StatusUnsupportedMediaType:  takesJSON(op),
			http.StatusUnprocessableEntity:   op.RequestBody != nil,
			http.StatusRequestEntityTooLarge: op.RequestBody != nil,
			http.StatusServiceUnavailable:    true,
		} {
			if needed {
				require.NotNil(t, op.Responses.Status(status), "%s %s says nothing of %d", r.Method, r.Path, status)
			}
		}
		require.Equal(t, r.Act == public, op.Security != nil && len(*op.Security) == 0, "%s %s: who is let in", r.Method, r.Path)
		require.Equal(t, r.Method == put, op.Parameters.GetByInAndName("header", "If-Match") != nil, "%s %s", r.Method, r.Path)
	}
}

// Every object says that it holds nothing else, so that a field that the service
// sends without being described fails the test that sees it.
func TestSchemasAreClosed(t *testing.T) {
	doc, err := described()
	require.NoError(t, err)
	seen := 0
	var walk func(name string, s *openapi3.SchemaRef)
	walk = func(name string, s *openapi3.SchemaRef) {
		if s == nil || s.Ref != "" && name != s.Ref {
			return
		}
		if s.Value.Type.Is("object") {
			seen++
			closed, each := s.Value.AdditionalProperties.Has, s.Value.AdditionalProperties.Schema
			require.True(t, closed != nil && !*closed || each != nil, "%s is open", name)
			walk(name+"{}", each)
		}
		for field, p := range s.Value.Properties {
			walk(name+"."+field, p)
		}
		walk(name+"[]", s.Value.Items)
	}
	for name, s := range doc.Components.Schemas {
		walk(name, s)
	}
	require.Greater(t, seen, 40)
}

// The words of the description are those of the record.
func TestDescribedWords(t *testing.T) {
	doc, err := described()
	require.NoError(t, err)
	for at, words := range map[string]models.Vocabulary{
		"Me.role": models.Roles, "Person.role": models.Roles, "Room.kind": models.RoomKinds, "Loop.kind": models.LoopKinds,
		"Climate.source": models.ClimateSources, "Cover.state": models.CoverStates, "Cover.kind": models.ComponentKinds,
		"Cover.material": models.Materials, "Cover.connection": models.Connections, "Cover.side": models.Sides,
		"Cover.access": models.Accesses, "Cover.flow": models.Flows, "Cover.below": models.Belows, "Cover.spare": models.Spares,
		"Cover.without": models.Withouts, "Cover.insulation": models.Insulations, "Cover.closure": models.Closures,
		"Cover.coat_quality": models.CoatClasses, "CoverRow.kind": models.ComponentKinds, "CoverRow.state": models.CoverStates,
		"Score.condition": wetConditions, "Score.action": models.Actions, "Score.rule": models.DueRules, "Look.port": models.PortStates,
		"FollowUp.kind": models.FollowUpKinds, "Opening.outcome": models.Outcomes, "Opening.not_opened": models.NotOpenedReasons,
		"Opening.reason": models.OpeningReasons, "Opening.moisture": models.Moistures, "Opening.blanket": models.BlanketStates,
		"Opening.coating": models.CoatingStates, "Opening.rust_scale": models.RustScales, "Opening.rust_form": models.RustForms,
		"Opening.dried": models.DryMethods, "Opening.coated": models.CoatClasses, "Opening.closing_metal": models.ClosingMetals,
		"Opening.closing_blanket": models.ClosingBlanket, "Opening.closing_water": models.ClosingWater,
		"Opening.closing_cover": models.ClosingCovers, "Place.found": models.FoundWords, "Place.left": models.LeftWords,
	} {
		schema, field, _ := strings.Cut(at, ".")
		require.ElementsMatch(t, codes(words), enumOf(doc.Components.Schemas[schema].Value.Properties[field].Value), at)
	}
	kinds := operation(t, route{Method: post, Path: "/api/v1/imports"}).Parameters.GetByInAndName("query", "kind")
	require.ElementsMatch(t, codes(register.ImportKinds), enumOf(kinds.Schema.Value))
}

func codes(words models.Vocabulary) []string {
	return each(words, func(w models.Word) string { return w.Code })
}

// enumOf are the words of a schema, null apart.
func enumOf(s *openapi3.Schema) []string {
	var out []string
	for _, v := range s.Enum {
		if text, ok := v.(string); ok {
			out = append(out, text)
		}
	}
	return out
}
