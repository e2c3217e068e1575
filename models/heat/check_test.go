package heat_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
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

// in gives a number, NaN if it is not among the inputs.
func (c checkCase) in(name string) float64 {
	number, ok := c.Inputs[name].Value.(float64)
	if !ok {
		return math.NaN()
	}
	return number
}

func (c checkCase) has(name string) bool          { _, ok := c.Inputs[name]; return ok }
func (c checkCase) word(name string) string       { word, _ := c.Inputs[name].Value.(string); return word }
func (c checkCase) celsius(n string) unit.Celsius { return unit.Celsius(c.in(n)) }
func (c checkCase) meter(n string) unit.Meter     { return unit.Meter(c.in(n)) }
func (c checkCase) emissivity() unit.Fraction     { return unit.Fraction(c.in("emissivity")) }
func (c checkCase) speed() unit.MPerS             { return unit.MPerS(c.in("air_speed")) }
func (c checkCase) fluid() unit.Celsius           { return c.celsius("t_fluid") }

func (c checkCase) k() heat.Conductivity {
	return heat.Conductivity{AtZero: unit.WPerMK(c.in("k0")), PerK: c.in("k1")}
}

func (c checkCase) layers() []heat.Layer {
	var layers []heat.Layer
	rows, _ := c.Inputs["layers"].Value.([]any)
	for _, row := range rows {
		l := row.(map[string]any)
		k := heat.Conductivity{AtZero: unit.WPerMK(l["k0"].(float64)), PerK: l["k1"].(float64)}
		layers = append(layers, heat.Layer{Thickness: unit.Meter(l["t"].(float64)), K: k})
	}
	return layers
}

// room is at standard pressure where the case names none.
func (c checkCase) room() heat.Room {
	room := heat.Room{Air: c.celsius("t_air"), Pressure: 101325, Speed: c.speed()}
	if c.has("p") {
		room.Pressure = unit.Pascal(c.in("p"))
	}
	if c.has("t_sur") {
		room.Walls = new(c.celsius("t_sur"))
	}
	return room
}

func (c checkCase) dew() unit.Celsius {
	return air.DewPoint(c.celsius("t_air"), unit.Fraction(c.in("rh")))
}

func (c checkCase) fixed() heat.FixedFilm {
	return heat.FixedFilm{Air: c.celsius("t_air"), H: unit.WPerM2K(c.in("h_out"))}
}

// outputs maps the names of a case to numbers and yes or no.
type outputs map[string]any

// answers gives every quantity of the file that is this package's.
var answers = map[string]func(c checkCase) outputs{
	"air_properties": func(c checkCase) outputs {
		a := heat.PropertiesOf(c.celsius("t"), unit.Pascal(c.in("p")))
		return outputs{"mu": a.Viscosity, "k": float64(a.Conductivity), "nu": a.Kinematic, "pr": a.Prandtl}
	},
	"nusselt_free_horizontal_cylinder": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltFreeCylinder(c.in("ra"), c.in("pr"))}
	},
	"nusselt_free_vertical_plate": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltFreePlate(c.in("ra"), c.in("pr"))}
	},
	"nusselt_forced_cylinder": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltForcedCylinder(c.in("re"), c.in("pr"))}
	},
	"film_coefficient": func(c checkCase) outputs {
		film := heat.Film{Size: c.meter("size"), Speed: c.speed(), Pressure: unit.Pascal(c.in("p"))}
		if c.word("geometry") == "vplate" {
			film.Shape = heat.VerticalPlate
		}
		return outputs{"h_c": float64(film.Coefficient(c.celsius("t_s"), c.celsius("t_air")))}
	},
	"free_convection_power_law": func(c checkCase) outputs {
		return outputs{"h_c": float64(heat.PowerLaw(c.in("c"), unit.Kelvin(c.in("dt")), c.meter("size"), c.in("n")))}
	},
	"radiation_flux": func(c checkCase) outputs {
		return outputs{"q": float64(heat.RadiationFlux(c.emissivity(), c.celsius("t_s"), c.celsius("t_sur")))}
	},
	"covered_cylinder": coveredCylinder,
	"covered_flat":     coveredFlat,
	"cylinder_fixed_h": cylinderFixed,
	"flat_fixed_h":     flatFixed,
	"lewis_mass_coefficient": func(c checkCase) outputs {
		return outputs{"h_m": heat.MassTransfer{
			H: unit.WPerM2K(c.in("h")), Density: unit.KgPerM3(c.in("rho")), HeatCapacity: c.in("cp"),
			ThermalDiffusivity: c.in("alpha"), VaporDiffusivity: c.in("d"),
		}.Coefficient()}
	},
	"min_thickness_flat_fixed_h":    leastFlat,
	"min_thickness_no_condensation": leastCylinder,
	"bare_cylinder":                 bareCylinder,
	"annual_cost": func(c checkCase) outputs {
		plant := heat.Plant{COP: c.in("cop"), Tariff: c.in("tariff")}
		cost := plant.Annual(unit.Watt(c.in("q")), unit.Hours(c.in("hours")))
		return outputs{"kwh_e": cost.Electricity, "cost": cost.Money}
	},
}

func coveredCylinder(c checkCase) outputs {
	pipe := heat.Cylinder{Fluid: c.fluid(), Diameter: c.meter("d_pipe"), Layers: c.layers(), Emissivity: c.emissivity()}
	out, dew := pipe.Solve(c.room()), c.dew()
	return outputs{
		"t_s": float64(out.Surface), "q_m": float64(out.PerMeter), "t_dp": float64(dew), "condenses": out.Condenses(dew),
	}
}

