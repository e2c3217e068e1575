package reckon_test

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
	"drylag/testdata/check"
)

const checkDir = "../../testdata/check"

// checkCase asks a case of testdata/check as a question.
type checkCase struct{ check.Case }

// readChecks reads every case of both files.
func readChecks(t testing.TB) []checkCase {
	t.Helper()
	var all []checkCase
	for _, c := range slices.Concat(check.Physics(t), check.Standards(t)) {
		all = append(all, checkCase{c})
	}
	return all
}

// inputs are the inputs as JSON has them.
func (c checkCase) inputs(t testing.TB) json.RawMessage {
	t.Helper()
	text, err := json.Marshal(c.Inputs)
	require.NoError(t, err)
	return text
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
	if code, refused := c.Refused(); refused {
		require.NotNil(t, fault, c.Source)
		require.Equal(t, code, fault.Code, c.Source)
		require.NotEmpty(t, fault.Field, "%s names no field", fault.Code)
		require.NotEmpty(t, fault.Message)
		return
	}
	require.Nil(t, fault)
	values := map[string]any{}
	for name, g := range got {
		values[name] = g.Value
		if want, asked := c.Expected[name]; asked {
			require.Equal(t, want.Unit, g.Unit)
		}
	}
	check.Hold(t, c.Case, values)
}

func TestChecksByQuestion(t *testing.T) {
	climates := shelf()
	for _, c := range readChecks(t) {
		t.Run(c.ID, func(t *testing.T) {
			inputs, err := reckon.ReadInputs(c.inputs(t))
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
