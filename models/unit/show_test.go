package unit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/unit"
)

func TestShow(t *testing.T) {
	cases := []struct {
		q      unit.Quantity
		si, ip string
	}{
		{unit.Celsius(6.7), "6.7 °C", "44 °F"},
		{unit.Celsius(-0.04), "0.0 °C", "32 °F"},
		{unit.Celsius(-18), "-18.0 °C", "0 °F"},
		{unit.Kelvin(1), "1.0 K", "1.8 °F"},
		{unit.Pascal(101325), "101.3 kPa", "14.7 psi"},
		{unit.PascalHour(4.458e6), "4460 kPa h", "1320 inHg h"},
		{unit.Meter(3.05), "3.05 m", "10 ft"},
		{unit.Millimeter(25.4), "25.4 mm", "1 in"},
		{unit.Millimeter(6.0198), "6.02 mm", "0.237 in"},
		{unit.Millimeter(20), "20 mm", "0.787 in"},
		{unit.M2(1), "1.00 m²", "10.8 ft²"},
		{unit.M3(0.0003), "0.300 L", "0.0793 gal"},
		{unit.Micrometer(125), "125 µm", "4.9 mil"},
		{unit.Liter(0.865), "0.865 L", "0.229 gal"},
		{unit.Milliliter(29.5735), "29.6 mL", "1.00 fl oz"},
		{unit.Fraction(0.5), "50 %", "50 %"},
		{unit.Fraction(0.123), "12.3 %", "12.3 %"},
		{unit.Hours(5076), "5076 h", "5076 h"},
		{unit.KgPerKg(0.0093), "9.3 g/kg", "65 gr/lb"},
		{unit.KgPerM3(1.2), "1.20 kg/m³", "0.0749 lb/ft³"},
		{unit.JPerKg(2442e3), "2442 kJ/kg", "1050 Btu/lb"},
		{unit.Kilogram(0.45359237), "0.454 kg", "1.00 lb"},
		{unit.KgPerM2SPa(1.144e-12), "1.14 ng/(m² s Pa)", "0.02 perm"},
		{unit.KgPerMSPa(1.95e-10), "195 ng/(m s Pa)", "134 perm in"},
		{unit.KgPerS(0.45359237 / 31536000), "0.454 kg/yr", "1.00 lb/yr"},
		{unit.KgPerMS(2.95e-6), "93.0 kg/(m yr)", "62.5 lb/(ft yr)"},
		{unit.KgPerM2S(1.3e-9), "0.112 g/(m² d)", "0.00671 gr/(ft² h)"},
		{unit.WPerMK(0.035), "0.035 W/(m K)", "0.243 Btu in/(h ft² °F)"},
		{unit.WPerM2K(8), "8.00 W/(m² K)", "1.41 Btu/(h ft² °F)"},
		{unit.WPerM2(31.5), "31.5 W/m²", "10.0 Btu/(h ft²)"},
		{unit.WPerM(9.6), "9.6 W/m", "10.0 Btu/(h ft)"},
		{unit.Watt(293.07), "293 W", "1000 Btu/h"},
		{unit.MPerS(0.5), "0.50 m/s", "98 ft/min"},
		{unit.MMPerYear(0.0714), "0.071 mm/yr", "2.8 mpy"},
		{unit.Celsius(math.NaN()), "no value", "no value"},
		{unit.Millimeter(math.Inf(1)), "no value", "no value"},
	}
	for _, c := range cases {
		t.Run(c.si, func(t *testing.T) {
			require.Equal(t, c.si, unit.Show(unit.SI, c.q))
			require.Equal(t, c.ip, unit.Show(unit.IP, c.q))
		})
	}
}

func TestShowKinds(t *testing.T) {
	require.Equal(t, "200 µm", unit.Film.Show(unit.SI, 200e-6))
	require.Equal(t, "7.9 mil", unit.Film.Show(unit.IP, 200e-6))
	require.Equal(t, "1002 Pa", unit.VaporPressure.Show(unit.SI, 1002))
	require.Equal(t, "0.296 inHg", unit.VaporPressure.Show(unit.IP, 1002))
	require.Equal(t, "0 ng/(m² s Pa)", unit.Permeance.Show(unit.SI, 0))
	require.Equal(t, "mm", unit.Thickness.Unit(unit.SI))
	require.Equal(t, "a thickness", unit.Thickness.Name())
	require.Empty(t, unit.Symbol("1"))
}
