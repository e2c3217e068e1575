package server

import (
	"encoding/json"
	"fmt"
	"html"
	"net/url"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/reckon"
	"drylag/models/unit"
)

// exampleInputs are the inputs of the first check case of each quantity that
// has an answer here; those without a case are invented.
func exampleInputs(t *testing.T) map[string]string {
	t.Helper()
	examples := map[string]string{
		"flat_radiation_fixed_hc": `{"t_fluid":{"value":6,"unit":"degC"},"t_air":{"value":25,"unit":"degC"},"t_sur":{"value":24,"unit":"degC"},"r_inner":{"value":0.7,"unit":"m2 K/W"},"h_c":{"value":3,"unit":"W/(m2 K)"},"emissivity":{"value":0.9,"unit":"1"}}`,
		"bare_cylinder_sensible":  `{"t_s":{"value":6,"unit":"degC"},"t_air":{"value":25,"unit":"degC"},"d":{"value":168.3,"unit":"mm"},"emissivity":{"value":0.9,"unit":"1"}}`,
		"vapor_diffusivity":       `{"t":{"value":20,"unit":"degC"}}`,
		"wetness_interval":        `{"eta":{"value":-2,"unit":"1"},"k":{"value":1.5,"unit":"1"},"co":{"value":1,"unit":"1"},"cw":{"value":2,"unit":"1"}}`,
		"wetness_index":           `{"eta":{"value":-2,"unit":"1"},"k":{"value":1.5,"unit":"1"},"u":{"value":3,"unit":"yr"},"cw":{"value":2,"unit":"1"}}`,
		"wetness_threshold":       `{"eta":{"value":-2,"unit":"1"},"k":{"value":1.5,"unit":"1"},"p":{"value":0.5,"unit":"1"}}`,
		"wetness_index_after":     `{"eta":{"value":-2,"unit":"1"},"eta_after":{"value":-3,"unit":"1"},"k":{"value":1.5,"unit":"1"},"u":{"value":3,"unit":"yr"},"cw":{"value":2,"unit":"1"}}`,
	}
	for _, name := range []string{"physics.json", "standards.json"} {
		text, err := os.ReadFile("../testdata/check/" + name)
		require.NoError(t, err)
		var cases []struct {
			Quantity string
			Inputs   map[string]any
		}
		require.NoError(t, json.Unmarshal(text, &cases))
		for _, c := range cases {
			if _, year := c.Inputs["climate"]; year {
				c.Inputs["climate"] = map[string]any{"value": reckon.Climates()[0], "unit": "file"}
			}
			inputs, err := json.Marshal(c.Inputs)
			require.NoError(t, err)
			given, err := reckon.ReadInputs(inputs)
			if err != nil || examples[c.Quantity] != "" {
				continue
			}
			if _, err = reckon.Ask(reckon.Question{Quantity: c.Quantity, Inputs: given}, nil); err == nil {
				examples[c.Quantity] = string(inputs)
			}
		}
	}
	return examples
}

// addressOf asks the page of a quantity for inputs as JSON has them.
func addressOf(t *testing.T, q reckon.Quantity, inputs string, units string) string {
	t.Helper()
	var given map[string]struct {
		Value any
		Unit  string
	}
	require.NoError(t, json.Unmarshal([]byte(inputs), &given))
	fields := url.Values{"units": {units}}
	for _, in := range q.Inputs {
		g, there := given[in.Name]
		if !there {
			continue
		}
		list, isList := g.Value.([]any)
		if !isList {
			fields.Set(in.Name, asTyped(in, g.Value, g.Unit))
			continue
		}
		remark, _, _ := strings.Cut(g.Unit, " (k")
		own := strings.Split(remark+",,", ",")
		for i, one := range list {
			if in.Shape == reckon.Numbers {
				fields.Set(reckon.Place(in.Name, i+1, ""), asTyped(in, one, g.Unit))
				continue
			}
			for j, f := range in.Fields {
				if v, there := one.(map[string]any)[f.Name]; there {
					fields.Set(reckon.Place(in.Name, i+1, f.Name), asTyped(f, v, own[j]))
				}
			}
		}
	}
	return "/reckoner/" + q.Name + "?" + fields.Encode()
}

