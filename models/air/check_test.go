package air_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/air"
	"drylag/models/unit"
)

// checkCase is one row of testdata/check/physics.json; each carries its source.
type checkCase struct {
	ID       string
	Quantity string
	Inputs   map[string]value
	Expected map[string]value
	Source   string

	Tolerance map[string]struct{ Abs, Rel float64 }
}

type value struct {
	Value any
	Unit  string
}

func (c checkCase) in(name string) float64 {
	number, ok := c.Inputs[name].Value.(float64)
	if !ok {
		return math.NaN()
	}
	return number
}

func (c checkCase) t() unit.Celsius    { return unit.Celsius(c.in("t")) }
func (c checkCase) bulb() unit.Celsius { return unit.Celsius(c.in("t_wb")) }
func (c checkCase) rh() unit.Fraction  { return unit.Fraction(c.in("rh")) }
func (c checkCase) p() unit.Pascal     { return unit.Pascal(c.in("p")) }
func (c checkCase) pw() unit.Pascal    { return unit.Pascal(c.in("p_w")) }

func readChecks(t *testing.T) []checkCase {
	t.Helper()
	text, err := os.ReadFile("../../testdata/check/physics.json")
	require.NoError(t, err)
	var cases []checkCase
	require.NoError(t, json.Unmarshal(text, &cases))
	return cases
}

// answers maps a quantity to its one output and the function that gives it.
var answers = map[string]struct {
	output string
	answer func(c checkCase) float64
}{
	"sat_vapor_pressure": {"p_ws", func(c checkCase) float64 { return float64(air.SatPressure(c.t())) }},
	"vapor_pressure":     {"p_w", func(c checkCase) float64 { return float64(air.VaporPressure(c.t(), c.rh())) }},
	"dew_point":          {"t_dp", func(c checkCase) float64 { return float64(air.DewPoint(c.t(), c.rh())) }},
	"dew_point_from_pv":  {"t_dp", func(c checkCase) float64 { return float64(air.DewPointFromPressure(c.pw())) }},
	"dew_point_ip": {"t_dp", func(c checkCase) float64 {
		t := unit.Celsius((c.in("t") - 32) / 1.8)
		return 1.8*float64(air.DewPoint(t, c.rh())) + 32
	}},
	"humidity_ratio":         {"w", func(c checkCase) float64 { return float64(air.HumidityRatioFromRH(c.t(), c.rh(), c.p())) }},
	"humidity_ratio_from_pv": {"w", func(c checkCase) float64 { return float64(air.HumidityRatio(c.pw(), c.p())) }},
	"humidity_ratio_from_wet_bulb": {"w", func(c checkCase) float64 {
		return float64(air.HumidityRatioFromWetBulb(c.t(), c.bulb(), c.p()))
	}},
	"wet_bulb": {"t_wb", func(c checkCase) float64 { return float64(air.WetBulb(c.t(), c.rh(), c.p())) }},
	"rh_from_wet_bulb": {"rh", func(c checkCase) float64 {
		return float64(air.RelHumidityFromWetBulb(c.t(), c.bulb(), c.p()))
	}},
	"rh_from_dew_point": {"rh", func(c checkCase) float64 {
		return float64(air.RelHumidityFromDewPoint(c.t(), unit.Celsius(c.in("t_dp"))))
	}},
	"moist_air_density": {"rho", func(c checkCase) float64 { return float64(air.Density(c.t(), c.rh(), c.p())) }},
	"pressure_at_altitude": {"p", func(c checkCase) float64 {
		return float64(air.PressureAtAltitude(unit.Meter(c.in("z"))))
	}},
}

// A case that expects an error code expects NaN here: the code is put on by the
// caller, who knows the name of the field.
func TestChecks(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range readChecks(t) {
		a, ours := answers[c.Quantity]
		if !ours {
			continue
		}
		seen[c.Quantity] = true
		t.Run(c.ID, func(t *testing.T) {
			got := a.answer(c)
			if _, refused := c.Expected["error"]; refused {
				require.True(t, math.IsNaN(got), "%v: want NaN, got %v", c.Source, got)
				return
			}
			want, ok := c.Expected[a.output].Value.(float64)
			require.True(t, ok, "no expected %s", a.output)
			tol := c.Tolerance[a.output]
			require.InDelta(t, want, got, math.Max(tol.Abs, tol.Rel*math.Abs(want)), c.Source)
		})
	}
	require.Len(t, seen, len(answers), "a quantity has no case")
}
