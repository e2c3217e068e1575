package climate_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/climate"
	"drylag/models/unit"
)

const checkDir = "../../testdata/check"

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

func readChecks(t *testing.T) []checkCase {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(checkDir, "physics.json"))
	require.NoError(t, err)
	var cases []checkCase
	require.NoError(t, json.Unmarshal(text, &cases))
	return cases
}

func readTable(t *testing.T, name string) climate.Hourly {
	t.Helper()
	file, err := os.Open(filepath.Join(checkDir, name))
	require.NoError(t, err)
	defer file.Close()
	year, err := climate.ReadHourTable(file)
	require.NoError(t, err)
	return year
}

func prepare(t *testing.T, year climate.Hourly) *climate.Summary {
	t.Helper()
	summary, err := climate.Prepare(year)
	require.NoError(t, err)
	return summary
}

// answers maps a quantity to its outputs.
var answers = map[string]func(s *climate.Summary, metal unit.Celsius) map[string]float64{
	"hours_metal_below_dew_point": func(s *climate.Summary, metal unit.Celsius) map[string]float64 {
		return map[string]float64{"hours": float64(s.HoursBelowDewPoint(metal))}
	},
	"hours_metal_surface_rh_over_80": func(s *climate.Summary, metal unit.Celsius) map[string]float64 {
		return map[string]float64{"hours": float64(s.HoursOverRH80(metal))}
	},
	"time_of_wetness_iso9223": func(s *climate.Summary, _ unit.Celsius) map[string]float64 {
		return map[string]float64{"hours": float64(s.TimeOfWetness())}
	},
	"vapor_drive_integral": func(s *climate.Summary, metal unit.Celsius) map[string]float64 {
		return map[string]float64{"pa_h": float64(s.Drive(metal)), "pa_h_net": float64(s.NetDrive(metal))}
	},
}

func TestChecks(t *testing.T) {
	prepared := map[string]*climate.Summary{}
	seen := map[string]bool{}
	for _, c := range readChecks(t) {
		answer, ours := answers[c.Quantity]
		if !ours {
			continue
		}
		seen[c.Quantity] = true
		name := c.Inputs["climate"].Value.(string)
		if prepared[name] == nil {
			prepared[name] = prepare(t, readTable(t, name))
		}
		t.Run(c.ID, func(t *testing.T) {
			metal, _ := c.Inputs["t_metal"].Value.(float64)
			got := answer(prepared[name], unit.Celsius(metal))
			require.Len(t, got, len(c.Expected))
			for output, want := range c.Expected {
				tol := c.Tolerance[output]
				number := want.Value.(float64)
				require.InDelta(t, number, got[output], math.Max(tol.Abs, tol.Rel*math.Abs(number)), "%s: %s", output, c.Source)
			}
		})
	}
	require.Len(t, seen, len(answers), "a quantity has no case")
}