func asTyped(in reckon.Input, v any, of string) string {
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	case string:
		return v
	case float64:
		switch {
		case in.Kind == unit.Share && of == "1":
			v, of = 100*v, "%"
		case of == "1" || in.Shape == reckon.Word:
			of = ""
		}
		return strings.TrimSpace(strconv.FormatFloat(v, 'g', -1, 64) + " " + of)
	}
	return fmt.Sprint(v)
}

var exactRE = regexp.MustCompile(`<data value="([^"]*)" data-output="([^"]*)"`)

// The page of every quantity opens empty, and answers its example as reckon
// does, in both systems.
func TestEveryQuantityHasItsPage(t *testing.T) {
	w := newWorld(t)
	c := w.as(models.Inspector)
	examples := exampleInputs(t)
	for _, q := range reckon.All() {
		t.Run(q.Name, func(t *testing.T) {
			empty := c.get("/reckoner/" + q.Name)
			require.Equal(t, 200, empty.status)
			require.Contains(t, empty.body, "the answer comes here")
			require.Contains(t, empty.body, html.EscapeString(q.Answers))
			require.Contains(t, empty.body, q.Caution())
			require.NotEmpty(t, examples[q.Name])
			given, err := reckon.ReadInputs([]byte(examples[q.Name]))
			require.NoError(t, err)
			for _, s := range []unit.System{unit.SI, unit.IP} {
				a := c.get(addressOf(t, q, examples[q.Name], unitsWord(s)))
				require.Equal(t, 200, a.status)
				require.NotContains(t, a.body, "Not answered yet")
				want := map[string]string{}
				for _, o := range q.Outputs {
					if u := o.UnitIn(s); u != "" {
						want[o.Name] = u
					}
				}
				answer, err := reckon.Ask(reckon.Question{Quantity: q.Name, Inputs: given, Want: want}, nil)
				require.NoError(t, err)
				told := exactRE.FindAllStringSubmatch(a.body, -1)
				require.Len(t, told, len(q.Outputs))
				for _, m := range told {
					sameTold(t, answer.Outputs[m[2]].Value, html.UnescapeString(m[1]))
				}
			}
		})
	}
}

func sameTold(t *testing.T, want any, got string) {
	t.Helper()
	number, ok := want.(float64)
	if !ok {
		require.Equal(t, map[bool]string{true: "", false: fmt.Sprint(want)}[want == nil], got)
		return
	}
	v, err := strconv.ParseFloat(got, 64)
	require.NoError(t, err)
	require.InEpsilon(t, 1+number, 1+v, 1e-9)
}

