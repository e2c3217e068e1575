package reckon_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
)

// asked writes one line from pairs of input and JSON value with unit.
func asked(quantity string, inputs map[string]any, want map[string]string) string {
	text, err := json.Marshal(map[string]any{"id": "1", "quantity": quantity, "inputs": inputs, "want": want})
	if err != nil {
		panic(err)
	}
	return string(text)
}

func in(value any, unit string) map[string]any { return map[string]any{"value": value, "unit": unit} }

// answer answers one question that must not fail.
func answer(t testing.TB, quantity string, inputs map[string]any, want map[string]string) map[string]reckon.Got {
	t.Helper()
	inputsText, err := json.Marshal(inputs)
	require.NoError(t, err)
	read, err := reckon.ReadInputs(inputsText)
	require.NoError(t, err)
	got, err := reckon.Ask(reckon.Question{Quantity: quantity, Inputs: read, Want: want}, shelf())
	require.NoError(t, err)
	return got.Outputs
}

// The values of testdata/check/learning were made with R, see its README.
func TestWetnessAgreesWithR(t *testing.T) {
	var policy struct {
		Index     []struct{ Eta, K, U, W, F float64 }
		Threshold []struct{ Eta, K, P, T float64 }
		After     []struct {
			Eta         float64
			EtaAfter    float64 `json:"eta_after"`
			K, U, CW, W float64
		} `json:"index_after"`
	}
	var expected struct {
		Interval []struct {
			Eta, K, Co, Cw, Cr, Pi, Gam float64
			T                           *float64
			C, P                        float64
		}
	}
	readJSON(t, "policy.json", &policy)
	readJSON(t, "expected.json", &expected)
	for _, w := range policy.Index {
		got := answer(t, "wetness_index", map[string]any{"eta": in(w.Eta, "1"), "k": in(w.K, "1"), "u": in(w.U, "yr"), "co": in(2, "1"), "cw": in(1, "1"), "cr": in(0, "1")}, nil)
		require.InEpsilon(t, w.W, got["w"].Value, 1e-9)
		require.InEpsilon(t, w.F, got["f"].Value, 1e-9)
		require.InEpsilon(t, w.W/2, got["per_opening"].Value, 1e-9)
	}
	for _, w := range policy.Threshold {
		got := answer(t, "wetness_threshold", map[string]any{"eta": in(w.Eta, "1"), "k": in(w.K, "1"), "p": in(w.P, "1")}, map[string]string{"t": "1"})
		require.InEpsilon(t, w.T, got["t"].Value, 1e-9)
	}
	for _, w := range policy.After {
		got := answer(t, "wetness_index_after", map[string]any{"eta": in(w.Eta, "1"), "eta_after": in(w.EtaAfter, "1"), "k": in(w.K, "1"), "u": in(w.U, "1"), "cw": in(w.CW, "1")}, nil)
		require.InEpsilon(t, w.W, got["w"].Value, 1e-9)
	}
	require.Len(t, expected.Interval, 57)
	for _, w := range expected.Interval {
		got := answer(t, "wetness_interval", map[string]any{"eta": in(w.Eta, "1"), "k": in(w.K, "1"), "co": in(w.Co, "1"), "cw": in(w.Cw, "1"),
			"cr": in(w.Cr, "1"), "pi": in(w.Pi, "1"), "gam": in(w.Gam, "1")}, map[string]string{"t": "yr"})
		require.InEpsilon(t, w.C, got["c"].Value, 1e-7)
		require.InDelta(t, w.P, got["p"].Value, 1e-6)
		if w.T == nil {
			require.Nil(t, got["t"].Value, "never pays")
			continue
		}
		require.InEpsilon(t, *w.T, got["t"].Value, 1e-4)
	}
}

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(checkDir + "/learning/" + name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, into))
}

