package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models/heat"
	"drylag/models/unit"
)

func TestOutsideAgainstTheDewPoint(t *testing.T) {
	for _, c := range []struct {
		surface, dew    unit.Celsius
		condenses, near bool
	}{
		{15, 16, true, false}, {16, 16, false, true}, {16.9, 16, false, true}, {17, 16, false, false}, {20, 16, false, false},
	} {
		out := heat.Outside{Surface: c.surface}
		require.Equal(t, c.condenses, out.Condenses(c.dew), "%v", c)
		require.Equal(t, c.near, out.Close(c.dew), "%v", c)
		require.InDelta(t, float64(c.surface-c.dew), float64(out.Margin(c.dew)), 1e-12)
	}
}

// nominal is a usual cover in a usual room.
func nominal() (heat.Cylinder, heat.Room) {
	layer := heat.Layer{Thickness: 0.025, K: heat.Conductivity{AtZero: 0.035, PerK: 1e-4}}
	return heat.Cylinder{Fluid: 7, Diameter: 0.1143, Layers: []heat.Layer{layer}, Emissivity: 0.9},
		heat.Room{Air: 25, Pressure: 101325}
}

func TestOutOfRangeIsNaN(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, spoil := range map[string]func(c *heat.Cylinder, room *heat.Room){
		"diameter below range":  func(c *heat.Cylinder, _ *heat.Room) { c.Diameter = 0.004 },
		"diameter above range":  func(c *heat.Cylinder, _ *heat.Room) { c.Diameter = 3.01 },
		"thickness of 0":        func(c *heat.Cylinder, _ *heat.Room) { c.Layers[0].Thickness = 0 },
		"thickness above range": func(c *heat.Cylinder, _ *heat.Room) { c.Layers[0].Thickness = 0.51 },
		"conductivity of 0":     func(c *heat.Cylinder, _ *heat.Room) { c.Layers[0].K = heat.Conductivity{} },
		"conductivity below 0":  func(c *heat.Cylinder, _ *heat.Room) { c.Layers[0].K.PerK = -0.01 },
		"conductivity NaN":      func(c *heat.Cylinder, _ *heat.Room) { c.Layers[0].K.PerK = nan },
		"emissivity below 0":    func(c *heat.Cylinder, _ *heat.Room) { c.Emissivity = -0.1 },
		"emissivity above 1":    func(c *heat.Cylinder, _ *heat.Room) { c.Emissivity = 1.1 },
		"resistance below 0":    func(c *heat.Cylinder, _ *heat.Room) { c.Inner = -1 },
		"resistance NaN":        func(c *heat.Cylinder, _ *heat.Room) { c.Inner = nan },
		"fluid NaN":             func(c *heat.Cylinder, _ *heat.Room) { c.Fluid = unit.Celsius(nan) },
		"fluid above range":     func(c *heat.Cylinder, _ *heat.Room) { c.Fluid = 601 },
		"air NaN":               func(_ *heat.Cylinder, r *heat.Room) { r.Air = unit.Celsius(nan) },
		"walls below range":     func(_ *heat.Cylinder, r *heat.Room) { r.Walls = new(unit.Celsius(-101)) },
		"no pressure":           func(_ *heat.Cylinder, r *heat.Room) { r.Pressure = 0 },
		"infinite pressure":     func(_ *heat.Cylinder, r *heat.Room) { r.Pressure = unit.Pascal(inf) },
		"speed below 0":         func(_ *heat.Cylinder, r *heat.Room) { r.Speed = -1 },
		"speed above range":     func(_ *heat.Cylinder, r *heat.Room) { r.Speed = 20.1 },
		"speed NaN":             func(_ *heat.Cylinder, r *heat.Room) { r.Speed = unit.MPerS(nan) },
	} {
		c, room := nominal()
		require.False(t, math.IsNaN(float64(c.Solve(room).PerMeter)))
		spoil(&c, &room)
		out := c.Solve(room)
		require.True(t, math.IsNaN(float64(out.Surface)) && math.IsNaN(float64(out.PerMeter)), name)
		require.False(t, out.Condenses(10) || out.Close(10), name)
		face := heat.Flat{Fluid: c.Fluid, Height: 0.5, Layers: c.Layers, Emissivity: c.Emissivity, Inner: c.Inner}
		if c.Diameter == 0.1143 {
			require.True(t, math.IsNaN(float64(face.Solve(room).PerArea)), name)
		}
		least := c.LeastThickness(heat.Conductivity{AtZero: 0.035}, 16, room)
		require.True(t, math.IsNaN(float64(least.Thickness)) && !least.Unattainable, name)
	}
}

