package air_test

import (
	"testing"

	"drylag/models/air"
	"drylag/models/unit"
	"drylag/testdata/check"
)

// checkCase reads a case of testdata/check/physics.json in the units of this package.
type checkCase struct{ check.Case }

func (c checkCase) t() unit.Celsius    { return unit.Celsius(c.Number("t")) }
func (c checkCase) bulb() unit.Celsius { return unit.Celsius(c.Number("t_wb")) }
func (c checkCase) rh() unit.Fraction  { return unit.Fraction(c.Number("rh")) }
func (c checkCase) p() unit.Pascal     { return unit.Pascal(c.Number("p")) }
func (c checkCase) pw() unit.Pascal    { return unit.Pascal(c.Number("p_w")) }

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
		t := unit.Celsius((c.Number("t") - 32) / 1.8)
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
		return float64(air.RelHumidityFromDewPoint(c.t(), unit.Celsius(c.Number("t_dp"))))
	}},
	"moist_air_density": {"rho", func(c checkCase) float64 { return float64(air.Density(c.t(), c.rh(), c.p())) }},
	"pressure_at_altitude": {"p", func(c checkCase) float64 {
		return float64(air.PressureAtAltitude(unit.Meter(c.Number("z"))))
	}},
}

func TestChecks(t *testing.T) {
	type one = struct {
		output string
		answer func(c checkCase) float64
	}
	check.Run(t, check.Physics(t), answers, func(t *testing.T, c check.Case, a one) {
		check.Hold(t, c, map[string]float64{a.output: a.answer(checkCase{c})})
	})
}