// What testdata/check has no case for.
func TestWithoutACheck(t *testing.T) {
	d := answer(t, "vapor_diffusivity", map[string]any{"t": in(25, "degC"), "p": in(101325, "Pa")}, nil)["d"]
	require.InEpsilon(t, 2.5e-5, d.Value, 0.01, "water vapor in air at 25 °C, textbook tables (from memory)")
	require.Equal(t, "m2/s", d.Unit)

	inputs := map[string]any{"t_s": in(7, "degC"), "d": in(0.1143, "m"), "t_air": in(27, "degC"), "t_sur": in(27, "degC"), "emissivity": in(0.9, "1")}
	dry := answer(t, "bare_cylinder_sensible", inputs, nil)["q_m"].Value.(float64)
	require.InEpsilon(t, (90.93267396+99.84514501)*math.Pi*0.1143, dry, 0.001, "q_conv and q_rad of a bare_cylinder case, computed with a library")

	wall := answer(t, "flat_radiation_fixed_hc", map[string]any{"t_fluid": in(7, "degC"), "t_air": in(24, "degC"), "t_sur": in(40, "degC"),
		"r_inner": in(0.7, "m2 K/W"), "h_c": in(4, "W/(m2 K)"), "emissivity": in(0.8, "1")}, nil)
	q, ts := wall["q"].Value.(float64), wall["t_s"].Value.(float64)
	through := (ts - 7) / 0.7
	film := 4*(24-ts) + 0.8*5.670374419e-8*(math.Pow(40+273.15, 4)-math.Pow(ts+273.15, 4))
	require.InDelta(t, through, q, 1e-6, "what passes the wall")
	require.InDelta(t, film, q, 1e-6, "comes from the film (definition)")
}

// The same answer in every unit in which it can be asked and wanted.
func TestUnits(t *testing.T) {
	const exact = "definition of the units"
	cases := []struct {
		quantity string
		inputs   map[string]any
		output   string
		want     string
		number   float64
		source   string
	}{
		{"dew_point", map[string]any{"t": in(77, "degF"), "rh": in(50, "%")}, "t_dp", "°F", 56.95515, "13.863973 °C, " + exact},
		{"dew_point_ip", map[string]any{"t": in(75, "degF"), "rh": in(0.5, "1")}, "t_dp", "", 12.844391, "55.11990433 °F of the check file, " + exact},
		{"pressure_at_altitude", map[string]any{"z": in(0, "ft")}, "p", "inHg", 29.92126, "standard atmosphere over 3386.389"},
		{"wall_loss", map[string]any{"nominal": in(0.2, "in"), "measured": in(0.15, "in")}, "loss", "1", 0.25, "arithmetic"},
		{"cui_table_rate", map[string]any{"t_service": in(43, "F"), "driver": in("Severe", "word")}, "rate", "", 0.254, "10 mpy, " + exact},
		{"pooling_penalty", map[string]any{"rate": in(5, "mpy"), "pools_or_interface": in(false, "bool")}, "rate", "mpy", 5, "times 1"},
		{"annual_cost", map[string]any{"q": in(1000, "Btu/h"), "hours": in(1, "yr"), "cop": in(4, "1"), "tariff": in(100, "currency/MWh")}, "cost", "currency", 64.18258, "293.07107 W × 8760 h/4 at 0.1"},
		{"box_area", map[string]any{"l": in(1, "ft"), "w": in(1, "ft"), "h": in(1, "ft"), "open_bottom": in(true, "bool")}, "area", "ft2", 5, "five sides"},
		{"spreading_rate", map[string]any{"dft": in(5, "mil"), "volume_solids": in(0.65, "1")}, "rate", "ft2/gal", 208.5, "208.52 of the note, which rounds 16.042 to 16.04"},
		{"time_to_moisture", map[string]any{"g": in(1, "kg/h"), "volume": in(1, "m3"), "fraction": in(2.4, "%")}, "days", "h", 24, "24 kg at 1 kg/h"},
		{"unit_conversion", map[string]any{"value": in(50, "degF")}, "value", "", 10, exact},
		{"unit_conversion", map[string]any{"value": in(2, "ft")}, "value", "", 0.6096, exact},
		{"unit_conversion", map[string]any{"value": in(12, "in")}, "value", "feet", 1, exact},
		{"min_thickness_no_condensation", map[string]any{"t_fluid": in(18, "degC"), "d_pipe": in(4.5, "in"), "k0": in(0.24, "Btu in/(h ft2 F)"),
			"t_air": in(24, "degC"), "rh": in(0.5, "1"), "emissivity": in(0.9, "1"), "margin": in(1, "degC")}, "t", "in", 0, "the fluid is above the dew point and the margin"},
		{"free_convection_power_law", map[string]any{"c": in(1.37, "1"), "dt": in(194.4, "K"), "size": in(0.305, "m"), "n": in(0.25, "1")}, "h_c", "", 6.88, "Geankoplis 4.7, as the check file"},
	}
	for i, c := range cases {
		t.Run(fmt.Sprint(i, c.quantity), func(t *testing.T) {
			want := map[string]string{}
			if c.want != "" {
				want[c.output] = c.want
			}
			got := answer(t, c.quantity, c.inputs, want)[c.output]
			require.InDelta(t, c.number, got.Value, 1e-3*math.Max(0.01, math.Abs(c.number)), c.source)
			if c.want != "" {
				require.Equal(t, c.want, got.Unit, "the unit comes back as it was written")
			}
		})
	}
}

