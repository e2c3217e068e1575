package unit_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/unit"
)

func TestBase(t *testing.T) {
	for _, c := range []struct{ of, want string }{
		{"in", "m"}, {"degF", "degC"}, {"delta degF", "K"}, {"%", "1"}, {"psi", "kg/(m s2)"}, {"Btu/h", "m2 kg/s3"},
		{"h", "s"}, {"1/h", "1/s"}, {"perm", "s/m"}, {"W/(m^1.75 K^1.25)", "m^0.25 kg/(s3 K^1.25)"}, {"currency/kWh", "s2 currency/(m2 kg)"},
		{"ft2 h F/Btu", "s3 K/kg"},
	} {
		got, ok := unit.Base(c.of)
		require.True(t, ok, c.of)
		require.Equal(t, c.want, got)
		_, err := unit.Convert(1, c.of, got)
		require.NoError(t, err, c.of)
	}
	_, ok := unit.Base("furlong")
	require.False(t, ok)
}

// A value in its base units is what SI gives.
func TestBaseIsSI(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(allKinds).Draw(t, "kind")
		system := rapid.SampledFrom([]unit.System{unit.SI, unit.IP}).Draw(t, "system")
		value := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		base, ok := unit.Base(kind.Unit(system))
		require.True(t, ok)
		got, err := unit.Convert(value, kind.Unit(system), base)
		require.NoError(t, err)
		require.InDelta(t, unit.Reading{Value: value, Unit: kind.Unit(system)}.SI(), got, 1e-9*max(1, max(got, -got)))
	})
}
