package reckon_test

import (
	"encoding/json"
	"maps"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
)

// good are inputs that are answered; each case below spoils one of them.
var good = map[string]map[string]any{
	"dew_point":      {"t": in(25, "degC"), "rh": in(0.5, "1")},
	"vapor_pressure": {"t": in(25, "degC"), "rh": in(0.5, "1")},
	"humidity_ratio": {"t": in(25, "degC"), "rh": in(0.5, "1"), "p": in(101325, "Pa")},
	"covered_cylinder": {"t_fluid": in(7, "degC"), "d_pipe": in(0.1143, "m"), "layers": in([]any{map[string]any{"t": 0.025, "k0": 0.034, "k1": 0.0001}}, "m, W/(m K), W/(m K2)"),
		"t_air": in(25, "degC"), "t_sur": in(25, "degC"), "emissivity": in(0.9, "1"), "air_speed": in(0, "m/s"), "p": in(101325, "Pa"), "rh": in(0.6, "1")},
	"min_thickness_no_condensation": {"t_fluid": in(6, "degC"), "d_pipe": in(0.1143, "m"), "k0": in(0.034, "W/(m K)"), "k1": in(0.0001, "W/(m K2)"),
		"t_air": in(30, "degC"), "rh": in(0.8, "1"), "emissivity": in(0.9, "1"), "margin": in(0, "K"), "air_speed": in(0, "m/s")},
	"annual_cost":                 {"q": in(150, "W"), "hours": in(8760, "h"), "cop": in(4.5, "1"), "tariff": in(0.14, "currency/kWh")},
	"coating_volume":              {"area": in(1, "m2"), "dft": in(100, "um"), "volume_solids": in(60, "%"), "loss": in(0.1, "1"), "coats": in(1, "1")},
	"pressure_at_altitude":        {"z": in(100, "m")},
	"rh_from_dew_point":           {"t": in(25, "degC"), "t_dp": in(10, "degC")},
	"rh_from_wet_bulb":            {"t": in(25, "degC"), "t_wb": in(18, "degC"), "p": in(101325, "Pa")},
	"dew_point_from_pv":           {"p_w": in(1500, "Pa")},
	"hours_metal_below_dew_point": {"climate": in("climates/room_open.csv", "file"), "t_metal": in(7, "degC")},
	"hours_cover_surface_below_dew_point": {"climate": in("climates/room_open.csv", "file"), "t_fluid": in(7, "degC"), "d_pipe": in(0.1143, "m"), "t_ins": in(0.013, "m"),
		"k0": in(0.035, "W/(m K)"), "emissivity": in(0.9, "1")},
	"vapor_ingress_cylinder": {"t_metal": in(7, "degC"), "t_s": in(23.9, "degC"), "t_air": in(27, "degC"), "rh": in(0.6, "1"), "r_inner": in(0.05715, "m"), "r_outer": in(0.08215, "m"),
		"permeability": in(1.5e-10, "kg/(m s Pa)"), "facing_permeance": in(0.02, "perm")},
	"defect_ingress": {"t_air": in(27, "degC"), "rh": in(0.6, "1"), "t_metal": in(7, "degC"), "length": in(1.2, "m"), "gap": in(0.001, "m"), "t_ins": in(0.025, "m"),
		"permeability": in(1.5e-10, "kg/(m s Pa)"), "lap_depth": in(0.01, "m")},
	"vapor_flux_series":  {"p1": in(1404, "Pa"), "p2": in(234, "Pa"), "resistances": in([]any{1.2e10, 4e8}, "m2 s Pa/kg")},
	"flange_pair_area":   {"d_flange": in(0.229, "m"), "width": in(0.06, "m"), "t_eff": in(0.025, "m"), "d_pipe": in(0.1143, "m")},
	"cui_driver":         {"wet_fraction": in(0.5, "1"), "below_dew_point": in(true, "bool")},
	"cui_table_rate":     {"t_service": in(43, "degF"), "driver": in("mild", "word")},
	"d610_grade":         {"rusted_area": in(1, "%")},
	"pipe_size":          {"nps": in(2, "in"), "schedule": in("40", "word")},
	"class_150_flange":   {"nps": in(2, "in")},
	"pressure_thickness": {"pressure": in(3, "MPa"), "od": in(219.1, "mm"), "stress": in(137.9, "MPa"), "e": in(1, "1")},
	"thickness_trend": {"t_first": in(0.475, "in"), "year_first": in(2001, "yr"), "t_previous": in(0.45, "in"), "year_previous": in(2006, "yr"),
		"t_last": in(0.4, "in"), "year_last": in(2011, "yr"), "t_required": in(0.3, "in")},
	"class_maximum_interval": {"class": in(1, "1"), "look": in("thickness", "word")},
	"time_to_moisture":       {"g": in(1e-9, "kg/s"), "volume": in(0.01, "m3"), "fraction": in(0.01, "1")},
	"lewis_mass_coefficient": {"h": in(5, "W/(m2 K)"), "rho": in(1.2, "kg/m3"), "cp": in(1006, "J/(kg K)"), "alpha": in(2e-5, "m2/s"), "d": in(2.5e-5, "m2/s")},
	"film_coefficient":       {"t_s": in(7, "degC"), "t_air": in(25, "degC"), "geometry": in("hcyl", "enum"), "size": in(0.06, "m")},
	"cylinder_fixed_h": {"t_fluid": in(60, "degC"), "t_air": in(5, "degC"), "d_inside": in(0.05, "m"), "h_inside": in(60, "W/(m2 K)"),
		"layers": in([]any{map[string]any{"t": 0.0025, "k0": 80}}, "m, W/(m K)"), "h_out": in(18, "W/(m2 K)")},
	"free_convection_power_law": {"c": in(1.37, "W/(m^1.75 K^1.25)"), "dt": in(20, "K"), "size": in(0.3, "m"), "n": in(0.25, "1")},
	"iso9223_carbon_steel":      {"t": in(10, "degC"), "rh": in(75, "%"), "so2": in(10, "mg/(m2 d)"), "chloride": in(3, "mg/(m2 d)")},
	"wetness_interval":          {"eta": in(-1, "1"), "k": in(1.2, "1"), "co": in(1, "1"), "cw": in(2, "1"), "pi": in(0.05, "1"), "gam": in(0.5, "1")},
	"unit_conversion":           {"value": in(1, "in")},
}

