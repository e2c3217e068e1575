package metal_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/metal"
)

// checkCase is one published value of testdata/check/standards.json; the file
// carries the source of each.
type checkCase struct {
	ID        string
	Quantity  string
	Inputs    map[string]amount
	Expected  map[string]amount
	Tolerance map[string]struct{ Abs, Rel *float64 }
	Source    string
}

type amount struct {
	Value any
	Unit  string
}

// inputs reads the inputs of a case and turns units into those of the package.
type inputs struct {
	t      *testing.T
	of     map[string]amount
	inches bool // the answer is wanted in inches
}

func (in inputs) word(name string) string { return in.raw(name).(string) }
func (in inputs) yes(name string) bool    { return in.raw(name).(bool) }

func (in inputs) raw(name string) any {
	require.Contains(in.t, in.of, name)
	return in.of[name].Value
}

// number gives the input in the unit of the package: °C, mm, MPa, fraction.
func (in inputs) number(name string) float64 {
	v := in.raw(name).(float64)
	switch in.of[name].Unit {
	case "degF":
		return (v - 32) / 1.8
	case "in", "in/yr":
		return v * 25.4
	case "psi":
		return v * 0.00689475729316836 // from the exact pound and inch
	case "%":
		return v / 100
	case "degC", "mm", "MPa", "mpy", "um/yr", "mg/(m2 d)", "h/yr", "yr", "1":
		return v
	}
	require.Fail(in.t, "unit of "+name, in.of[name].Unit)
	return math.NaN()
}

// nominal gives a size in inches, which the package keeps as it is said.
func (in inputs) nominal() float64 { return in.raw("nps").(float64) }

// percent gives a rusted area, which the scales keep in percent.
func (in inputs) percent(name string) float64 { return in.raw(name).(float64) }

// answer turns a result into the unit in which the case expects it.
func answer(t *testing.T, value any, unit string) any {
	v, ok := value.(float64)
	if !ok {
		return value
	}
	switch unit {
	case "mpy":
		return metal.Mpy(v)
	case "in", "in/yr":
		return v / 25.4
	case "%":
		return v * 100
	case "mm", "mm/yr", "um", "um/yr", "yr", "1":
		return v
	}
	require.Fail(t, "unit of the answer", unit)
	return nil
}

func TestPublishedValues(t *testing.T) {
	text, err := os.ReadFile("../../testdata/check/standards.json")
	require.NoError(t, err)
	var cases []checkCase
	require.NoError(t, json.Unmarshal(text, &cases))
	require.Len(t, cases, 59)
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			require.NotEmpty(t, c.Source)
			require.Contains(t, quantities, c.Quantity)
			got := quantities[c.Quantity](inputs{t, c.Inputs, c.Expected["od"].Unit == "in"})
			for name, want := range c.Expected {
				require.Contains(t, got, name)
				compare(t, c, name, want, got[name])
			}
		})
	}
}

func compare(t *testing.T, c checkCase, name string, want amount, got any) {
	expected, numeric := want.Value.(float64)
	if !numeric {
		require.Equal(t, want.Value, got, "%s %s: %s", c.ID, name, c.Source)
		return
	}
	value := answer(t, got, want.Unit)
	allowed := 0.0
	switch tol := c.Tolerance[name]; {
	case tol.Abs != nil:
		allowed = *tol.Abs
	case tol.Rel != nil:
		allowed = *tol.Rel * math.Abs(expected)
	default:
		require.Fail(t, "no tolerance", name)
	}
	require.InDelta(t, expected, value, allowed, "%s %s: %s", c.ID, name, c.Source)
}
