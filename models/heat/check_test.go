package heat_test

import (
	"maps"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/air"
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/unit"
	"drylag/testdata/check"
)

const checkDir = "../../testdata/check"

// checkCase reads a case of testdata/check/physics.json in the units of this package.
type checkCase struct{ check.Case }

func (c checkCase) celsius(n string) unit.Celsius { return unit.Celsius(c.Number(n)) }
func (c checkCase) meter(n string) unit.Meter     { return unit.Meter(c.Number(n)) }
func (c checkCase) emissivity() unit.Fraction     { return unit.Fraction(c.Number("emissivity")) }
func (c checkCase) speed() unit.MPerS             { return unit.MPerS(c.Number("air_speed")) }
func (c checkCase) fluid() unit.Celsius           { return c.celsius("t_fluid") }

func (c checkCase) k() heat.Conductivity {
	return heat.Conductivity{AtZero: unit.WPerMK(c.Number("k0")), PerK: c.Number("k1")}
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
	if c.Has("p") {
		room.Pressure = unit.Pascal(c.Number("p"))
	}
	if c.Has("t_sur") {
		room.Walls = new(c.celsius("t_sur"))
	}
	return room
}

func (c checkCase) dew() unit.Celsius {
	return air.DewPoint(c.celsius("t_air"), unit.Fraction(c.Number("rh")))
}

func (c checkCase) fixed() heat.FixedFilm {
	return heat.FixedFilm{Air: c.celsius("t_air"), H: unit.WPerM2K(c.Number("h_out"))}
}

// outputs maps the names of a case to numbers and yes or no.
type outputs map[string]any

// answers gives every quantity of the file that is this package's.
var answers = map[string]func(c checkCase) outputs{
	"air_properties": func(c checkCase) outputs {
		a := heat.PropertiesOf(c.celsius("t"), unit.Pascal(c.Number("p")))
		return outputs{"mu": a.Viscosity, "k": float64(a.Conductivity), "nu": a.Kinematic, "pr": a.Prandtl}
	},
	"nusselt_free_horizontal_cylinder": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltFreeCylinder(c.Number("ra"), c.Number("pr"))}
	},
	"nusselt_free_vertical_plate": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltFreePlate(c.Number("ra"), c.Number("pr"))}
	},
	"nusselt_forced_cylinder": func(c checkCase) outputs {
		return outputs{"nu": heat.NusseltForcedCylinder(c.Number("re"), c.Number("pr"))}
	},
	"film_coefficient": func(c checkCase) outputs {
		film := heat.Film{Size: c.meter("size"), Speed: c.speed(), Pressure: unit.Pascal(c.Number("p"))}
		if c.Word("geometry") == "vplate" {
			film.Shape = heat.VerticalPlate
		}
		return outputs{"h_c": float64(film.Coefficient(c.celsius("t_s"), c.celsius("t_air")))}
	},
	"free_convection_power_law": func(c checkCase) outputs {
		return outputs{"h_c": float64(heat.PowerLaw(c.Number("c"), unit.Kelvin(c.Number("dt")), c.meter("size"), c.Number("n")))}
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
			H: unit.WPerM2K(c.Number("h")), Density: unit.KgPerM3(c.Number("rho")), HeatCapacity: c.Number("cp"),
			ThermalDiffusivity: c.Number("alpha"), VaporDiffusivity: c.Number("d"),
		}.Coefficient()}
	},
	"min_thickness_flat_fixed_h":    leastFlat,
	"min_thickness_no_condensation": leastCylinder,
	"bare_cylinder":                 bareCylinder,
	"annual_cost": func(c checkCase) outputs {
		plant := heat.Plant{COP: c.Number("cop"), Tariff: c.Number("tariff")}
		cost := plant.Annual(unit.Watt(c.Number("q")), unit.Hours(c.Number("hours")))
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
	inside := heat.Inside{Diameter: c.meter("d_inside"), H: new(unit.WPerM2K(c.Number("h_inside")))}
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
	k := heat.Conductivity{AtZero: unit.WPerMK(c.Number("k"))}
	return least(face.LeastThicknessFixed(k, c.celsius("t_target"), c.fixed()))
}

func leastCylinder(c checkCase) outputs {
	pipe := heat.Cylinder{Fluid: c.fluid(), Diameter: c.meter("d_pipe"), Emissivity: c.emissivity()}
	target := c.dew() + unit.Celsius(c.Number("margin"))
	if c.Has("h_fixed") {
		film := heat.FixedFilm{Air: c.celsius("t_air"), H: unit.WPerM2K(c.Number("h_fixed"))}
		return least(pipe.LeastThicknessFixed(c.k(), target, film))
	}
	return least(pipe.LeastThickness(c.k(), target, c.room()))
}

func bareCylinder(c checkCase) outputs {
	bare := heat.Bare{Fluid: c.celsius("t_s"), Size: c.meter("d"), Emissivity: c.emissivity()}
	got := bare.Solve(c.room(), air.VaporPressure(c.celsius("t_air"), unit.Fraction(c.Number("rh"))))
	return outputs{
		"q_conv": float64(got.Convection), "q_rad": float64(got.Radiation), "m_cond": got.Water,
		"q_lat": float64(got.Latent), "q_total": float64(got.Total()),
	}
}

func TestChecks(t *testing.T) {
	years := map[string]*heat.SurfaceYear{}
	all := maps.Clone(answers)
	all["hours_cover_surface_below_dew_point"] = func(c checkCase) outputs {
		name := c.Word("climate")
		if years[name] == nil {
			years[name] = prepare(t, readTable(t, name))
		}
		layer := heat.Layer{Thickness: c.meter("t_ins"), K: c.k()}
		pipe := heat.Cylinder{
			Fluid: c.fluid(), Diameter: c.meter("d_pipe"), Layers: []heat.Layer{layer}, Emissivity: c.emissivity(),
		}
		return outputs{"hours": float64(years[name].Hours(pipe, c.speed()))}
	}
	check.Run(t, check.Physics(t), all, hold)
}

// hold compares an answer with the case. The one refusal that this package tells
// apart is UNATTAINABLE; of the others the file has a size out of range, which
// leaves the dew point of the air as it is.
func hold(t *testing.T, c check.Case, answer func(checkCase) outputs) {
	got := answer(checkCase{c})
	code, refused := c.Refused()
	if refused && got["error"] != nil {
		require.Equal(t, code, got["error"], c.Source)
		return
	}
	if refused {
		require.Equal(t, "SIZE_RANGE", code)
		delete(got, "t_dp")
	}
	check.Hold(t, c, got)
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