// Nothing, where an answer may be nothing, is null in the unit wanted.
func TestNothingIsNull(t *testing.T) {
	cases := []struct {
		quantity, output string
		inputs           map[string]any
		unit             string
	}{
		{"class_maximum_interval", "interval", map[string]any{"class": in(4, "1"), "look": in("external_visual", "word")}, "yr"},
		{"preparation_grade", "iso", map[string]any{"sspc": in("SSPC-SP 11", "word")}, "word"},
		{"thickness_interval", "interval", map[string]any{"t_last": in(5, "mm"), "t_required": in(3, "mm"), "rate": in(0, "mm/yr"), "class_maximum": in(nil, "yr")}, "yr"},
		{"time_to_moisture", "days", map[string]any{"g": in(0, "kg/s"), "volume": in(1, "m3"), "fraction": in(0.1, "1")}, "d"},
		{"thickness_trend", "half_life", map[string]any{"t_first": in(5, "mm"), "year_first": in(2001, "yr"), "t_previous": in(5, "mm"), "year_previous": in(2006, "yr"),
			"t_last": in(5, "mm"), "year_last": in(2011, "yr"), "t_required": in(3, "mm")}, "yr"},
		{"sealant_volume", "cartridges", map[string]any{"perimeter": in(0.1, "m"), "fillet_leg": in(6, "mm"), "joint_width": in(0, "mm"), "joint_depth": in(0, "mm")}, "1"},
	}
	for _, c := range cases {
		t.Run(c.quantity, func(t *testing.T) {
			got := answer(t, c.quantity, c.inputs, map[string]string{c.output: c.unit})
			require.Equal(t, reckon.Got{Value: nil, Unit: c.unit}, got[c.output])
		})
	}
}

// null in an input that may be left out is the same as leaving it out.
func TestNullLeavesOut(t *testing.T) {
	want := answer(t, "min_thickness_no_condensation", good["min_thickness_no_condensation"], nil)
	inputs := maps.Clone(good["min_thickness_no_condensation"])
	inputs["h_fixed"] = in(nil, "W/(m2 K)")
	require.Equal(t, want, answer(t, "min_thickness_no_condensation", inputs, nil))
}

// What is taken as usual is told.
func TestDefaultsAreShown(t *testing.T) {
	a := ask(t, asked("covered_flat", map[string]any{"t_fluid": in(7, "degC"), "layers": in([]any{map[string]any{"t": 0.025, "k0": 0.034}}, "m, W/(m K)"),
		"t_air": in(25, "degC"), "height": in(0.5, "m"), "emissivity": in(0.9, "1"), "rh": in(0.6, "1")}, nil))[0]
	require.Nil(t, a.Error)
	require.Equal(t, map[string]reckon.Got{"air_speed": {Value: 0.0, Unit: "m/s"}, "p": {Value: 101325.0, Unit: "Pa"}}, a.Defaults)
	require.NotContains(t, ask(t, asked("dew_point", map[string]any{"t": in(25, "degC"), "rh": in(0.5, "1")}, nil))[0].Defaults, "t")
}