func TestReckonerPages(t *testing.T) {
	w := newWorld(t)
	tests := []struct {
		name, path  string
		has, hasNot []string
	}{
		{"the first page", "/reckoner", []string{"Air at ", `data-output="t_dp">80`, "Moist air", "Take-off", `href="/reckoner/unit_conversion"`, "licensed engineer"}, []string{"…<"}},
		{"a search", "/reckoner?q=seam+TAPE", []string{"1 question has the words “seam TAPE”", "/reckoner/seam_tape"}, []string{"Air at ", "/reckoner/dew_point\""}},
		{"a search without result", "/reckoner?q=zeppelin", []string{"No question has the words “zeppelin”"}, []string{"Moist air"}},
		{"markup in a search", "/reckoner?q=%3Cscript%3E", []string{"&lt;script&gt;"}, []string{"<script>"}},
		{"a sentence answered", "/reckoner/dew_point?t=85&rh=85&units=IP",
			[]string{"Air at 85\u00a0°F and 85\u00a0% has its dew point at <b>80\u00a0°F</b>", "79.978\u00a0°F", "26.655\u00a0°C", "29.44444\u00a0°C", "Read, and compared with a general-purpose library.", `href="/reckoner/dew_point?rh=85&amp;t=85&amp;units=IP"`, "A screening figure, reckoned 25 Nov 2026, 10:43\u00a0UTC."},
			[]string{"This link is read"}},
		{"units of the link", "/reckoner/dew_point?t=29&rh=85&units=SI", []string{"This link is read in SI units.", "Air at 29\u00a0°C", `name="units" value="SI"`}, nil},
		{"units of nobody", "/reckoner/dew_point?t=85&rh=85&units=cubits", []string{`name="units" value="IP"`, "80\u00a0°F"}, nil},
		{"a default is said", "/reckoner/wet_bulb?t=85&rh=50", []string{"nothing: the usual", "101.325\u00a0kPa", "Left empty: 14.69595\u00a0psi, the usual."}, nil},
		{"empty may say something", "/reckoner/vapor_flux_flat?t_air=85&rh=50&t_metal=44&t_ins=1&permeability=1", []string{"Left empty: no facing.", "<td class=\"num\" data-say=\"Inch-pound\">no facing</td>"}, nil},
		{"all faults at once", "/reckoner/dew_point?t=warm&rh=120", []string{"Not answered yet", `id="f-t-fault"`, "is not a number", `id="f-rh-fault"`, "must be above 0 and at most 100\u00a0%, not 120", `value="warm"`, `value="120"`}, []string{"In both systems"}},
		{"a fault of the formula", "/reckoner/rh_from_dew_point?t=50&t_dp=60", []string{`id="f-t_dp-fault"`, "cannot be above the air temperature"}, nil},
		{"a fault of no field", "/reckoner/min_thickness_flat_fixed_h?t_fluid=40&t_air=80&t_target=79.99&k=20&h_out=0.1", []string{"<li>0.5\u00a0m are not enough"}, nil},
		{"rows grow", "/reckoner/flat_fixed_h?layers_3_t=1", []string{`name="layers_4_t"`, `id="f-layers_3_k0-fault"`}, []string{`name="layers_5_t"`}},
		{"a list", "/reckoner/vapor_flux_series?p1=1&p2=0.5&resistances_2=x", []string{`name="resistances_3"`, `id="f-resistances_2-fault"`}, []string{`name="resistances_4"`}},
		{"a conversion", "/reckoner/unit_conversion?value=12+in&want=mm", []string{"304.8\u00a0mm"}, nil},
		{"a conversion that cannot be", "/reckoner/unit_conversion?value=12+in&want=kg", []string{`id="f-want-fault"`}, nil},
		{"strange names are passed over", "/reckoner/dew_point?utm_source=x", []string{"the answer comes here"}, nil},
		{"an empty form says what is asked", "/reckoner/dew_point?t=&rh=", []string{"Give air temperature, in °F or another unit."}, nil},
		{"remaining life has its caution", "/reckoner/thickness_trend?t_first=7.1+mm&year_first=2012&t_previous=6.9+mm&year_previous=2019&t_last=6.7+mm&year_last=2025&t_required=3+mm", []string{"A screening figure: a component near its minimum needs a licensed engineer.", "The wall in 2012: 7.1\u00a0mm"}, nil},
	}
	c := w.as(models.Engineer)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := c.get(tt.path)
			require.Equal(t, 200, a.status)
			for _, text := range tt.has {
				require.Contains(t, a.body, text)
			}
			for _, text := range tt.hasNot {
				require.NotContains(t, a.body, text)
			}
		})
	}
	require.Equal(t, 404, c.get("/reckoner/wind_chill").status)
}

// The ready sentences are whole in both systems: every field is one of the
// question, every answer is there.
func TestReadySentencesAnswer(t *testing.T) {
	for _, s := range []unit.System{unit.SI, unit.IP} {
		all := readySentences(s)
		require.Len(t, all, 6)
		for _, one := range all {
			answers := 0
			for _, p := range one.Pieces {
				switch {
				case p.Field != nil:
					require.NotEmpty(t, p.Answer, "%s %s", one.Quantity.Name, p.ID)
					require.NotEmpty(t, p.Field.Label)
				case p.Output != "":
					answers++
					require.NotContains(t, []string{"", "…"}, p.Answer, "%s %s", one.Quantity.Name, p.Output)
				}
			}
			require.Positive(t, answers)
		}
	}
}
