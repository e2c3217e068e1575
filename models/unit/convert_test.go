package unit_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/unit"
	"drylag/testdata/check"
)

func TestChecks(t *testing.T) {
	convert := map[string]func(value check.Value, to string) (float64, error){
		"unit_conversion": func(v check.Value, to string) (float64, error) { return unit.Convert(v.Value.(float64), v.Unit, to) },
	}
	check.Run(t, check.Physics(t), convert, func(t *testing.T, c check.Case, convert func(check.Value, string) (float64, error)) {
		got, err := convert(c.Inputs["value"], c.Expected["value"].Unit)
		require.NoError(t, err)
		check.Hold(t, c, map[string]float64{"value": got})
	})
}

// Every unit of the check cases is known, but for words and lists.
func TestUnitsOfTheChecksAreKnown(t *testing.T) {
	words := []string{"file", "bool", "enum", "code", ""}
	for _, c := range check.Physics(t) {
		for _, side := range []map[string]check.Value{c.Inputs, c.Expected} {
			for name, m := range side {
				if _, number := m.Value.(float64); number && !slices.Contains(words, m.Unit) {
					require.True(t, unit.Known(m.Unit), "%s %s: %q", c.ID, name, m.Unit)
				}
			}
		}
	}
}

func TestConvert(t *testing.T) {
	const exact = "definition of the unit"
	cases := []struct {
		value    float64
		from, to string
		want     float64
		rel      float64
		source   string
	}{
		{1, "in", "mm", 25.4, 1e-15, exact},
		{1, "mil", "um", 25.4, 1e-15, exact},
		{6.02, "mm", "m", 0.00602, 1e-15, exact},
		{32, "degF", "degC", 0, 0, exact},
		{50, "°F", "°C", 10, 1e-15, exact},
		{-40, "degC", "degF", -40, 1e-15, exact},
		{9, "delta degF", "K", 5, 1e-15, exact},
		{1, "ft2", "m2", 0.09290304, 1e-12, exact},
		{1, "gal", "L", 3.785411784, 1e-12, exact},
		{1, "gr", "kg", 6.479891e-5, 1e-12, exact},
		{7000, "grains", "lb", 1, 1e-12, exact},
		{1, "US gal", "L", 3.785411784, 1e-12, exact},
		{1, "in Hg", "inHg (0 degC)", 1, 1e-15, "the same unit"},
		{1, "perm in (gr/(ft h inHg))", "kg/(m s Pa)", 1.45322e-12, 1e-5, "NIST SP 811 appendix B (from memory)"},
		{1, "mpy", "mm/yr", 0.0254, 1e-12, exact},
		{25.4, "um/yr", "mpy", 1, 1e-12, exact},
		{2.54, "cm", "in", 1, 1e-12, exact},
		{1, "kWh", "MJ", 3.6, 1e-12, exact},
		{1, "bar", "kPa", 100, 1e-12, exact},
		{8760, "h", "yr", 1, 1e-12, "365 days of 24 h"},
		{1, "in/yr", "mil/yr", 1000, 1e-12, exact},
		{24, "mg/(m2 d)", "mg/(m2 h)", 1, 1e-12, exact},
		{8760, "h/yr", "%", 100, 1e-12, "365 days of 24 h"},
		{50, "%", "1", 0.5, 1e-12, exact},
		{1, "psi", "Pa", 6894.757, 1e-7, "NIST SP 811 appendix B (from memory)"},
		{1, "inHg", "Pa", 3386.389, 1e-7, "NIST SP 811 appendix B, 0 °C (from memory)"},
		{1, "mmHg", "Pa", 133.3224, 1e-6, "NIST SP 811 appendix B, 0 °C (from memory)"},
		{1, "Btu/h", "W", 0.29307107, 1e-7, "NIST SP 811 appendix B, International Table (from memory)"},
		{1, "Btu/(h ft2)", "W/m2", 3.1545907, 1e-7, "NIST SP 811 appendix B (from memory)"},
		{1, "Btu/(h ft F)", "W/(m K)", 1.7307347, 1e-7, "NIST SP 811 appendix B (from memory)"},
		{1, "kcal/(m h C)", "W/(m K)", 1.163, 1e-6, "NIST SP 811 appendix B (from memory)"},
		{1, "ton", "W", 3516.8528, 1e-7, "NIST SP 811 appendix B, ton of refrigeration (from memory)"},
		{1, "perm", "kg/(m2 s Pa)", 5.72135e-11, 1e-5, "NIST SP 811 appendix B, perm at 0 °C (from memory)"},
		{1, "g/(s MN)", "kg/(m2 s Pa)", 1e-9, 1e-12, exact},
		{1, "ug m/(N h)", "kg/(m s Pa)", 2.778e-13, 1e-4, "1e-9 kg over 3600 s"},
		{1, "currency/MWh", "currency/kWh", 0.001, 1e-12, exact},
		{7, "word", "word", 7, 0, "equal units give the value back"},
	}
	for _, c := range cases {
		t.Run(c.from+" to "+c.to, func(t *testing.T) {
			got, err := unit.Convert(c.value, c.from, c.to)
			require.NoError(t, err)
			require.InDelta(t, c.want, got, math.Max(c.rel*math.Abs(c.want), 1e-13*c.rel), c.source)
		})
	}
}

func TestConvertRefuses(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"in", "kg", "they measure different things"},
		{"furlong", "m", `"furlong" is not known`},
		{"m", "furlong", `"furlong" is not known`},
		{"K", "degC", "one is a temperature, the other a difference"},
		{"degF", "delta degF", "one is a temperature, the other a difference"},
		{"W/m2 K", "W/(m2 K)", "is not known"},
		{"W/(m2 K", "W", "is not known"},
		{"m2.3.4", "m", "is not known"},
		{"", "m", "is not known"},
		{"m/", "m", "is not known"},
		{"()", "m", "is not known"},
	} {
		got, err := unit.Convert(1, c.from, c.to)
		require.ErrorContains(t, err, c.want, "%q to %q", c.from, c.to)
		require.True(t, math.IsNaN(got))
	}
}

func TestConvertThereAndBack(t *testing.T) {
	families := [][]string{
		{"m", "in", "ft", "mm", "mil", "um"}, {"degC", "degF"}, {"K", "delta degF"}, {"Pa", "psi", "bar", "inHg", "MPa"},
		{"kg/(m2 s Pa)", "perm", "ng/(m2 s Pa)", "metric perm"}, {"W/(m K)", "Btu in/(h ft2 F)"}, {"mm/yr", "mpy", "um/yr"},
	}
	rapid.Check(t, func(t *rapid.T) {
		family := rapid.SampledFrom(families).Draw(t, "family")
		from, to := rapid.SampledFrom(family).Draw(t, "from"), rapid.SampledFrom(family).Draw(t, "to")
		value := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		there, err := unit.Convert(value, from, to)
		require.NoError(t, err)
		back, err := unit.Convert(there, to, from)
		require.NoError(t, err)
		require.InDelta(t, value, back, 1e-9*math.Max(100, math.Abs(value)))
	})
}

func FuzzConvert(f *testing.F) {
	for _, seed := range []string{"Btu in/(h ft2 F)", "W/(m^1.75 K^1.25)", "m2 s Pa/kg", "°F", "1/K", "((", "m^", "%2"} {
		f.Add(seed, "degC")
	}
	f.Fuzz(func(t *testing.T, from, to string) {
		got, err := unit.Convert(1, from, to)
		require.True(t, err == nil || math.IsNaN(got))
	})
}