func TestMoreIsNaN(t *testing.T) {
	c, room := nominal()
	for name, got := range map[string]float64{
		"face without height":          float64(heat.Flat{Fluid: 7, Layers: c.Layers}.Solve(room).Surface),
		"film without size":            float64(heat.Film{Pressure: 101325}.Coefficient(7, 25)),
		"film without pressure":        float64(heat.Film{Size: 0.1}.Coefficient(7, 25)),
		"fixed film of 0":              float64(c.SolveFixed(heat.FixedFilm{Air: 25}).Surface),
		"least with a film of 0":       float64(c.LeastThicknessFixed(c.Layers[0].K, 16, heat.FixedFilm{Air: 25}).Thickness),
		"inside wider than pipe":       heat.Inside{Diameter: 0.2}.Resistance(0.1),
		"film inside of 0":             heat.Inside{Diameter: 0.1, H: new(unit.WPerM2K(0))}.Resistance(0.1),
		"wall of negative k":           heat.Inside{Diameter: 0.1, WallK: new(unit.WPerMK(-1))}.Resistance(0.2),
		"bare, vapor above saturation": float64(heat.Bare{Fluid: 7, Size: 0.1}.Solve(room, 3200).Total()),
		"bare, vapor below 0":          float64(heat.Bare{Fluid: 7, Size: 0.1}.Solve(room, -1).Total()),
		"bare, pipe too wide":          float64(heat.Bare{Fluid: 7, Size: 3.1}.Solve(room, 1000).Total()),
		"bare, steam":                  float64(heat.Bare{Fluid: 201, Size: 0.1}.Solve(room, 1000).Total()),
		"air without pressure":         heat.PropertiesOf(20, 0).Prandtl,
		"Nu of negative Ra":            heat.NusseltFreeCylinder(-1, 0.7),
		"Nu without Pr":                heat.NusseltFreePlate(1e6, 0),
		"Nu of negative Re":            heat.NusseltForcedCylinder(-1, 0.7),
		"plate of negative Re":         heat.NusseltForcedPlate(-1, 0.7),
		"power law of a point":         float64(heat.PowerLaw(1.32, 5, 0, 0.25)),
		"emissivity of 2":              float64(heat.RadiationFlux(2, 7, 25)),
		"emissivity below 0":           float64(heat.RadiationCoefficient(-1, 7, 25)),
		"diffusivity at no p":          heat.VaporDiffusivity(25, 0),
		"mass without air":             heat.MassTransfer{H: 5}.Coefficient(),
		"body without length":          float64(heat.Body{Bare: 0.5}.EquivalentDiameter()),
		"body of negative end":         second(heat.Body{Length: 1, Bare: 0.5, End: -1}.Solve(c, room)),
		"COP of 0":                     heat.Plant{Tariff: 0.1}.Cost(100).Money,
		"COP above 30":                 heat.Plant{COP: 31}.Cost(100).Electricity,
		"tariff below 0":               heat.Plant{COP: 4, Tariff: -0.1}.Cost(100).Money,
		"more hours than a year":       heat.Plant{COP: 4}.Annual(100, 8785).Electricity,
	} {
		require.True(t, math.IsNaN(got), "%s: got %v", name, got)
	}
}

func second(_ heat.Outside, q unit.Watt) float64 { return float64(q) }

