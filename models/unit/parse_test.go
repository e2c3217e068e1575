package unit_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/unit"
)

func TestParse(t *testing.T) {
	in := func(v float64) unit.Reading { return unit.Reading{Value: v, Unit: "in"} }
	cases := []struct {
		text   string
		kind   unit.Kind
		system unit.System
		want   unit.Reading
	}{
		{"3/4 in", unit.Thickness, unit.SI, in(0.75)},
		{"1 1/2 in", unit.Thickness, unit.SI, in(1.5)},
		{"1-1/2\"", unit.Thickness, unit.SI, in(1.5)},
		{"1½ inches", unit.Thickness, unit.SI, in(1.5)},
		{"½″", unit.Thickness, unit.SI, in(0.5)},
		{"-1 1/4 in", unit.Thickness, unit.SI, in(-1.25)},
		{".237", unit.Thickness, unit.IP, in(0.237)},
		{"0.280 IN", unit.Thickness, unit.SI, in(0.28)},
		{"5 ft 6 in", unit.Length, unit.SI, in(66)},
		{"5'-6 1/2\"", unit.Length, unit.SI, in(66.5)},
		{"5'", unit.Length, unit.SI, unit.Reading{Value: 5, Unit: "ft"}},
		{"20 mm", unit.Thickness, unit.IP, unit.Reading{Value: 20, Unit: "mm"}},
		{"20mm", unit.Thickness, unit.IP, unit.Reading{Value: 20, Unit: "mm"}},
		{"20 MM", unit.Thickness, unit.IP, unit.Reading{Value: 20, Unit: "mm"}},
		{"20", unit.Thickness, unit.SI, unit.Reading{Value: 20, Unit: "mm"}},
		{"8 mils", unit.Film, unit.SI, unit.Reading{Value: 8, Unit: "mil"}},
		{"200 µm", unit.Film, unit.IP, unit.Reading{Value: 200, Unit: "um"}},
		{"42F", unit.Temperature, unit.SI, unit.Reading{Value: 42, Unit: "degF"}},
		{"42 °F", unit.Temperature, unit.SI, unit.Reading{Value: 42, Unit: "degF"}},
		{"42 f", unit.Temperature, unit.SI, unit.Reading{Value: 42, Unit: "degF"}},
		{"42", unit.Temperature, unit.IP, unit.Reading{Value: 42, Unit: "degF"}},
		{"−5 °C", unit.Temperature, unit.IP, unit.Reading{Value: -5, Unit: "degC"}},
		{"42\u00a0deg F", unit.Temperature, unit.SI, unit.Reading{Value: 42, Unit: "degF"}},
		{"9 F", unit.TempDifference, unit.SI, unit.Reading{Value: 9, Unit: "delta degF"}},
		{"5 °C", unit.TempDifference, unit.SI, unit.Reading{Value: 5, Unit: "K"}},
		{"85", unit.Share, unit.IP, unit.Reading{Value: 85, Unit: "%"}},
		{"85 percent", unit.Share, unit.IP, unit.Reading{Value: 85, Unit: "%"}},
		{"150 PSI", unit.Pressure, unit.SI, unit.Reading{Value: 150, Unit: "psi"}},
		{"1 mpa", unit.Pressure, unit.SI, unit.Reading{Value: 1, Unit: "MPa"}},
		{"0.02 perm", unit.Permeance, unit.SI, unit.Reading{Value: 0.02, Unit: "perm"}},
		{"1.1 ng/(m² s Pa)", unit.Permeance, unit.IP, unit.Reading{Value: 1.1, Unit: "ng/(m2 s Pa)"}},
		{"5e-12 kg/(m2 s Pa)", unit.Permeance, unit.IP, unit.Reading{Value: 5e-12, Unit: "kg/(m2 s Pa)"}},
		{"0.24 Btu in/(h ft² °F)", unit.Conductivity, unit.SI, unit.Reading{Value: 0.24, Unit: "Btu in/(h ft2 F)"}},
		{"3 mils/yr", unit.Rate, unit.SI, unit.Reading{Value: 3, Unit: "mpy"}},
		{"12 sq ft", unit.Area, unit.SI, unit.Reading{Value: 12, Unit: "ft2"}},
		{"300 ml", unit.Volume, unit.IP, unit.Reading{Value: 300, Unit: "mL"}},
		{"30 lbs", unit.Mass, unit.SI, unit.Reading{Value: 30, Unit: "lb"}},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			got, err := unit.Parse("field", c.text, c.kind, c.system)
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

func TestParseRefuses(t *testing.T) {
	cases := []struct {
		text string
		kind unit.Kind
		want string
	}{
		{"", unit.Thickness, "wall: give a thickness, such as 12 in"},
		{"  \t", unit.Thickness, "give a thickness"},
		{"5,6", unit.Thickness, `wall: "5,6" has a comma: write the decimal point as a point (5.6)`},
		{"1,200 mm", unit.Thickness, "has a comma"},
		{"NaN", unit.Thickness, "is not a number"},
		{"Inf", unit.Thickness, "is not a number"},
		{"-infinity mm", unit.Thickness, "is not a number"},
		{"1e400", unit.Thickness, "is too large"},
		{"1e308 km", unit.Thickness, "is too large"},
		{"1e308", unit.Temperature, "is too large"},
		{"1e-400 mm", unit.Thickness, "is too small"},
		{"0x10", unit.Thickness, "has no unit of thickness"},
		{"1_000", unit.Thickness, "has no unit of thickness"},
		{"3/0 in", unit.Thickness, "divides by nothing"},
		{"3//4", unit.Thickness, "has no unit of thickness"},
		{"1.5 3/4 in", unit.Thickness, "has no unit of thickness"},
		{"0 1", unit.HumidityRatio, "has no unit of humidity ratio"},
		{"5 1 in", unit.Thickness, "has no unit of thickness"},
		{"about 5", unit.Thickness, "is not a number"},
		{"-", unit.Thickness, "is not a number"},
		{"n/a", unit.Thickness, "is not a number"},
		{"20 psi", unit.Thickness, "has no unit of thickness: write in or mm"},
		{"20 mm", unit.Temperature, "has no unit of temperature: write °F or °C"},
		{"5 K", unit.Temperature, "has no unit of temperature"},
		{"5 mPa", unit.Pressure, "has no unit of pressure"},
		{"5 ft 13 in", unit.Length, "has no unit of length"},
		{strings.Repeat("1", 61), unit.Thickness, "is too long"},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			_, err := unit.Parse("wall", c.text, c.kind, unit.IP)
			var entry *unit.EntryError
			require.ErrorAs(t, err, &entry)
			require.Equal(t, "wall", entry.Field)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// A missing reading is not 0.
func TestParseOptional(t *testing.T) {
	missing, err := unit.ParseOptional("wall", " ", unit.Thickness, unit.SI)
	require.NoError(t, err)
	require.Nil(t, missing)
	zero, err := unit.ParseOptional("wall", "0 mm", unit.Thickness, unit.SI)
	require.NoError(t, err)
	require.Equal(t, &unit.Reading{Value: 0, Unit: "mm"}, zero)
	_, err = unit.ParseOptional("wall", "x", unit.Thickness, unit.SI)
	require.Error(t, err)
}

func TestReadingInSI(t *testing.T) {
	require.InDelta(t, 0.01905, unit.Reading{Value: 0.75, Unit: "in"}.SI(), 1e-15)
	require.InDelta(t, 5, unit.Reading{Value: 9, Unit: "delta degF"}.SI(), 1e-12)
	require.True(t, math.IsNaN(unit.Reading{Value: 1, Unit: "furlong"}.SI()))
	mm, err := unit.Reading{Value: 0.237, Unit: "in"}.In("mm")
	require.NoError(t, err)
	require.InDelta(t, 6.0198, mm, 1e-12)
}

var allKinds = []unit.Kind{
	unit.Temperature, unit.TempDifference, unit.Thickness, unit.Length, unit.Film, unit.Pressure, unit.VaporPressure,
	unit.VaporDrive, unit.Share, unit.HumidityRatio, unit.Permeance, unit.Permeability, unit.Conductivity, unit.HeatTransfer,
	unit.HeatPerArea, unit.HeatPerLength, unit.Power, unit.LatentHeat, unit.Area, unit.Volume, unit.Mass, unit.Density,
	unit.Speed, unit.Rate, unit.Time,
}

// What was typed comes back digit for digit.
func TestReadingReadsBackTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(allKinds).Draw(t, "kind")
		system := rapid.SampledFrom([]unit.System{unit.SI, unit.IP}).Draw(t, "system")
		typed := unit.Reading{Value: rapid.Float64Range(-1e300, 1e300).Draw(t, "value"), Unit: kind.Unit(system)}
		back, err := unit.Parse("field", typed.String(), kind, 1-system)
		require.NoError(t, err)
		require.Equal(t, typed, back)
	})
}

// A value shown in either system reads back to what was shown. It is drawn in
// the unit that is shown, up to 1e9: with the decimals shown that stays within
// the 15 digits that a float64 keeps through two conversions.
func TestShownValueReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(allKinds).Draw(t, "kind")
		system := rapid.SampledFrom([]unit.System{unit.SI, unit.IP}).Draw(t, "system")
		value := unit.Reading{Value: rapid.Float64Range(-1e9, 1e9).Draw(t, "value"), Unit: kind.Unit(system)}
		shown := kind.Show(system, value.SI())
		back, err := unit.Parse("field", shown, kind, system)
		require.NoError(t, err)
		require.Equal(t, shown, kind.Show(system, back.SI()))
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"3/4 in", "1 1/2\"", "42 °F", "5' 6\"", "NaN", "1e400", "5,6", "", "−1½", "1/0", "9 ft 9 ft", "0 1", "0°1"} {
		f.Add(seed, 3, 0)
	}
	f.Fuzz(func(t *testing.T, text string, kind, system int) {
		k := allKinds[((kind%len(allKinds))+len(allKinds))%len(allKinds)]
		s := unit.System(system & 1)
		r, err := unit.Parse("field", text, k, s)
		if err != nil {
			var entry *unit.EntryError
			require.ErrorAs(t, err, &entry)
			require.Equal(t, "field", entry.Field)
			return
		}
		require.False(t, math.IsNaN(r.Value) || math.IsInf(r.Value, 0))
		require.False(t, math.IsNaN(r.SI()) || math.IsInf(r.SI(), 0))
		again, err := unit.Parse("field", r.String(), k, s)
		require.NoError(t, err)
		require.Equal(t, r, again)
	})
}