func coveredFlat(c checkCase) outputs {
	face := heat.Flat{Fluid: c.fluid(), Height: c.meter("height"), Layers: c.layers(), Emissivity: c.emissivity()}
	out := face.Solve(c.room())
	return outputs{"t_s": float64(out.Surface), "q": float64(out.PerArea), "condenses": out.Condenses(c.dew())}
}

func cylinderFixed(c checkCase) outputs {
	inside := heat.Inside{Diameter: c.meter("d_inside"), H: new(unit.WPerM2K(c.in("h_inside")))}
	pipe := heat.Cylinder{
		Fluid: c.fluid(), Diameter: inside.Diameter, Layers: c.layers(), Inner: inside.Resistance(inside.Diameter),
	}
	return outputs{"q_m": float64(pipe.SolveFixed(c.fixed()).PerMeter)}
}

func flatFixed(c checkCase) outputs {
	out := heat.Flat{Fluid: c.fluid(), Height: 1, Layers: c.layers()}.SolveFixed(c.fixed())
	return outputs{"q": float64(out.PerArea), "t_s": float64(out.Surface)}
}

// least turns the two ways of no thickness into the words of the cases.
func least(l heat.Least) outputs {
	if l.Unattainable {
		return outputs{"error": "UNATTAINABLE"}
	}
	return outputs{"t": float64(l.Thickness)}
}

func leastFlat(c checkCase) outputs {
	face := heat.Flat{Fluid: c.fluid(), Height: 1}
	k := heat.Conductivity{AtZero: unit.WPerMK(c.in("k"))}
	return least(face.LeastThicknessFixed(k, c.celsius("t_target"), c.fixed()))
}

func leastCylinder(c checkCase) outputs {
	pipe := heat.Cylinder{Fluid: c.fluid(), Diameter: c.meter("d_pipe"), Emissivity: c.emissivity()}
	target := c.dew() + unit.Celsius(c.in("margin"))
	if c.has("h_fixed") {
		film := heat.FixedFilm{Air: c.celsius("t_air"), H: unit.WPerM2K(c.in("h_fixed"))}
		return least(pipe.LeastThicknessFixed(c.k(), target, film))
	}
	return least(pipe.LeastThickness(c.k(), target, c.room()))
}

func bareCylinder(c checkCase) outputs {
	bare := heat.Bare{Fluid: c.celsius("t_s"), Size: c.meter("d"), Emissivity: c.emissivity()}
	got := bare.Solve(c.room(), air.VaporPressure(c.celsius("t_air"), unit.Fraction(c.in("rh"))))
	return outputs{
		"q_conv": float64(got.Convection), "q_rad": float64(got.Radiation), "m_cond": got.Water,
		"q_lat": float64(got.Latent), "q_total": float64(got.Total()),
	}
}

func readChecks(t testing.TB) []checkCase {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(checkDir, "physics.json"))
	require.NoError(t, err)
	var cases []checkCase
	require.NoError(t, json.Unmarshal(text, &cases))
	return cases
}

func TestChecks(t *testing.T) {
	years := map[string]*heat.SurfaceYear{}
	hours := func(c checkCase) outputs {
		name := c.word("climate")
		if years[name] == nil {
			years[name] = prepare(t, readTable(t, name))
		}
		layer := heat.Layer{Thickness: c.meter("t_ins"), K: c.k()}
		pipe := heat.Cylinder{
			Fluid: c.fluid(), Diameter: c.meter("d_pipe"), Layers: []heat.Layer{layer}, Emissivity: c.emissivity(),
		}
		return outputs{"hours": float64(years[name].Hours(pipe, c.speed()))}
	}
	seen := map[string]bool{}
	for _, c := range readChecks(t) {
		answer := answers[c.Quantity]
		if c.Quantity == "hours_cover_surface_below_dew_point" {
			answer = hours
		}
		if answer == nil {
			continue
		}
		seen[c.Quantity] = true
		t.Run(c.ID, func(t *testing.T) { compare(t, c, answer(c)) })
	}
	require.Len(t, seen, len(answers)+1, "a quantity has no case")
}

// compare holds the answer to the case. A refusal that the package does not
// tell apart is NaN in every number: the caller names the field.
func compare(t *testing.T, c checkCase, got outputs) {
	t.Helper()
	code, refused := c.Expected["error"]
	if refused && got["error"] == nil {
		for name, number := range got {
			if number, ok := number.(float64); ok && name != "t_dp" {
				require.True(t, math.IsNaN(number), "%s of %s: %s", name, c.ID, c.Source)
			}
		}
		require.Equal(t, "SIZE_RANGE", code.Value)
		return
	}
	for name, want := range c.Expected {
		require.Contains(t, got, name)
		number, ok := want.Value.(float64)
		if !ok {
			require.Equal(t, want.Value, got[name], "%s: %s", name, c.Source)
			continue
		}
		tol, ok := c.Tolerance[name]
		require.True(t, ok, "no tolerance for %s", name)
		require.InDelta(t, number, got[name], math.Max(tol.Abs, tol.Rel*math.Abs(number)), "%s: %s", name, c.Source)
	}
}

func readTable(t testing.TB, name string) climate.Hourly {
	t.Helper()
	file, err := os.Open(filepath.Join(checkDir, name))
	require.NoError(t, err)
	defer file.Close()
	year, err := climate.ReadHourTable(file)
	require.NoError(t, err)
	return year
}

func prepare(t testing.TB, year climate.Hourly) *heat.SurfaceYear {
	t.Helper()
	vapor := make([]unit.Pascal, len(year.Hours))
	for i, h := range year.Hours {
		vapor[i] = h.Vapor
	}
	prepared, err := heat.NewSurfaceYear(year.Temperatures(), vapor, year.Pressure)
	require.NoError(t, err)
	return prepared
}
