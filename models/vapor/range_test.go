package vapor_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
	"drylag/models/unit"
	"drylag/models/vapor"
)

func TestAirPermeability(t *testing.T) {
	cases := []struct {
		name      string
		got       unit.KgPerMSPa
		want      float64
		tolerance float64
		source    string
	}{
		{"Schirmer at 23 C", vapor.AirPermeability(23, 101325), 195e-12, 0.01, "ISO 12572: 195e-12 kg/(m s Pa) for still air at 23 C (from memory)"},
		{"power law at 23 C", vapor.AirPermeabilityPower(23, 101325), 195e-12, 0.02, "ISO 12572, as above (from memory)"},
		{"power law at 0 C", vapor.AirPermeabilityPower(0, 101325), 658 * 2.7778e-13, 0.03, "trade note: 658 ug m/(N h) at 0 C (read)"},
	}
	for _, c := range cases {
		require.InEpsilon(t, c.want, float64(c.got), c.tolerance, "%s: %s", c.name, c.source)
	}
	rapid.Check(t, func(t *rapid.T) {
		at, p := draw[unit.Celsius](t, "t", -40, 90), draw[unit.Pascal](t, "p", 60000, 110000)
		for _, model := range []func(unit.Celsius, unit.Pascal) unit.KgPerMSPa{vapor.AirPermeability, vapor.AirPermeabilityPower} {
			require.Greater(t, model(at+1, p), model(at, p), "warm air lets more through")
			require.InEpsilon(t, float64(model(at, p)), 2*float64(model(at, 2*p)), rounding, "thin air too")
		}
	})
}

func TestTablesCarryTheirSource(t *testing.T) {
	for _, i := range vapor.Insulations() {
		require.NotEmpty(t, i.Source.Text, i.Code)
		require.NotEmpty(t, i.Source.Tag, i.Code)
		require.LessOrEqual(t, i.Permeability, vapor.StillAir, "%s: nothing is above still air", i.Code)
		found, ok := vapor.InsulationOf(i.Code)
		require.True(t, ok)
		require.Equal(t, i, found)
	}
	for _, f := range vapor.Facings() {
		require.NotEmpty(t, f.Source.Text, f.Name)
		require.NotEmpty(t, f.Source.Tag, f.Name)
	}
	perm := unit.Reading{Value: 1, Unit: "perm"}
	require.InEpsilon(t, perm.SI(), float64(vapor.Perm), 1e-5)
}

// Handbook values in its own unit, 1 ug m/(N h) = 1/3.6e12 kg/(m s Pa).
func TestInsulations(t *testing.T) {
	cases := map[string]float64{ // TIASA handbook 2001, 4.5 (read), ug m/(N h) rounded to two figures
		"nitrile": 0.25, "phenolic": 10, "pur": 20, "pir": 30, "eps": 25, "cellular_glass": 0,
	}
	for code, want := range cases {
		got, ok := vapor.InsulationOf(code)
		require.True(t, ok)
		require.InDelta(t, want, float64(got.Permeability)*3.6e12, 0.02*want, code)
	}
}

// Every filling of the record has a value but polyethylene, for which none is published.
func TestFillingsOfTheRecord(t *testing.T) {
	for _, word := range models.Insulations {
		_, ok := vapor.InsulationOf(word.Code)
		require.Equal(t, word.Code != "polyethylene", ok, word.Code)
	}
}

func TestFacingClass(t *testing.T) {
	cases := []struct {
		perm float64
		want string
	}{{0, "at most 0.1 perm"}, {0.02, "at most 0.1 perm"}, {0.1, "at most 0.1 perm"}, {0.11, "at most 1 perm"}, {5, "at most 10 perm"}, {10.1, ""}, {-1, ""}, {math.NaN(), ""}}
	for _, c := range cases {
		got, ok := vapor.FacingClass(unit.KgPerM2SPa(c.perm) * vapor.Perm)
		require.Equal(t, c.want, got.Name, "%g perm", c.perm)
		require.Equal(t, c.want != "", ok)
	}
	foil, ok := vapor.FacingClass(vapor.Facings()[0].Permeance)
	require.True(t, ok)
	require.Equal(t, "at most 0.1 perm", foil.Name, "foil-faced composite, 0.0175 perm")
}

