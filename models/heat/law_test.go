package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/heat"
	"drylag/models/unit"
)

func draw(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

// drawLayers keeps the conductivity above 0 from -40 to 100 °C.
func drawLayers(t *rapid.T) []heat.Layer {
	layers := make([]heat.Layer, rapid.IntRange(1, 3).Draw(t, "layers"))
	for i := range layers {
		layers[i] = heat.Layer{
			Thickness: unit.Meter(draw(t, "t", 0.003, 0.1)),
			K:         heat.Conductivity{AtZero: unit.WPerMK(draw(t, "k0", 0.03, 0.2)), PerK: draw(t, "k1", -2e-4, 6e-4)},
		}
	}
	return layers
}

func drawCylinder(t *rapid.T) heat.Cylinder {
	return heat.Cylinder{
		Fluid:    unit.Celsius(draw(t, "fluid", -30, 90)),
		Diameter: unit.Meter(draw(t, "d", 0.01, 1)), Layers: drawLayers(t), Emissivity: unit.Fraction(draw(t, "eps", 0, 1)),
	}
}

func drawFlat(t *rapid.T) heat.Flat {
	c := drawCylinder(t)
	return heat.Flat{Fluid: c.Fluid, Height: c.Diameter, Layers: c.Layers, Emissivity: c.Emissivity}
}

func drawRoom(t *rapid.T) heat.Room {
	room := heat.Room{Air: unit.Celsius(draw(t, "air", -30, 90)), Pressure: unit.Pascal(draw(t, "p", 60000, 110000))}
	if rapid.Bool().Draw(t, "windy") {
		room.Speed = unit.MPerS(draw(t, "speed", 0, 20))
	}
	if rapid.Bool().Draw(t, "walls") {
		room.Walls = new(unit.Celsius(draw(t, "walls at", -30, 90)))
	}
	return room
}

func walls(r heat.Room) unit.Celsius {
	if r.Walls == nil {
		return r.Air
	}
	return *r.Walls
}

// innerSide walks one layer inward by bisection of q = S·k(mean)·(T_o − T_i),
// which shares nothing with the closed form of the package.
func innerSide(l heat.Layer, shape, outerC, q float64) float64 {
	lowC, highC := -1e4, 1e4
	if l.K.PerK > 0 {
		lowC = math.Max(lowC, -float64(l.K.AtZero)/l.K.PerK)
	} else if l.K.PerK < 0 {
		highC = math.Min(highC, -float64(l.K.AtZero)/l.K.PerK)
	}
	for range 200 {
		middleC := (lowC + highC) / 2
		if shape*float64(l.K.At(unit.Celsius((outerC+middleC)/2)))*(outerC-middleC) > q {
			lowC = middleC
		} else {
			highC = middleC
		}
	}
	return (lowC + highC) / 2
}

// 1 to 3 layers, -30 to 90 °C, emissivity 0 to 1: the solution exists, lies
// between its surroundings, gives the heat of the film, and the layers carry it.
func TestCylinderBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := drawCylinder(t), drawRoom(t)
		out := c.Solve(room)
		between(t, out.Surface, c.Fluid, room.Air, walls(room))
		outer := c.Diameter
		for _, l := range c.Layers {
			outer += 2 * l.Thickness
		}
		film := heat.Film{Size: outer, Speed: room.Speed, Pressure: room.Pressure}
		requireFlux(t, film, room, c.Emissivity, out)
		require.InDelta(t, float64(out.PerArea)*math.Pi*float64(outer), float64(out.PerMeter), 1e-9*math.Abs(float64(out.PerMeter)))
		inC := float64(out.Surface)
		for i := len(c.Layers) - 1; i >= 0; i-- {
			l := c.Layers[i]
			inner := outer - 2*l.Thickness
			inC = innerSide(l, 2*math.Pi/math.Log(float64(outer/inner)), inC, float64(out.PerMeter))
			outer = inner
		}
		require.InDelta(t, float64(c.Fluid), inC, 1e-6)
	})
}

func TestFlatBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, room := drawFlat(t), drawRoom(t)
		out := f.Solve(room)
		between(t, out.Surface, f.Fluid, room.Air, walls(room))
		film := heat.Film{Shape: heat.VerticalPlate, Size: f.Height, Speed: room.Speed, Pressure: room.Pressure}
		requireFlux(t, film, room, f.Emissivity, out)
		require.True(t, math.IsNaN(float64(out.PerMeter)))
		inC := float64(out.Surface)
		for i := len(f.Layers) - 1; i >= 0; i-- {
			inC = innerSide(f.Layers[i], 1/float64(f.Layers[i].Thickness), inC, float64(out.PerArea))
		}
		require.InDelta(t, float64(f.Fluid), inC, 1e-6)
	})
}

func between(t *rapid.T, surface unit.Celsius, around ...unit.Celsius) {
	low, high := around[0], around[0]
	for _, a := range around {
		low, high = min(low, a), max(high, a)
	}
	require.GreaterOrEqual(t, surface, low)
	require.LessOrEqual(t, surface, high)
}

// requireFlux holds q_f = h_c·(T_a − T_s) + h_r·(T_r − T_s).
func requireFlux(t *rapid.T, film heat.Film, room heat.Room, emissivity unit.Fraction, out heat.Outside) {
	convection := float64(film.Coefficient(out.Surface, room.Air)) * float64(room.Air-out.Surface)
	radiation := float64(heat.RadiationCoefficient(emissivity, out.Surface, walls(room))) * float64(walls(room)-out.Surface)
	require.InDelta(t, convection+radiation, float64(out.PerArea), 1e-9*(1+math.Abs(convection)+math.Abs(radiation)))
}

// coldLine draws a cover on a fluid colder than the air, walls as the air.
func coldLine(t *rapid.T) (heat.Cylinder, heat.Room) {
	c, room := drawCylinder(t), drawRoom(t)
	room.Walls = nil
	c.Fluid = room.Air - unit.Celsius(draw(t, "colder by", 0.5, 60))
	c.Fluid = max(c.Fluid, -30)
	room.Air = max(room.Air, c.Fluid+0.5)
	return c, room
}

func TestThickerIsNeverColderOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := coldLine(t)
		thin := c.Solve(room)
		thicker := c
		thicker.Layers = append([]heat.Layer(nil), c.Layers...)
		thicker.Layers[len(c.Layers)-1].Thickness += unit.Meter(draw(t, "more", 0.0001, 0.1))
		require.GreaterOrEqual(t, thicker.Solve(room).Surface, thin.Surface-1e-9)

		face := heat.Flat{Fluid: c.Fluid, Height: 0.5, Layers: c.Layers, Emissivity: c.Emissivity}
		thickFace := face
		thickFace.Layers = thicker.Layers
		require.GreaterOrEqual(t, thickFace.Solve(room).Surface, face.Solve(room).Surface-1e-9)
		require.LessOrEqual(t, thickFace.Solve(room).PerArea, face.Solve(room).PerArea+1e-9)
	})
}

// solvedTo is how far two solutions of one cover may differ in heat per meter:
// each surface is found to 1e-10 K, and a film of at most 500 W/(m²K) (20 m/s
// across the thinnest part drawn) stands on its outside.
func solvedTo(c heat.Cylinder) unit.WPerM {
	outer := float64(c.Diameter)
	for _, l := range c.Layers {
		outer += 2 * float64(l.Thickness)
	}
	return unit.WPerM(2 * 1e-10 * 500 * math.Pi * outer)
}

// A colder fluid, warmer air, and a duller surface draw more heat.
func TestHeatIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := coldLine(t)
		q := c.Solve(room).PerMeter
		colder, duller, warmer := c, c, room
		colder.Fluid -= unit.Celsius(draw(t, "colder", 0.01, 10))
		require.Greater(t, colder.Solve(room).PerMeter, q)
		require.Less(t, colder.Solve(room).Surface, c.Solve(room).Surface)
		duller.Emissivity = min(1, c.Emissivity+unit.Fraction(draw(t, "duller", 0, 0.5)))
		require.GreaterOrEqual(t, duller.Solve(room).PerMeter, q-solvedTo(c))
		warmer.Air += unit.Celsius(draw(t, "warmer", 0.01, 10))
		require.Greater(t, c.Solve(warmer).PerMeter, q)
	})
}

