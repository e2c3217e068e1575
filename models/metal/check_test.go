package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/metal"
	"drylag/testdata/check"
)

// inputs reads the inputs of a case and turns units into those of the package.
type inputs struct {
	t      *testing.T
	of     map[string]check.Value
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
	cases := check.Standards(t)
	for _, c := range cases {
		require.Contains(t, quantities, c.Quantity)
	}
	check.Run(t, cases, quantities, func(t *testing.T, c check.Case, quantity func(inputs) map[string]any) {
		got := quantity(inputs{t, c.Inputs, c.Expected["od"].Unit == "in"})
		for name, want := range c.Expected {
			require.Contains(t, got, name)
			got[name] = answer(t, got[name], want.Unit)
		}
		check.Hold(t, c, got)
	})
}
