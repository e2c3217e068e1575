package vapor_test

import (
	"math"
	"testing"

	"drylag/models/air"
	"drylag/models/unit"
	"drylag/models/vapor"
	"drylag/testdata/check"
)

// checkCase reads a case of testdata/check/physics.json in the units of this package.
type checkCase struct{ check.Case }

// in gives an input in SI, NaN where the case has none.
func (c checkCase) in(name string) float64 {
	number := c.Number(name)
	if math.IsNaN(number) {
		return number
	}
	return unit.Reading{Value: number, Unit: c.Inputs[name].Unit}.SI()
}

func (c checkCase) meter(name string) unit.Meter { return unit.Meter(c.in(name)) }

func (c checkCase) celsius(name string) unit.Celsius { return unit.Celsius(c.in(name)) }

func (c checkCase) permeability() unit.KgPerMSPa { return unit.KgPerMSPa(c.in("permeability")) }

func (c checkCase) room() unit.Pascal {
	return air.VaporPressure(c.celsius("t_air"), unit.Fraction(c.in("rh")))
}

// facing is nil where the case says that there is none.
func (c checkCase) facing() *unit.KgPerM2SPa {
	if c.Inputs["facing_permeance"].Value == nil {
		return nil
	}
	permeance := unit.KgPerM2SPa(c.in("facing_permeance"))
	return &permeance
}

// answers maps a quantity to what it answers, in the units of the cases.
var answers = map[string]func(c checkCase) map[string]float64{
	"vapor_flux_series": func(c checkCase) map[string]float64 {
		var resistances []float64
		for _, z := range c.Inputs["resistances"].Value.([]any) {
			resistances = append(resistances, z.(float64))
		}
		return one("g", vapor.SeriesFlux(unit.Pascal(c.in("p1")), unit.Pascal(c.in("p2")), resistances...))
	},
	"vapor_flux_flat": func(c checkCase) map[string]float64 {
		return one("g", vapor.Flat{Room: c.room(), Metal: c.celsius("t_metal"), Thickness: c.meter("t_ins"),
			Permeability: c.permeability(), Facing: c.facing()}.Flux())
	},
	"vapor_ingress_cylinder": func(c checkCase) map[string]float64 {
		g := vapor.Cylinder{Room: c.room(), Metal: c.celsius("t_metal"), Surface: c.celsius("t_s"), Inner: c.meter("r_inner"),
			Outer: c.meter("r_outer"), Permeability: c.permeability(), Facing: c.facing()}.Ingress().Rate
		return map[string]float64{"g_m": float64(g), "g_year": float64(g) * 8760 * 3600}
	},
	"air_vapor_permeability": func(c checkCase) map[string]float64 {
		model := map[string]func(unit.Celsius, unit.Pascal) unit.KgPerMSPa{
			"schirmer": vapor.AirPermeability, "power081": vapor.AirPermeabilityPower}[c.Inputs["model"].Value.(string)]
		return one("delta", model(c.celsius("t"), unit.Pascal(c.in("p"))))
	},
	"slot_shape_factor": func(c checkCase) map[string]float64 {
		return one("s", vapor.SlotFactor(c.meter("w"), c.meter("t")))
	},
	"defect_ingress": func(c checkCase) map[string]float64 {
		g := vapor.Defect{Length: c.meter("length"), Gap: c.meter("gap"), Lap: c.meter("lap_depth"), Thickness: c.meter("t_ins"),
			Permeability: c.permeability()}.Ingress(c.room() - air.SatPressure(c.celsius("t_metal")))
		return map[string]float64{"g_low": float64(g.Low), "g_high": float64(g.High)}
	},
	"time_to_moisture": func(c checkCase) map[string]float64 {
		hours := vapor.TimeToMoisture(unit.KgPerS(c.in("g")), unit.M3(c.in("volume")), unit.Fraction(c.in("fraction")))
		return one("days", hours/24)
	},
	"k_wet_bounds": func(c checkCase) map[string]float64 {
		k := vapor.WetBounds(unit.WPerMK(c.in("k_dry")), unit.Fraction(c.in("psi")))
		return map[string]float64{"k_series": float64(k.Series), "k_exp": float64(k.Exponential), "k_parallel": float64(k.Parallel)}
	},
	"k_wet_exponential": func(c checkCase) map[string]float64 {
		return one("k", vapor.WetExponential(unit.WPerMK(c.in("k_dry")), unit.Fraction(c.in("psi")), c.in("f")))
	},
}

func one[Q ~float64](output string, q Q) map[string]float64 {
	return map[string]float64{output: float64(q)}
}

func TestChecks(t *testing.T) {
	check.Run(t, check.Physics(t), answers, func(t *testing.T, c check.Case, answer func(checkCase) map[string]float64) {
		check.Hold(t, c, answer(checkCase{c}))
	})
}