func TestOutOfRangeIsNaN(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	whole := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 25, Inner: 0.05, Outer: 0.08, Permeability: 1.5e-10}
	cylinder := func(change func(*vapor.Cylinder)) float64 {
		c := whole
		change(&c)
		got := c.Ingress()
		require.Equal(t, math.IsNaN(float64(got.Rate)), math.IsNaN(float64(got.Plane)))
		return float64(got.Rate)
	}
	negative, endless := unit.KgPerM2SPa(-1e-12), unit.KgPerM2SPa(inf)
	slit := vapor.Defect{Length: 1, Gap: 0.001, Lap: 0.01, Thickness: 0.025, Permeability: 1.5e-10}
	defect := func(change func(*vapor.Defect)) float64 {
		d := slit
		change(&d)
		got := d.Ingress(1000)
		require.Equal(t, math.IsNaN(float64(got.Low)), math.IsNaN(float64(got.High)))
		return float64(got.High)
	}
	require.Positive(t, cylinder(func(*vapor.Cylinder) {}))
	require.Positive(t, defect(func(*vapor.Defect) {}))
	cases := map[string]float64{
		"negative permeance":        vapor.FacingResistance(-1),
		"endless permeance":         vapor.FacingResistance(endless),
		"no thickness":              vapor.FlatResistance(0, 1e-10),
		"negative permeability":     vapor.FlatResistance(1, -1e-10),
		"radii swapped":             vapor.CylinderResistance(0.08, 0.05, 1e-10),
		"no inner radius":           vapor.CylinderResistance(0, 0.05, 1e-10),
		"facing on no radius":       vapor.CylinderFacingResistance(1e-12, 0),
		"no resistance":             float64(vapor.SeriesFlux(1000, 500)),
		"negative resistance":       float64(vapor.SeriesFlux(1000, 500, 1e9, -1e8)),
		"NaN resistance":            float64(vapor.SeriesFlux(1000, 500, nan)),
		"negative pressure":         float64(vapor.SeriesFlux(-1, 500, 1e9)),
		"flat metal out of range":   float64(vapor.Flat{Room: 1000, Metal: -101, Thickness: 0.02, Permeability: 1e-10}.Flux()),
		"flat room NaN":             float64(vapor.Flat{Room: unit.Pascal(nan), Metal: 5, Thickness: 0.02, Permeability: 1e-10}.Flux()),
		"cylinder room NaN":         cylinder(func(c *vapor.Cylinder) { c.Room = unit.Pascal(nan) }),
		"cylinder room negative":    cylinder(func(c *vapor.Cylinder) { c.Room = -1 }),
		"cylinder room infinite":    cylinder(func(c *vapor.Cylinder) { c.Room = unit.Pascal(inf) }),
		"metal out of range":        cylinder(func(c *vapor.Cylinder) { c.Metal = 201 }),
		"surface out of range":      cylinder(func(c *vapor.Cylinder) { c.Surface = unit.Celsius(nan) }),
		"equal radii":               cylinder(func(c *vapor.Cylinder) { c.Outer = c.Inner }),
		"infinite radius":           cylinder(func(c *vapor.Cylinder) { c.Outer = unit.Meter(inf) }),
		"negative inner radius":     cylinder(func(c *vapor.Cylinder) { c.Inner = -0.05 }),
		"cylinder permeability NaN": cylinder(func(c *vapor.Cylinder) { c.Permeability = unit.KgPerMSPa(nan) }),
		"negative facing":           cylinder(func(c *vapor.Cylinder) { c.Facing = &negative }),
		"endless facing":            cylinder(func(c *vapor.Cylinder) { c.Facing = &endless }),
		"conductance of no length":  float64(whole.Conductance(-1)),
		"negative conductance":      float64(vapor.Conductance(-1).Flow(1000)),
		"mass of NaN":               float64(vapor.Conductance(nan).Mass(1000)),
		"negative gap":              defect(func(d *vapor.Defect) { d.Gap = -0.001 }),
		"negative length":           defect(func(d *vapor.Defect) { d.Length = -1 }),
		"infinite lap":              defect(func(d *vapor.Defect) { d.Lap = unit.Meter(inf) }),
		"no insulation":             defect(func(d *vapor.Defect) { d.Thickness = 0 }),
		"defect permeability":       defect(func(d *vapor.Defect) { d.Permeability = -1 }),
		"defect drive NaN":          float64(slit.Ingress(unit.Pascal(nan)).High),
		"flow backwards":            float64(vapor.TimeToMoisture(-1e-9, 0.01, 0.05)),
		"no volume":                 float64(vapor.TimeToMoisture(1e-9, 0, 0.05)),
		"more than full":            float64(vapor.TimeToMoisture(1e-9, 0.01, 1.01)),
		"wet above 1":               float64(vapor.WetBounds(0.034, 1.1).Series),
		"no conductivity":           float64(vapor.WetBounds(0, 0.1).Parallel),
		"negative factor":           float64(vapor.WetExponential(0.034, 0.1, -1)),
		"air too hot":               float64(vapor.AirPermeability(201, 101325)),
		"air without pressure":      float64(vapor.AirPermeability(20, 0)),
		"air NaN":                   float64(vapor.AirPermeabilityPower(unit.Celsius(nan), 101325)),
	}
	for name, got := range cases {
		require.True(t, math.IsNaN(got), "%s: got %v", name, got)
	}
}
