// Package check holds the published values that tests compare with, each with
// its source beside it. Only tests import it.
package check

import (
	_ "embed"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

//go:embed physics.json
var physics []byte

//go:embed standards.json
var standards []byte

// How many cases each file holds.
const (
	PhysicsCases   = 315
	StandardsCases = 59
)

// Case is one row of a file: a quantity with inputs and what it must answer.
type Case struct {
	ID        string
	Quantity  string
	Inputs    map[string]Value
	Expected  map[string]Value
	Tolerance map[string]struct{ Abs, Rel float64 } // by output; the larger of both holds
	Source    string
}

// Value is a number, a word, a truth value or a list, with its unit.
type Value struct {
	Value any    `json:"value"`
	Unit  string `json:"unit"`
}

// Physics are the cases of physics.json.
func Physics(t testing.TB) []Case { return read(t, physics, PhysicsCases) }

// Standards are the cases of standards.json.
func Standards(t testing.TB) []Case { return read(t, standards, StandardsCases) }

func read(t testing.TB, text []byte, count int) []Case {
	t.Helper()
	var cases []Case
	require.NoError(t, json.Unmarshal(text, &cases))
	require.Len(t, cases, count)
	return cases
}

// Run holds every case whose quantity is in answers to its answer, and sees to
// it that each of those has a case.
func Run[A any](t *testing.T, cases []Case, answers map[string]A, hold func(t *testing.T, c Case, answer A)) {
	t.Helper()
	seen := map[string]bool{}
	for _, c := range cases {
		answer, ours := answers[c.Quantity]
		if !ours {
			continue
		}
		seen[c.Quantity] = true
		t.Run(c.ID, func(t *testing.T) { hold(t, c, answer) })
	}
	require.Len(t, seen, len(answers), "a quantity has no case")
}

// Has tells whether the case gives an input.
func (c Case) Has(input string) bool { _, ok := c.Inputs[input]; return ok }

// Number is an input as the case has it, in its own unit; NaN if it is none.
func (c Case) Number(input string) float64 {
	number, ok := c.Inputs[input].Value.(float64)
	if !ok {
		return math.NaN()
	}
	return number
}

// Word is an input that is a word, "" if it is none.
func (c Case) Word(input string) string {
	word, _ := c.Inputs[input].Value.(string)
	return word
}

// Refused is the error code that the case expects.
func (c Case) Refused() (code string, refused bool) {
	code, refused = c.Expected["error"].Value.(string)
	return code, refused
}

// Hold compares answers, in the units that the case expects, with the case. One
// that expects an error code gets NaN from a formula: the code is put on by the
// caller, who knows the name of the field.
func Hold[V any](t *testing.T, c Case, got map[string]V) {
	t.Helper()
	require.NotEmpty(t, c.Source)
	require.NotEmpty(t, c.Expected)
	if _, refused := c.Refused(); refused {
		require.NotEmpty(t, got)
		for output, value := range got {
			if number, ok := any(value).(float64); ok {
				require.True(t, math.IsNaN(number), "%s %s: want NaN, got %v", c.Source, output, number)
			}
		}
		return
	}
	for output, want := range c.Expected {
		require.Contains(t, got, output)
		number, ok := want.Value.(float64)
		if !ok {
			require.Equal(t, want.Value, any(got[output]), "%s: %s", output, c.Source)
			continue
		}
		tol, ok := c.Tolerance[output]
		require.True(t, ok, "no tolerance for %s", output)
		require.InDelta(t, number, any(got[output]), math.Max(tol.Abs, tol.Rel*math.Abs(number)), "%s: %s", output, c.Source)
	}
}