// A body as long as a pipe, with the pipe's area and no ends, is that pipe; its
// ends are flat faces as high as the cover is wide.
func TestBody(t *testing.T) {
	c, room := nominal()
	c.Inner = 0.05
	around := math.Pi * float64(c.Diameter)
	body := heat.Body{Length: 2, Bare: unit.M2(2 * around)}
	require.InEpsilon(t, float64(c.Diameter), float64(body.EquivalentDiameter()), 1e-12)
	pipe := c.Solve(room)
	c.Diameter = 0
	side, q := body.Solve(c, room)
	require.InDelta(t, float64(pipe.Surface), float64(side.Surface), 1e-8)
	require.InEpsilon(t, 2*float64(pipe.PerMeter), float64(q), 1e-9)

	body.End = 0.02
	end := heat.Flat{Fluid: 7, Height: 0.1143 + 0.05, Layers: c.Layers, Emissivity: 0.9, Inner: 0.05 * around}.Solve(room)
	_, both := body.Solve(c, room)
	require.InEpsilon(t, float64(q)+0.04*float64(end.PerArea), float64(both), 1e-9)
}

func TestUnattainableIsToldFromNotNeeded(t *testing.T) {
	c, room := nominal()
	k := c.Layers[0].K
	c.Layers = nil
	require.Equal(t, heat.Least{}, c.LeastThickness(k, 7, room), "the fluid is as warm as the target")
	require.True(t, c.LeastThickness(k, 25, room).Unattainable, "the air is no warmer")
	require.True(t, c.LeastThickness(k, 24.99, room).Unattainable, "more than half a meter")
	hot := heat.Cylinder{Fluid: 60, Diameter: 0.1, Emissivity: 0.9}
	require.Equal(t, heat.Least{}, hot.LeastThickness(k, 26, room), "a bare hot pipe needs none")
	hot.Layers = []heat.Layer{{Thickness: 0.1, K: k}}
	require.True(t, hot.LeastThickness(k, 30, room).Unattainable, "more insulation brings it nearer to the air")
	enough := c
	enough.Layers = []heat.Layer{{Thickness: 0.1, K: k}}
	require.Equal(t, heat.Least{}, enough.LeastThickness(k, 16, room), "what is there is enough")
}

func TestFrost(t *testing.T) {
	_, room := nominal()
	frost := heat.Bare{Fluid: -5, Size: 0.1, Emissivity: 0.9}.Solve(room, 1500)
	require.True(t, frost.Frost())
	require.InEpsilon(t, 2830e3+240*5, float64(frost.Latent)/frost.Water, 1e-12)
	require.False(t, heat.Bare{Fluid: 5, Size: 0.1, Emissivity: 0.9}.Solve(room, 1500).Frost())
	require.False(t, heat.Bare{Fluid: -5, Size: 0.1, Emissivity: 0.9}.Solve(room, 300).Frost(), "too dry")
}

// The air beside the metal is colder and so denser in vapor than its pressure
// says: a dew point just above the metal gives no water, and never takes any.
func TestNoWaterJustBelowTheDewPoint(t *testing.T) {
	_, room := nominal()
	metal := heat.Bare{Fluid: 7, Size: 0.1, Emissivity: 0.9}
	require.Zero(t, metal.Solve(room, saturation(7)*1.01).Water)
	require.Positive(t, metal.Solve(room, saturation(7)*1.1).Water)
}

func TestDefaultsNameTheirSources(t *testing.T) {
	require.NotEmpty(t, heat.Materials())
	for _, m := range heat.Materials() {
		for _, at := range []unit.Celsius{heat.MinMaterialTemp, heat.MaxMaterialTemp} {
			require.InDelta(t, 0.036, float64(m.K.At(at)), 0.015, "%s is an insulation", m.Name)
		}
		require.Equal(t, unit.Read, m.Source.Tag)
		require.NotEmpty(t, m.Name)
	}
	for _, o := range heat.Outers() {
		require.True(t, 0 < o.Low && o.Low <= o.High && o.High <= 1, o.Name)
		require.Equal(t, unit.Memory, o.Source.Tag)
	}
	for _, s := range heat.Sources() {
		require.Contains(t, unit.Tags(), s.Tag)
		require.Equal(t, s.Text+" ("+string(s.Tag)+")", s.String())
	}
}