func TestResistanceInsideWarmsTheSurface(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := coldLine(t)
		inside := heat.Inside{
			Diameter: c.Diameter * unit.Meter(draw(t, "inside", 0.5, 1)),
			H:        new(unit.WPerM2K(draw(t, "h", 5, 5000))), WallK: new(unit.WPerMK(draw(t, "wall", 1, 400))),
		}
		with := c
		with.Inner = inside.Resistance(c.Diameter)
		require.GreaterOrEqual(t, with.Solve(room).Surface, c.Solve(room).Surface-1e-9)
		require.LessOrEqual(t, with.Solve(room).PerMeter, c.Solve(room).PerMeter+1e-9)
	})
}

// On the boundary: with the least thickness the surface is at the target, with
// less it is below.
func TestLeastThicknessIsTheBoundary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := coldLine(t)
		k := c.Layers[0].K
		c.Layers = c.Layers[1:]
		target := c.Fluid + unit.Celsius(draw(t, "share", 0.01, 0.999))*(room.Air-c.Fluid)
		boundaryOf(t, target, c.LeastThickness(k, target, room), func(thickness unit.Meter) heat.Outside {
			with := c
			with.Layers = append(append([]heat.Layer(nil), c.Layers...), heat.Layer{Thickness: thickness, K: k})
			return with.Solve(room)
		})
		f := heat.Flat{Fluid: c.Fluid, Height: 1, Layers: c.Layers, Emissivity: c.Emissivity}
		boundaryOf(t, target, f.LeastThickness(k, target, room), func(thickness unit.Meter) heat.Outside {
			with := f
			with.Layers = append(append([]heat.Layer(nil), f.Layers...), heat.Layer{Thickness: thickness, K: k})
			return with.Solve(room)
		})
	})
}

func boundaryOf(t *rapid.T, target unit.Celsius, least heat.Least, with func(unit.Meter) heat.Outside) {
	switch {
	case least.Unattainable:
		require.True(t, math.IsNaN(float64(least.Thickness)))
		require.Less(t, with(heat.MaxThickness).Surface, target)
	case least.Thickness == 0:
		require.GreaterOrEqual(t, with(1e-7).Surface, target-1e-3)
	default:
		require.InDelta(t, float64(target), float64(with(least.Thickness).Surface), 1e-6)
		require.Less(t, with(least.Thickness*0.99).Surface, target)
	}
}

// The fixed film has closed forms to be held against.
func TestLeastThicknessOfAFixedFilm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, room := coldLine(t)
		k := c.Layers[0].K
		c.Layers = nil
		film := heat.FixedFilm{Air: room.Air, H: unit.WPerM2K(draw(t, "h", 2, 25))}
		target := c.Fluid + unit.Celsius(draw(t, "share", 0.01, 0.999))*(room.Air-c.Fluid)
		flat := float64(k.At((target+c.Fluid)/2)) / float64(film.H) * float64((target-c.Fluid)/(room.Air-target))
		face := heat.Flat{Fluid: c.Fluid, Height: 1}.LeastThicknessFixed(k, target, film)
		if flat > 0.5 {
			require.True(t, face.Unattainable)
		} else {
			require.InDelta(t, flat, float64(face.Thickness), 1e-9)
		}
		if pipe := c.LeastThicknessFixed(k, target, film); !pipe.Unattainable {
			outer := float64(c.Diameter + 2*pipe.Thickness)
			require.InDelta(t, 2*flat, outer*math.Log(outer/float64(c.Diameter)), 1e-7)
		}
	})
}

func TestBareMetalBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		room.Air = unit.Celsius(draw(t, "room", -20, 50))
		vapor := unit.Pascal(draw(t, "rh", 0, 1)) * saturation(room.Air)
		b := heat.Bare{
			Fluid: unit.Celsius(draw(t, "fluid", -30, 90)), Size: unit.Meter(draw(t, "d", 0.01, 1)),
			Shape:      heat.Shape(rapid.IntRange(0, 1).Draw(t, "shape")),
			Emissivity: unit.Fraction(draw(t, "eps", 0, 1)), Inner: draw(t, "inner", 0, 0.2),
		}
		got := b.Solve(room, vapor)
		between(t, got.Surface, b.Fluid, room.Air, walls(room))
		require.InDelta(t, float64(b.Fluid), float64(got.Surface)-float64(got.Total())*b.Inner, 1e-4)
		require.GreaterOrEqual(t, got.Latent, unit.WPerM2(0))
		if vapor <= saturation(got.Surface) {
			require.Zero(t, got.Water)
		}
		require.Equal(t, got.Water > 0 && got.Surface < 0, got.Frost())
	})
}
