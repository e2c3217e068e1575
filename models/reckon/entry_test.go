package reckon_test

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/reckon"
	"drylag/models/unit"
)

// typedAs writes inputs of a question as a person would type them, by the
// fields of a page. What no field can say is not ok.
func typedAs(q reckon.Quantity, given map[string]reckon.Given) (fields map[string]string, ok bool) {
	fields = map[string]string{}
	for _, in := range q.Inputs {
		g, there := given[in.Name]
		if !there {
			continue
		}
		var v any
		if json.Unmarshal(g.Value, &v) != nil || !typeOne(fields, in, v, g.Unit) {
			return nil, false
		}
	}
	return fields, true
}

func typeOne(fields map[string]string, in reckon.Input, v any, of string) bool {
	switch v := v.(type) {
	case nil:
		return in.Null != ""
	case bool:
		fields[in.Name] = map[bool]string{true: "yes", false: "no"}[v]
	case string:
		fields[in.Name] = v
		return in.Shape == reckon.Word || in.Shape == reckon.Climate
	case float64:
		fields[in.Name] = typedNumber(v, of, in)
	case []any:
		for i, one := range v {
			if in.Shape == reckon.Numbers {
				fields[reckon.Place(in.Name, i+1, "")] = typedNumber(one.(float64), of, in)
				continue
			}
			of, _, _ = strings.Cut(of, " (k") // a remark
			units := strings.Split(of+",,", ",")
			for j, f := range in.Fields {
				if number, there := one.(map[string]any)[f.Name]; there {
					fields[reckon.Place(in.Name, i+2, f.Name)] = typedNumber(number.(float64), units[j], f)
				}
			}
		}
	}
	return true
}

func typedNumber(v float64, of string, in reckon.Input) string {
	switch {
	case in.Kind == unit.Share && of == "1":
		v, of = 100*v, "%"
	case of == "1" && in.Plain, in.Shape == reckon.Word, of == "1":
		of = ""
	}
	return strings.TrimSpace(strconv.FormatFloat(v, 'g', -1, 64) + " " + of)
}

// What is typed on a page is answered as the same question in JSON is, for
// every case of the checks, in both systems.
func TestEntryAnswersAsTheQuestion(t *testing.T) {
	climates, asked := shelf(), map[string]int{}
	for _, c := range readChecks(t) {
		q, known := reckon.Named(c.Quantity)
		given, err := reckon.ReadInputs(c.inputs(t))
		fields, ok := typedAs(q, given)
		if !known || err != nil || !ok {
			continue
		}
		t.Run(c.ID, func(t *testing.T) {
			want, wantErr := reckon.Ask(reckon.Question{Quantity: c.Quantity, Inputs: given}, climates)
			if want.Quantity == "unit_conversion" {
				for _, e := range c.Expected {
					fields[reckon.Want] = e.Unit
				}
				want, wantErr = reckon.Ask(reckon.Question{Quantity: c.Quantity, Inputs: given, Want: c.want()}, climates)
			}
			for _, s := range []unit.System{unit.SI, unit.IP} {
				entry := q.Entry(func(f string) string { return fields[f] }, s, climates)
				told, err := entry.Answer(climates)
				if wantErr != nil {
					require.Error(t, err, "%v", fields)
					continue
				}
				require.NoError(t, err, "%v", fields)
				require.Len(t, told, len(want.Outputs))
				for _, o := range told {
					require.NotEmpty(t, o.In(s))
					require.NotEmpty(t, o.Brief(s))
					same(t, o, want.Outputs[o.Name])
				}
				asked[c.Quantity]++
			}
		})
	}
	require.Greater(t, len(asked), 70)
}

// same compares in the unit of the question; a table that prints inches on its
// own differs from converted millimeters in its last figure.
func same(t *testing.T, got reckon.Told, want reckon.Got) {
	number, ok := want.Value.(float64)
	if !ok {
		require.Equal(t, want.Value, got.SI.Value)
		require.Equal(t, want.Value, got.IP.Value)
		return
	}
	for _, g := range []reckon.Got{got.SI, got.IP} {
		from := g.Unit
		if got.Kind == unit.TempDifference && from == "degF" {
			from = "delta degF"
		}
		v, err := unit.Convert(g.Value.(float64), from, want.Unit)
		require.NoError(t, err)
		size := max(1e-30, number, -number)
		tolerance := 1e-7
		if got.Kind == unit.Thickness {
			tolerance = 2e-3
		}
		require.InDelta(t, 0, (v-number)/size, tolerance, "%s: %v against %v", got.Name, g, want)
	}
}

func entryOf(t *testing.T, quantity string, s unit.System, fields ...string) reckon.Entry {
	t.Helper()
	q, ok := reckon.Named(quantity)
	require.True(t, ok)
	by := map[string]string{}
	for i := 0; i < len(fields); i += 2 {
		by[fields[i]] = fields[i+1]
	}
	return q.Entry(func(f string) string { return by[f] }, s, nil)
}

