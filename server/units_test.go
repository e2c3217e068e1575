package server

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

func TestShowUnits(t *testing.T) {
	us := shell{Actor: models.Actor{Units: "IP"}}
	si := shell{Actor: models.Actor{Units: "SI"}}
	tests := []struct{ name, got, want, source string }{
		{"temperature", us.Temp(6.7), "44 °F", "6.7 x 1.8 + 32 = 44.06"},
		{"temperature, SI", si.Temp(new(6.7)), "6.7 °C", "as stored"},
		{"difference", us.TempDiff(5.0), "9.0 °F", "5 x 1.8"},
		{"wall", us.Thick(7.11), "0.28 in", "7.11 / 25.4 = 0.2799, NPS 6 Sch 40"},
		{"wall, SI", si.Thick(7.11), "7.11 mm", "as stored"},
		{"film", us.Film(254.0), "10.0 mil", "1 mil = 25.4 µm"},
		{"length", us.Length(3.048), "10 ft", "1 ft = 0.3048 m"},
		{"pressure", us.Pressure(10.0), "145.0 psi", "1 bar = 14.5038 psi"},
		{"pressure, SI", si.Pressure(10.0), "1000.0 kPa", "1 bar = 100 kPa"},
		{"rate", us.Rate(0.0254), "1.0 mpy", "1 mil = 0.0254 mm"},
		{"missing is not 0", us.Temp((*float64)(nil)), "not recorded", "models: a missing value is nil"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.Equal(t, tt.want, tt.got, tt.source) })
	}
}

func TestReadUnits(t *testing.T) {
	tests := []struct {
		name, typed, units string
		m                  measure
		want               float64
		fault              string
	}{
		{"bare number in US units", "42", "IP", asTemp, 5.5556, ""},
		{"bare number in SI units", "42", "SI", asTemp, 42, ""},
		{"the other system typed", "42F", "SI", asTemp, 5.5556, ""},
		{"a fraction", "3/4 in", "SI", asThick, 19.05, ""},
		{"millimeters under US units", "20 mm", "IP", asThick, 20, ""},
		{"psi", "150 psi", "SI", asPressure, 10.3421, ""},
		{"a comma", "5,6", "SI", asThick, 0, "comma"},
		{"a wrong unit", "5 kg", "SI", asThick, 0, "has no unit of thickness"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := &form{values: url.Values{"x": {tt.typed}}}
			got := f.measured("x", tt.m, tt.units)
			if tt.fault != "" {
				require.Nil(t, got)
				require.Contains(t, f.fault("x"), tt.fault)
				return
			}
			require.Empty(t, f.Faults)
			require.InDelta(t, tt.want, *got, 1e-4)
		})
	}
	empty := &form{values: url.Values{}}
	require.Nil(t, empty.temp("x", "IP"))
	require.Empty(t, empty.Faults)
}

// A form filled from a record and saved unchanged leaves the record as it was.
func TestUnitsComeBack(t *testing.T) {
	for _, units := range []string{"IP", "SI"} {
		for _, m := range []measure{asTemp, asThick, asFilm, asLength, asPressure} {
			for _, v := range []float64{-17.5, 0, 0.3, 6.7, 20, 812.75} {
				f := blank()
				f.setMeasured("x", &v, m, units)
				require.InEpsilon(t, 100+v, 100+*f.measured("x", m, units), 1e-5, "%s %v", f.text("x"), m)
			}
		}
	}
}
