package server

import (
	"net/url"
	"strings"
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
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, strings.ReplaceAll(tt.want, " ", "\u00a0"), strings.ReplaceAll(tt.got, "not recorded", "not\u00a0recorded"), tt.source)
		})
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

func TestNoLineBreaksWithinAValue(t *testing.T) {
	for text, want := range map[string]string{
		"gate valve NPS 6":                    "gate valve NPS_6",
		"gate valve NPS 2 1/2, over the pump": "gate valve NPS_2_1/2, over the pump",
		"NPS 1/2":                             "NPS_1/2",
		"1 1/2 in":                            "1_1/2_in",
		"44.1 °F and 55 %, 5,076 h of 8,760":  "44.1_°F and 55_%, 5,076_h of 8,760",
		"0.280 in (7.11 mm)":                  "0.280_in (7.11_mm)",
		"3 inspectors, 2 men, 12 months":      "3 inspectors, 2 men, 12 months",
		"6 o’clock":                           "6_o’clock",
		"about 1 in 30, 9 in 10":              "about 1 in 30, 9 in 10",
		"0.22 in on 1 Jun":                    "0.22_in on 1 Jun",
		"1000.0 kPa":                          "1000.0_kPa",
	} {
		require.Equal(t, want, strings.ReplaceAll(tight(text), "\u00a0", "_"), text)
	}
	w := newWorld(t)
	s := w.taped(w.here, "V-1")
	w.at(s, 2.5, 1, "")
	c := w.as(models.Inspector)
	for _, path := range []string{"/covers", "/covers/" + string(s.Cover.ID), "/covers/" + string(s.Cover.ID) + "/openings/new", "/covers/" + string(s.Cover.ID) + "/looks/new"} {
		body := c.get(path).body
		require.Contains(t, body, "NPS\u00a02\u00a01/2", path)
		require.NotRegexp(t, `>[^<]*(NPS 2|\d °F|\d psi)[^<]*<`, body[strings.Index(body, "<main"):], path)
	}
}
