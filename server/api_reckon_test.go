package server

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/reckon"
)

func TestAPIReckonsForEveryRole(t *testing.T) {
	w := newWorld(t)
	for _, role := range roles {
		a := w.as(role).api("POST", "/api/v1/reckon/dew_point", `{"id":7,"inputs":{"t":{"value":75,"unit":"degF"},"rh":{"value":0.5,"unit":"1"}},"want":{"t_dp":"degF"}}`)
		require.Equal(t, 200, a.status, a.body)
		require.Contains(t, a.body, `{"id":7,"quantity":"dew_point","outputs":{"t_dp":{"value":55.11`, "PsychroLib 2.5.0: 55.11990433 °F")
		require.Contains(t, a.body, "computed with a library")
	}
}

func TestAPIListsQuantities(t *testing.T) {
	w := newWorld(t)
	a := w.as(models.Inspector).api("GET", "/api/v1/reckon", "")
	require.Equal(t, 200, a.status)
	var list struct {
		Quantities []quantityJSON
		Climates   []string
	}
	require.NoError(t, json.Unmarshal([]byte(a.body), &list))
	require.Len(t, list.Quantities, len(reckon.All()))
	require.NotEmpty(t, list.Climates)
	by := map[string]quantityJSON{}
	for _, q := range list.Quantities {
		by[q.Name] = q
	}
	rh := by["dew_point"].Inputs[1]
	require.Equal(t, askedJSON{Name: "rh", Label: "relative humidity", Shape: "number", Unit: "1", UnitSI: "%", UnitIP: "%",
		Range: &rangedJSON{Min: 0, Max: 1, MinOpen: true}, Code: "RH_RANGE"}, rh)
	layers := by["covered_cylinder"].Inputs[2]
	require.Equal(t, "k1", layers.Fields[2].Name)
	require.Equal(t, 0.0, layers.Fields[2].Default)
}

func TestAPIReckonRefuses(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Crew)
	for _, bad := range []struct {
		quantity, body string
		status         int
		code, field    string
	}{
		{"dew_point", `{"inputs":{"t":{"value":25,"unit":"degC"},"rh":{"value":0,"unit":"1"}}}`, 422, "RH_RANGE", "rh"},
		{"dew_point", `{"inputs":{"t":{"value":null,"unit":"degC"},"rh":{"value":0.5,"unit":"1"}}}`, 422, "T_RANGE", "t"},
		{"dew_point", `{"inputs":{"t":{"value":25,"unit":"degC"}}}`, 422, "MISSING_INPUT", "rh"},
		{"dew_point", `{}`, 422, "MISSING_INPUT", "t"},
		{"dew_point", `{"inputs":{"t":25}}`, 422, "WRONG_SHAPE", "t"},
		{"dew_point", `{"inputs":{"t":{"value":25,"unit":"degC"},"rh":{"value":0.5,"unit":"1"}},"want":{"t_dp":"m"}}`, 422, "WRONG_UNIT", "want"},
		{"wind_chill", `{"inputs":{}}`, 404, "UNKNOWN_QUANTITY", "quantity"},
		{"hours_metal_below_dew_point", `{"inputs":{"climate":{"value":"/etc/hostname","unit":"file"},"t_metal":{"value":5,"unit":"degC"}}}`, 422, "CLIMATE_FILE", "climate"},
		{"dew_point", `{"inputs":{},"wants":{}}`, 422, "", ""},
		{"dew_point", `{"inputs":{"t":{"value":NaN,"unit":"degC"}}}`, 422, "", ""},
	} {
		a := c.api("POST", "/api/v1/reckon/"+bad.quantity, bad.body)
		require.Equal(t, bad.status, a.status, a.body)
		require.Equal(t, "application/problem+json", a.header.Get("Content-Type"))
		var p problem
		require.NoError(t, json.Unmarshal([]byte(a.body), &p))
		require.Equal(t, bad.code, p.Code, a.body)
		require.Equal(t, bad.field, p.Field)
		require.NotEmpty(t, p.Detail)
		require.NotContains(t, a.body, "outputs")
	}
}

// A climate that the service brings itself can be named.
func TestAPIReckonsWithShippedClimate(t *testing.T) {
	w := newWorld(t)
	body, err := json.Marshal(map[string]any{"inputs": map[string]any{"climate": map[string]any{"value": reckon.Climates()[0], "unit": "file"},
		"t_metal": map[string]any{"value": 5, "unit": "degC"}}})
	require.NoError(t, err)
	a := w.as(models.Owner).api("POST", "/api/v1/reckon/hours_metal_below_dew_point", string(body))
	require.Equal(t, 200, a.status, a.body)
	require.Contains(t, a.body, `{"value":8760,"unit":"h"}`, "24 °C and 50 % have their dew point above 5 °C all year")
}

// Every check case that names no file is answered over HTTP as it is by the
// command; tolerances are held in models/reckon.
func TestAPIAnswersTheChecks(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Engineer)
	answered := 0
	for _, name := range []string{"physics.json", "standards.json"} {
		text, err := os.ReadFile("../testdata/check/" + name)
		require.NoError(t, err)
		var cases []struct {
			ID, Quantity string
			Inputs       json.RawMessage
			Expected     map[string]struct{ Value any }
		}
		require.NoError(t, json.Unmarshal(text, &cases))
		for _, k := range cases {
			if strings.Contains(string(k.Inputs), `"file"`) {
				continue
			}
			answered++
			a := c.api("POST", "/api/v1/reckon/"+k.Quantity, `{"inputs":`+string(k.Inputs)+`}`)
			if bad, ok := k.Expected["error"]; ok {
				require.Equal(t, 422, a.status, k.ID)
				require.Contains(t, a.body, `"code":"`+bad.Value.(string)+`"`, k.ID)
				continue
			}
			require.Equal(t, 200, a.status, "%s: %s", k.ID, a.body)
			for output := range k.Expected {
				require.Contains(t, a.body, `"`+output+`":{"value":`, k.ID)
			}
		}
	}
	require.Equal(t, 315+59-37, answered, "37 cases name a file")
}