func TestEntryIsUnderstood(t *testing.T) {
	e := entryOf(t, "covered_cylinder", unit.IP, "t_fluid", "44", "d_pipe", "168.3 mm", "t_air", "85F", "rh", "80", "emissivity", "0.9",
		"layers_2_t", "1 1/2", "layers_2_k0", "0.26", "layers_5_t", "20 mm", "layers_5_k0", "0.04 W/(m K)")
	require.Empty(t, e.Faults)
	said := map[string]string{}
	for _, in := range e.Entered {
		said[in.Label] = fmt.Sprintf("%s|%s|%s|%v", in.Typed, in.SI, in.IP, in.Usual)
	}
	require.Equal(t, map[string]string{
		"fluid temperature":             "44|6.666667 °C|44 °F|false",
		"outside diameter of the metal": "168.3 mm|168.3 mm|6.625984 in|false",
		"room temperature":              "85F|29.44444 °C|85 °F|false",
		"relative humidity":             "80|80 %|80 %|false",
		"emissivity of the surface":     "0.9|0.9|0.9|false",
		"air speed over it":             "|0 m/s|0 ft/min|true",
		"station pressure":              "|101.325 kPa|14.69595 psi|true",
		"thickness, 2":                  "1 1/2|38.1 mm|1.5 in|false",
		"conductivity at 0 °C, 2":       "0.26|0.03749925 W/(m K)|0.26 Btu in/(h ft² °F)|false",
		"its rise per °C, 2":            "|0 W/(m K²)|0 W/(m K²)|true",
		"thickness, 5":                  "20 mm|20 mm|0.7874016 in|false",
		"conductivity at 0 °C, 5":       "0.04 W/(m K)|0.04 W/(m K)|0.2773389 Btu in/(h ft² °F)|false",
		"its rise per °C, 5":            "|0 W/(m K²)|0 W/(m K²)|true",
	}, said)
}

func TestEntryFindsEveryFault(t *testing.T) {
	tests := []struct {
		quantity string
		fields   []string
		want     []string // field: message
	}{
		{"dew_point", nil, []string{"t: give air temperature, in °F", "rh: give relative humidity, in %"}},
		{"dew_point", []string{"t", "warm", "rh", "120"}, []string{`t: air temperature: "warm" is not a number`, "rh: relative humidity must be above 0 and at most 100 %, not 120"}},
		{"dew_point", []string{"t", "500", "rh", "50"}, []string{"t: air temperature must be -148 to 392 °F, not 500"}},
		{"dew_point", []string{"t", "5 ft", "rh", "50"}, []string{`t: air temperature: "5 ft" has no unit of temperature`}},
		{"rh_from_dew_point", []string{"t", "50", "t_dp", "60"}, []string{"t_dp: the dew point cannot be above the air temperature"}},
		{"vapor_flux_series", []string{"p1", "1", "p2", "1", "resistances_2", "x"}, []string{`resistances_2: resistances: "x" is not a number`}},
		{"vapor_flux_series", []string{"p1", "1", "p2", "1"}, []string{"resistances_1: their sum must be above 0"}},
		{"flat_fixed_h", []string{"t_fluid", "44", "t_air", "80", "h_out", "2"}, []string{"layers_1_t: give layers from the fluid outward, one row at least"}},
		{"flat_fixed_h", []string{"t_fluid", "44", "t_air", "80", "h_out", "2", "layers_3_t", "1"}, []string{"layers_3_k0: give conductivity at 0 °C"}},
		{"flat_fixed_h", []string{"t_fluid", "44", "t_air", "80", "h_out", "2", "layers_3_t", "1", "layers_3_k0", "0.3", "layers_3_k1", "-1"},
			[]string{"layers_3_k0: the conductivity must be above 0"}},
		{"cui_table_rate", []string{"t_service", "44", "driver", "wettish"}, []string{"driver: wetness class is one of"}},
		{"box_area", []string{"l", "1", "w", "1", "h", "1"}, []string{"open_bottom: give open at the bottom"}},
		{"unit_conversion", []string{"value", "12 parsecs"}, []string{"value: value:"}},
		{"unit_conversion", []string{"value", "12 in", "want", "kg"}, []string{"want: value is given in"}},
		{"min_thickness_flat_fixed_h", []string{"t_fluid", "40", "t_air", "80", "t_target", "79.99", "k", "20", "h_out", "0.1"}, []string{": 0.5 m are not enough"}},
	}
	for _, tt := range tests {
		t.Run(tt.quantity+" "+strings.Join(tt.fields, " "), func(t *testing.T) {
			e := entryOf(t, tt.quantity, unit.IP, tt.fields...)
			faults := e.Faults
			_, err := e.Answer(nil)
			var answered *reckon.Fault
			require.ErrorAs(t, err, &answered)
			if len(faults) == 0 {
				faults = []*reckon.Fault{answered}
			}
			require.Len(t, faults, len(tt.want), "%v", faults)
			for i, f := range faults {
				require.Contains(t, f.Field+": "+f.Message, tt.want[i])
				require.NotEmpty(t, f.Code)
			}
		})
	}
}

