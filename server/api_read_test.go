package server

import (
	"bytes"
	"encoding/json"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/require"

	"drylag/models"
)

// jsonContext is a request with a JSON body.
func jsonContext(body []byte) *gin.Context {
	c, _ := gin.CreateTestContext(httptest.NewRecorder())
	c.Request = httptest.NewRequest("POST", "/api/v1/openings", bytes.NewReader(body))
	c.Request.Header.Set("Content-Type", "application/json; charset=utf-8")
	return c
}

// Whatever is sent, reading does not fail within: it is taken or refused in
// words. What is taken is no more than encoding/json takes without unknown
// fields, and reads back the same.
func FuzzReadJSON(f *testing.F) {
	for _, seed := range []string{`{}`, `null`, `[]`, `{"on":"2026-11-25"}`, `{"on":"2026-02-30"}`, `{"on":null,"minutes":null}`,
		`{"minutes":1e400}`, `{"minutes":"7"}`, `{"places":[{"place":"long_seam"},null,7]}`, `{"readings":{}}`, `{"Moisture":"dry"}`,
		`{"moisture":"dry","moisture":"wet"}`, `{"entered_at":"2026-11-25T10:00:00Z"}`, `{"a":` + strings.Repeat("[", 20000), "{\"\xff\":1}", ``, `{} {}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var got openingJSON
		if err := readJSON(jsonContext(body), &got); err != nil {
			require.Equal(t, models.Invalid, models.KindOf(err), "%v", err)
			return
		}
		var want openingJSON
		d := json.NewDecoder(bytes.NewReader(body))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(&want))
		require.Equal(t, want, got)
	})
}