// Each code of the package, with the field that it names.
func TestFaults(t *testing.T) {
	layer := func(t, k0, k1 any) any {
		return in([]any{map[string]any{"t": t, "k0": k0, "k1": k1}}, "m, W/(m K), W/(m K2)")
	}
	cases := []struct {
		code, quantity, input string
		given                 any    // nil: left out
		field                 string // "": the input
	}{
		{"RH_RANGE", "dew_point", "rh", in(0, "1"), ""},
		{"RH_RANGE", "dew_point", "rh", in(1.0001, "1"), ""},
		{"RH_RANGE", "vapor_pressure", "rh", in(-1, "%"), ""},
		{"RH_RANGE", "dew_point", "rh", in(1e-7, "1"), ""},
		{"T_RANGE", "dew_point", "t", in(201, "degC"), ""},
		{"T_RANGE", "dew_point", "t", in("NaN", "degC"), ""},
		{"T_RANGE", "dew_point", "t", in("", "degC"), ""},
		{"T_RANGE", "dew_point", "t", in(nil, "degC"), ""},
		{"T_RANGE", "dew_point", "t", in("25", "degC"), ""},
		{"T_RANGE", "dew_point", "t", in(true, "degC"), ""},
		{"T_RANGE", "dew_point", "t", in([]any{25}, "degC"), ""},
		{"T_RANGE", "dew_point", "t", in(json.Number("1e999"), "degC"), ""},
		{"T_RANGE", "dew_point", "t", map[string]any{"unit": "degC"}, ""},
		{"DP_ABOVE_DB", "rh_from_dew_point", "t_dp", in(25.1, "degC"), ""},
		{"WB_ABOVE_DB", "rh_from_wet_bulb", "t_wb", in(25.1, "degC"), ""},
		{"Z_RANGE", "pressure_at_altitude", "z", in(-501, "m"), ""},
		{"P_RANGE", "humidity_ratio", "p", in(0, "Pa"), ""},
		{"PV_RANGE", "humidity_ratio", "p", in(1500, "Pa"), ""},
		{"PV_RANGE", "dew_point_from_pv", "p_w", in(-1, "Pa"), ""},
		{"SIZE_RANGE", "covered_cylinder", "d_pipe", in(3.1, "m"), ""},
		{"SIZE_RANGE", "vapor_ingress_cylinder", "r_outer", in(0.05, "m"), ""},
		{"SIZE_RANGE", "flange_pair_area", "d_pipe", in(0.3, "m"), ""},
		{"THICKNESS_RANGE", "covered_cylinder", "layers", layer(0, 0.034, 0), "layers[0].t"},
		{"THICKNESS_RANGE", "covered_cylinder", "layers", layer(0.51, 0.034, 0), "layers[0].t"},
		{"THICKNESS_RANGE", "covered_cylinder", "layers", in([]any{}, "m, W/(m K)"), ""},
		{"THICKNESS_RANGE", "covered_cylinder", "layers", in(0.025, "m"), ""},
		{"THICKNESS_RANGE", "defect_ingress", "t_ins", in(0, "m"), ""},
		{"K_RANGE", "covered_cylinder", "layers", layer(0.025, 0.004, 0), "layers[0].k0"},
		{"K_RANGE", "covered_cylinder", "layers", layer(0.025, 0.034, -0.01), "layers[0].k0"},
		{"K_RANGE", "min_thickness_no_condensation", "k1", in(-0.01, "W/(m K2)"), "k0"},
		{"K_RANGE", "hours_cover_surface_below_dew_point", "k0", in(501, "W/(m K)"), ""},
		{"EMISSIVITY_RANGE", "covered_cylinder", "emissivity", in(1.1, "1"), ""},
		{"SPEED_RANGE", "covered_cylinder", "air_speed", in(-0.1, "m/s"), ""},
		{"SPEED_RANGE", "covered_cylinder", "air_speed", in(20.1, "m/s"), ""},
		{"COP_RANGE", "annual_cost", "cop", in(0, "1"), ""},
		{"HOURS_RANGE", "annual_cost", "hours", in(8785, "h"), ""},
		{"TARIFF_RANGE", "annual_cost", "tariff", in(-0.01, "currency/kWh"), ""},
		{"HEAT_RANGE", "annual_cost", "q", in(nil, "W"), ""},
		{"VS_RANGE", "coating_volume", "volume_solids", in(100.5, "%"), ""},
		{"LOSS_RANGE", "coating_volume", "loss", in(0.96, "1"), ""},
		{"FILM_RANGE", "coating_volume", "dft", in(0, "um"), ""},
		{"COUNT_RANGE", "coating_volume", "coats", in(1.5, "1"), ""},
		{"AREA_RANGE", "coating_volume", "area", in(-1, "m2"), ""},
		{"UNATTAINABLE", "min_thickness_no_condensation", "rh", in(1, "1"), "t"},
		{"CLIMATE_ROWS", "hours_metal_below_dew_point", "climate", in("learning/prior.csv", "file"), ""},
		{"CLIMATE_FILE", "hours_metal_below_dew_point", "climate", in("climates/none.csv", "file"), ""},
		{"CLIMATE_FILE", "hours_metal_below_dew_point", "climate", in("../check/climates/room_open.csv", "file"), ""},
		{"CLIMATE_FILE", "hours_metal_below_dew_point", "climate", in("/etc/passwd", "file"), ""},
		{"CLIMATE_FILE", "hours_metal_below_dew_point", "climate", in(7, "file"), ""},
		{"H_RANGE", "lewis_mass_coefficient", "h", in(-1, "W/(m2 K)"), ""},
		{"PROPERTY_RANGE", "lewis_mass_coefficient", "cp", in(0, "J/(kg K)"), ""},
		{"DIFFERENCE_RANGE", "min_thickness_no_condensation", "margin", in(-1, "K"), ""},
		{"PERMEABILITY_RANGE", "defect_ingress", "permeability", in(-1, "kg/(m s Pa)"), ""},
		{"PERMEANCE_RANGE", "vapor_ingress_cylinder", "facing_permeance", in(-0.1, "perm"), ""},
		{"PERMEANCE_RANGE", "vapor_flux_series", "resistances", in([]any{}, "m2 s Pa/kg"), ""},
		{"FLOW_RANGE", "time_to_moisture", "g", in(-1, "kg/s"), ""},
		{"VOLUME_RANGE", "time_to_moisture", "volume", in(0, "m3"), ""},
		{"FRACTION_RANGE", "cui_driver", "wet_fraction", in(1.2, "1"), ""},
		{"RATE_RANGE", "thickness_interval", "rate", in("NaN", "mm/yr"), ""},
		{"PRESSURE_RANGE", "pressure_thickness", "pressure", in(-1, "psi"), ""},
		{"FACTOR_RANGE", "pressure_thickness", "e", in(0, "1"), ""},
		{"FACTOR_RANGE", "free_convection_power_law", "c", in(-1, "1"), ""},
		{"DEPOSIT_RANGE", "iso9223_carbon_steel", "so2", in(-1, "mg/(m2 d)"), ""},
		{"YEARS_RANGE", "thickness_trend", "year_previous", in(2012, "yr"), ""},
		{"COST_RANGE", "wetness_interval", "co", in(0, "1"), ""},
		{"MODEL_RANGE", "wetness_interval", "k", in(0, "1"), ""},
		{"CHANCE_RANGE", "wetness_interval", "pi", in(2, "1"), ""},
		{"VALUE_RANGE", "unit_conversion", "value", in("much", "in"), ""},
		{"SIZE_UNKNOWN", "pipe_size", "nps", in(3.5, "in"), ""},
		{"SIZE_UNKNOWN", "class_150_flange", "nps", in(1, "in"), ""},
		{"CLASS_UNKNOWN", "class_maximum_interval", "class", in(5, "1"), ""},
		{"CLASS_UNKNOWN", "class_maximum_interval", "class", in(1.5, "1"), ""},
		{"MISSING_INPUT", "dew_point", "rh", nil, ""},
		{"MISSING_INPUT", "covered_cylinder", "layers", in([]any{map[string]any{"t": 0.025}}, "m, W/(m K)"), "layers[0].k0"},
		{"MISSING_INPUT", "covered_cylinder", "h_inside", in(500, "W/(m2 K)"), "d_inside"},
		{"MISSING_INPUT", "vapor_ingress_cylinder", "facing_permeance", nil, ""},
		{"UNKNOWN_INPUT", "dew_point", "humidity", in(0.5, "1"), ""},
		{"UNKNOWN_INPUT", "covered_cylinder", "layers", in([]any{map[string]any{"t": 0.025, "k": 0.034}}, "m, W/(m K)"), "layers[0].k"},
		{"UNKNOWN_UNIT", "dew_point", "t", in(25, "celsius degrees"), ""},
		{"UNKNOWN_UNIT", "dew_point", "t", in(25, ""), ""},
		{"UNKNOWN_UNIT", "covered_cylinder", "layers", in([]any{map[string]any{"t": 0.025, "k0": 0.034}}, "m, furlong"), ""},
		{"UNKNOWN_UNIT", "unit_conversion", "value", in(1, "furlong"), ""},
		{"WRONG_UNIT", "dew_point", "t", in(25, "Pa"), ""},
		{"WRONG_UNIT", "dew_point", "t", in(298, "K"), ""},
		{"WRONG_UNIT", "covered_cylinder", "layers", in([]any{map[string]any{"t": 0.025, "k0": 0.034}}, "m, m"), ""},
		{"WRONG_UNIT", "cui_driver", "below_dew_point", in(true, "m"), ""},
		{"WRONG_UNIT", "free_convection_power_law", "c", in(1.3, "W/(m2 K)"), ""},
		{"UNKNOWN_WORD", "cui_table_rate", "driver", in("soaked", "word"), ""},
		{"UNKNOWN_WORD", "cui_driver", "below_dew_point", in("maybe", "bool"), ""},
		{"UNKNOWN_WORD", "film_coefficient", "geometry", in(nil, "enum"), ""},
		{"NO_ANSWER", "vapor_ingress_cylinder", "t_s", in(7, "degC"), ""},
		{"UNKNOWN_QUANTITY", "wind_chill", "t", in(7, "degC"), "quantity"},
		{"WRONG_SHAPE", "dew_point", "t", 25, ""},
	}
	extra := map[string]map[string]any{ // what else is spoiled
		"NO_ANSWER":  {"facing_permeance": in(nil, "perm")},
		"RATE_RANGE": {"t_last": in(5, "mm"), "t_required": in(3, "mm"), "class_maximum": in(nil, "yr")},
	}
	for _, c := range cases {
		t.Run(c.code+" "+c.quantity+" "+c.input, func(t *testing.T) {
			inputs := maps.Clone(good[c.quantity])
			if inputs == nil {
				inputs = map[string]any{}
			}
			maps.Copy(inputs, extra[c.code])
			if inputs[c.input] = c.given; c.given == nil {
				delete(inputs, c.input)
			}
			a := ask(t, asked(c.quantity, inputs, nil))[0]
			require.NotNil(t, a.Error, "%v", a.Outputs)
			require.Equal(t, c.code, a.Error.Code, a.Error.Message)
			field := c.field
			if field == "" {
				field = c.input
			}
			require.Equal(t, field, a.Error.Field, a.Error.Message)
			require.NotEmpty(t, a.Error.Message)
			require.Empty(t, a.Outputs, "nothing is computed")
			require.Equal(t, "1", a.ID)
		})
	}
}

// The good inputs are good, so that each case above fails for what it spoils.
func TestGoodInputsAreAnswered(t *testing.T) {
	for quantity, inputs := range good {
		require.NotEmpty(t, answer(t, quantity, inputs, nil), quantity)
	}
}

func TestWantThatCannotBe(t *testing.T) {
	for _, c := range []struct{ output, unit, code string }{
		{"t_dp", "furlong", "UNKNOWN_UNIT"}, {"t_dp", "m", "WRONG_UNIT"}, {"dew", "degC", "UNKNOWN_OUTPUT"}, {"condenses", "1", "WRONG_UNIT"},
	} {
		a := ask(t, asked("covered_cylinder", good["covered_cylinder"], map[string]string{c.output: c.unit}))[0]
		require.NotNil(t, a.Error)
		require.Equal(t, c.code, a.Error.Code)
		require.Equal(t, "want", a.Error.Field)
	}
}

func TestFaultSaysItself(t *testing.T) {
	require.Equal(t, "T_RANGE: t: must be there", (&reckon.Fault{Code: "T_RANGE", Field: "t", Message: "must be there"}).Error())
	require.Equal(t, "NOT_JSON: no", (&reckon.Fault{Code: "NOT_JSON", Message: "no"}).Error())
}