func TestToldIsReadable(t *testing.T) {
	tests := []struct {
		quantity string
		fields   []string
		output   int
		si, ip   string
		brief    string
		source   string
	}{
		{"dew_point", []string{"t", "75", "rh", "50"}, 0, "12.844 °C", "55.12 °F", "55 °F", "PsychroLib 2.5.0: 55.11990433 °F"},
		{"time_to_moisture", []string{"g", "0", "volume", "1", "fraction", "5"}, 0, "never: nothing enters", "never: nothing enters", "never: nothing enters", "definition"},
		{"vapor_diffusivity", []string{"t", "68"}, 0, "2.4191 × 10⁻⁵ m²/s", "2.4191 × 10⁻⁵ m²/s", "2.419 × 10⁻⁵ m²/s", "1.87e-10 times 293.15^2.072, Python 3"},
		{"annual_cost", []string{"q", "100 W", "hours", "8760", "cop", "4", "tariff", "0.12"}, 1, "26.28", "26.28", "26.28", "100 W 8760 h / 4 = 219 kWh, times 0.12"},
		{"cui_driver", []string{"wet_fraction", "70", "below_dew_point", "yes"}, 0, "severe", "severe", "severe", "above 60 %"},
		{"class_maximum_interval", []string{"class", "4", "look", "thickness"}, 0, "the owner's own", "the owner's own", "the owner's own", "models/metal ClassLimits(4)"},
		{"unit_conversion", []string{"value", "12 in", "want", "mm"}, 0, "304.8 mm", "304.8 mm", "304.8 mm", "definition of the inch"},
		{"unit_conversion", []string{"value", "12 in"}, 0, "0.3048 m", "0.3048 m", "0.3048 m", "definition of the inch"},
	}
	for _, tt := range tests {
		t.Run(tt.quantity, func(t *testing.T) {
			told, err := entryOf(t, tt.quantity, unit.IP, tt.fields...).Answer(nil)
			require.NoError(t, err)
			got := told[tt.output]
			require.Equal(t, []string{tt.si, tt.ip, tt.brief}, []string{got.In(unit.SI), got.In(unit.IP), got.Brief(unit.IP)}, tt.source)
		})
	}
}

func TestHintsOfInputs(t *testing.T) {
	q, _ := reckon.Named("dew_point")
	require.Equal(t, "-148 to 392 °F", q.Inputs[0].RangeIn(unit.IP))
	require.Equal(t, "-100 to 200 °C", q.Inputs[0].RangeIn(unit.SI))
	require.Equal(t, "above 0 and at most 100 %", q.Inputs[1].RangeIn(unit.SI))
	q, _ = reckon.Named("wet_bulb")
	require.Equal(t, "101.325 kPa", q.Inputs[2].Usual(unit.SI))
	q, _ = reckon.Named("annual_cost")
	require.Equal(t, "0 per kWh or more", q.Inputs[3].RangeIn(unit.IP))
	require.Equal(t, "per kWh", q.Inputs[3].UnitSymbol(unit.IP))
	q, _ = reckon.Named("thickness_trend")
	require.Equal(t, "1800 to 2200", q.Inputs[1].RangeIn(unit.IP), "a year of the calendar")
	for _, q := range reckon.All() {
		for _, in := range q.Inputs {
			if in.Shape == reckon.Number {
				require.NotEmpty(t, in.RangeIn(unit.IP), "%s %s", q.Name, in.Name)
			}
			for _, w := range in.Words {
				require.NotContains(t, reckon.Spoken(w), "_")
			}
		}
	}
}

func TestSearch(t *testing.T) {
	require.Len(t, reckon.Search(""), len(reckon.All()))
	require.Empty(t, reckon.Search("zeppelin"))
	var names []string
	for _, q := range reckon.Search("Least THICKNESS sweat") {
		names = append(names, q.Name)
	}
	require.Equal(t, []string{"min_thickness_no_condensation"}, names)
}

func TestCautionsNameQuantities(t *testing.T) {
	said := 0
	for _, q := range reckon.All() {
		if q.Caution() != "" {
			said++
		}
	}
	require.Equal(t, 18, said)
	q, _ := reckon.Named("thickness_trend")
	require.Contains(t, q.Caution(), "licensed engineer")
}
