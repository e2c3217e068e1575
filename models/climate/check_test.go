package climate_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/climate"
	"drylag/models/unit"
	"drylag/testdata/check"
)

const checkDir = "../../testdata/check"

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
	check.Run(t, check.Physics(t), answers, func(t *testing.T, c check.Case, answer func(*climate.Summary, unit.Celsius) map[string]float64) {
		name := c.Word("climate")
		if prepared[name] == nil {
			prepared[name] = prepare(t, readTable(t, name))
		}
		check.Hold(t, c, answer(prepared[name], unit.Celsius(c.Number("t_metal"))))
	})
}
