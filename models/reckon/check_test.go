package reckon_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
)

const checkDir = "../../testdata/check"

// checkCase is one row of testdata/check; each carries its source.
type checkCase struct {
	ID       string
	Quantity string
	Inputs   json.RawMessage
	Expected map[string]struct {
		Value any
		Unit  string
	}
	Source string

	Tolerance map[string]struct{ Abs, Rel float64 }
}

// readChecks reads every case of both files.
func readChecks(t testing.TB) []checkCase {
	t.Helper()
	var all []checkCase
	for name, cases := range map[string]int{"physics.json": 315, "standards.json": 59} {
		text, err := os.ReadFile(checkDir + "/" + name)
		require.NoError(t, err)
		var some []checkCase
		require.NoError(t, json.Unmarshal(text, &some))
		require.Len(t, some, cases)
		all = append(all, some...)
	}
	return all
}

// want asks for each output in the unit in which the case expects it.
func (c checkCase) want() map[string]string {
	want := map[string]string{}
	for name, e := range c.Expected {
		want[name] = e.Unit
	}
	return want
}

func shelf() *reckon.Shelf { return reckon.NewShelf(os.DirFS(checkDir), "check") }

// holds compares an answer with what the case expects, within its own tolerance.
func (c checkCase) holds(t *testing.T, got map[string]reckon.Got, fault *reckon.Fault) {
	t.Helper()
	if code, bad := c.Expected["error"]; bad {
		require.NotNil(t, fault, c.Source)
		require.Equal(t, code.Value, fault.Code, c.Source)
		require.NotEmpty(t, fault.Field, "%s names no field", fault.Code)
		require.NotEmpty(t, fault.Message)
		return
	}
	require.Nil(t, fault)
	for name, want := range c.Expected {
		require.Contains(t, got, name)
		require.Equal(t, want.Unit, got[name].Unit)
		number, numeric := want.Value.(float64)
		if !numeric {
			require.Equal(t, want.Value, got[name].Value, "%s: %s", name, c.Source)
			continue
		}
		tol := c.Tolerance[name]
		require.InDelta(t, number, got[name].Value, math.Max(tol.Abs, tol.Rel*math.Abs(number)), "%s: %s", name, c.Source)
	}
}

func TestChecksByQuestion(t *testing.T) {
	climates := shelf()
	for _, c := range readChecks(t) {
		t.Run(c.ID, func(t *testing.T) {
			inputs, err := reckon.ReadInputs(c.Inputs)
			require.NoError(t, err)
			answer, err := reckon.Ask(reckon.Question{Quantity: c.Quantity, Inputs: inputs, Want: c.want()}, climates)
			var fault *reckon.Fault
			if err != nil {
				require.ErrorAs(t, err, &fault)
			} else {
				require.NotEmpty(t, answer.Method)
				require.NotEmpty(t, answer.Source)
			}
			c.holds(t, answer.Outputs, fault)
		})
	}
}

// answered is one line of answers as a program reads it.
type answered struct {
	ID       string
	Line     int
	Quantity string
	Outputs  map[string]reckon.Got
	Defaults map[string]reckon.Got
	Method   string
	Source   string
	Error    *reckon.Fault
}

// ask sends lines through the line handling of the command.
func ask(t testing.TB, lines ...string) []answered {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, reckon.Lines(t.Context(), strings.NewReader(strings.Join(lines, "\n")), &out, shelf()))
	var all []answered
	for text := range strings.Lines(out.String()) {
		var a answered
		require.NoError(t, json.Unmarshal([]byte(text), &a), text)
		all = append(all, a)
	}
	return all
}

func TestChecksByLine(t *testing.T) {
	cases := readChecks(t)
	lines := make([]string, len(cases))
	for i, c := range cases {
		text, err := json.Marshal(map[string]any{"id": c.ID, "quantity": c.Quantity, "inputs": c.Inputs, "want": c.want()})
		require.NoError(t, err)
		lines[i] = string(text)
	}
	answers := ask(t, lines...)
	require.Len(t, answers, len(cases))
	for i, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			require.Equal(t, c.ID, answers[i].ID)
			require.Equal(t, c.Quantity, answers[i].Quantity)
			c.holds(t, answers[i].Outputs, answers[i].Error)
		})
	}
}
