package takeoff_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/takeoff"
	"drylag/models/unit"
)

const rounding = 1e-9 // of values that are equal on paper

func draw[Q ~float64](t *rapid.T, name string, low, high float64) Q {
	return Q(rapid.Float64Range(low, high).Draw(t, name))
}

func drawValve(t *rapid.T) takeoff.Valve {
	pipe := draw[unit.Meter](t, "pipe", 0.02, 0.7)
	return takeoff.Valve{
		Flange: pipe + draw[unit.Meter](t, "flange", 0, 0.3), FaceToFace: draw[unit.Meter](t, "length", 0.02, 1),
		Bonnet: draw[unit.Meter](t, "bonnet", 0.01, 0.4), BonnetHeight: draw[unit.Meter](t, "height", 0.01, 0.6),
		Thickness: draw[unit.Meter](t, "thickness", 0.003, 0.1), Pipe: pipe,
	}
}

// Every size makes the cover larger, but the pipe, which takes from its ends.
func TestAreaGrowsWithSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawValve(t)
		for _, size := range []func(*takeoff.Valve) *unit.Meter{
			func(v *takeoff.Valve) *unit.Meter { return &v.Flange },
			func(v *takeoff.Valve) *unit.Meter { return &v.FaceToFace },
			func(v *takeoff.Valve) *unit.Meter { return &v.Bonnet },
			func(v *takeoff.Valve) *unit.Meter { return &v.BonnetHeight },
			func(v *takeoff.Valve) *unit.Meter { return &v.Thickness },
		} {
			larger := v
			*size(&larger) += 0.01
			require.Greater(t, larger.Area(), v.Area())
		}
		thinner := v
		thinner.Pipe -= 0.01
		require.Greater(t, thinner.Area(), v.Area())
	})
}

// Each shape is the same rule with parts left out.
func TestShapesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawValve(t)
		s := takeoff.Strainer{Flange: v.Flange, FaceToFace: v.FaceToFace, Leg: v.Bonnet, LegLength: v.BonnetHeight, Thickness: v.Thickness, Pipe: v.Pipe}
		require.Equal(t, v.Area(), s.Area())
		v.BonnetHeight = 0
		c := takeoff.Connector{Flange: v.Flange, FaceToFace: v.FaceToFace, Thickness: v.Thickness, Pipe: v.Pipe}
		f := takeoff.FlangePair{Flange: v.Flange, Width: v.FaceToFace + 2*v.Thickness, Thickness: v.Thickness, Pipe: v.Pipe}
		require.Equal(t, v.Area(), c.Area())
		require.Equal(t, v.Area(), f.Area())
		w := takeoff.Wrap{Diameter: v.Flange, Length: f.Width, Thickness: v.Thickness}
		rings := float64(f.Area() - w.Area())
		require.InDelta(t, 2*float64(takeoff.EndCap(v.Flange+2*v.Thickness, v.Pipe)), rings, rounding)
	})
	closed := takeoff.Box{Length: 0.9, Width: 0.5, Height: 0.6}
	open := closed
	open.OpenBottom = true
	require.InDelta(t, 0.9*0.5, float64(closed.Area()-open.Area()), rounding, "an open bottom saves one lid")
}

func TestTapeGrowsWithItsLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := takeoff.Seams{Overlap: draw[unit.Meter](t, "overlap", 0, 1), Waste: draw[unit.Fraction](t, "waste", 0, 1)}
		before := s.Tape()
		line := draw[unit.Meter](t, "line", 0.01, 5)
		for _, add := range []func(*takeoff.Seams){
			func(s *takeoff.Seams) { s.Ends = append(s.Ends, line) },
			func(s *takeoff.Seams) { s.Seams = append(s.Seams, line) },
			func(s *takeoff.Seams) { s.Penetrations = append(s.Penetrations, line) },
		} {
			add(&s)
			after := s.Tape()
			require.InEpsilon(t, float64(line)*(1+float64(s.Waste)), float64(after-before), 1e-6)
			before = after
		}
	})
}

// Whole rolls are enough, and one less is not.
func TestRollsAndCartridgesAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, roll := draw[unit.Meter](t, "length", 0, 1000), draw[unit.Meter](t, "roll", 1, 100)
		n := takeoff.Rolls(length, roll)
		require.Equal(t, math.Trunc(n), n)
		require.GreaterOrEqual(t, n*float64(roll), float64(length)*(1-rounding))
		require.True(t, n == 0 && length == 0 || (n-1)*float64(roll) < float64(length), "%v rolls of %v for %v", n, roll, length)

		laid, loss := draw[unit.Milliliter](t, "laid", 0, 5000), draw[unit.Fraction](t, "loss", 0, 0.95)
		c := takeoff.Cartridges(laid, loss)
		require.Equal(t, math.Trunc(c), c)
		require.GreaterOrEqual(t, c*300*float64(1-loss), float64(laid)*(1-rounding))
		require.True(t, c == 0 && laid == 0 || (c-1)*300*float64(1-loss) < float64(laid))
	})
	cases := []struct {
		length unit.Meter
		want   float64
	}{{0, 0}, {0.1, 1}, {30, 1}, {25 * 1.2, 1}, {30.001, 2}, {60, 2}}
	for _, c := range cases {
		require.Equal(t, c.want, takeoff.Rolls(c.length, 30), "%v m in rolls of 30 m", c.length)
	}
	require.Equal(t, 2.0, takeoff.Cartridges(300, 0.1))
	require.Equal(t, 1.0, takeoff.Cartridges(270, 0.1), "what is left of one with a tenth lost")
}

// Area is volume times spreading rate, and wet film times solids is dry film.
func TestCoatingBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := takeoff.Coating{Film: draw[unit.Micrometer](t, "film", 20, 3000), VolumeSolids: draw[unit.Fraction](t, "solids", 0.2, 1),
			Loss: draw[unit.Fraction](t, "loss", 0, 0.95), Coats: rapid.IntRange(1, 4).Draw(t, "coats")}
		area := draw[unit.M2](t, "area", 0.01, 50)
		require.InEpsilon(t, float64(area)*float64(c.Coats), float64(c.Volume(area))*c.SpreadingRate(), rounding)
		require.InEpsilon(t, float64(c.Film), float64(c.WetFilm())*float64(c.VolumeSolids), rounding)
		thinned := c
		thinned.VolumeSolids = takeoff.Thinned(c.VolumeSolids, draw[unit.Fraction](t, "thinner", 0.01, 1))
		require.Greater(t, thinned.WetFilm(), c.WetFilm(), "thinned paint goes on thicker for the same dry film")
	})
	require.InEpsilon(t, 0.4545, float64(takeoff.Thinned(0.50, 0.10)), 1e-3, "a coatings note: 50 % with 10 % thinner leaves 45.45 % (arithmetic of VS*100/(100+x))")
}

// 16.04 is 1 US gallon in ft2 of 1 mil, by the exact gallon and foot.
func TestSpreadingRateInBothSystems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mil, solids := draw[float64](t, "mil", 1, 100), draw[unit.Fraction](t, "solids", 0.2, 1)
		si := takeoff.Coating{Film: unit.Micrometer(mil * 25.4), VolumeSolids: solids}.SpreadingRate()
		ip, err := unit.Convert(si*1000, "m2/m3", "ft2/gal")
		require.NoError(t, err)
		require.InEpsilon(t, ip, takeoff.SpreadingRateIP(mil, solids), 2e-4, "the note rounds 1604.17 to 1604")
	})
}

func TestOutOfRangeIsNaN(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := takeoff.Coating{Film: 100, VolumeSolids: 0.5, Loss: 0.2, Coats: 1}
	coat := func(change func(*takeoff.Coating)) float64 {
		c := good
		change(&c)
		return float64(c.Volume(1))
	}
	require.Positive(t, coat(func(*takeoff.Coating) {}))
	cases := map[string]float64{
		"negative diameter":      float64(takeoff.StretchOut(-0.1, 0.02)),
		"endless thickness":      float64(takeoff.StretchOut(0.1, unit.Meter(inf))),
		"negative lap":           float64(takeoff.Wrap{Diameter: 0.1, Length: 1, Lap: -0.1}.Area()),
		"pipe above the cover":   float64(takeoff.EndCap(0.1, 0.2)),
		"NaN pipe":               float64(takeoff.EndCap(0.1, unit.Meter(nan))),
		"endless cover":          float64(takeoff.EndCap(unit.Meter(inf), 0.1)),
		"negative width":         float64(takeoff.FlangePair{Flange: 0.2, Width: -1, Pipe: 0.1}.Area()),
		"negative bonnet":        float64(takeoff.Valve{Flange: 0.2, FaceToFace: 0.2, Bonnet: -1, BonnetHeight: 0.1, Pipe: 0.1}.Area()),
		"negative bonnet height": float64(takeoff.Valve{Flange: 0.2, FaceToFace: 0.2, Bonnet: 0.1, BonnetHeight: -0.1, Pipe: 0.1}.Area()),
		"negative box":           float64(takeoff.Box{Length: 1, Width: -1, Height: 1}.Area()),
		"negative end":           float64(takeoff.Seams{Ends: []unit.Meter{-1}}.Tape()),
		"NaN seam":               float64(takeoff.Seams{Seams: []unit.Meter{unit.Meter(nan)}}.Tape()),
		"negative overlap":       float64(takeoff.Seams{Overlap: -1}.Tape()),
		"negative waste":         float64(takeoff.Seams{Waste: -0.1}.Tape()),
		"waste above all":        float64(takeoff.Seams{Waste: 1.1}.Tape()),
		"no roll":                takeoff.Rolls(10, 0),
		"negative length":        takeoff.Rolls(-1, 30),
		"negative leg":           float64(takeoff.Fillet(0.1, -0.006)),
		"negative depth":         float64(takeoff.Joint(0.1, 0.003, -0.02)),
		"all lost":               takeoff.Cartridges(100, 1),
		"NaN sealant":            takeoff.Cartridges(unit.Milliliter(nan), 0.1),
		"negative area":          float64(good.Volume(-1)),
		"negative film":          coat(func(c *takeoff.Coating) { c.Film = -1 }),
		"no solids":              coat(func(c *takeoff.Coating) { c.VolumeSolids = 0 }),
		"solids above 1":         coat(func(c *takeoff.Coating) { c.VolumeSolids = 1.1 }),
		"loss above 0.95":        coat(func(c *takeoff.Coating) { c.Loss = 0.96 }),
		"negative coats":         coat(func(c *takeoff.Coating) { c.Coats = -1 }),
		"wet film of nothing":    float64(takeoff.Coating{Film: 100}.WetFilm()),
		"rate of no film":        takeoff.Coating{VolumeSolids: 0.5}.SpreadingRate(),
		"IP rate of no film":     takeoff.SpreadingRateIP(0, 0.5),
		"IP rate of no solids":   takeoff.SpreadingRateIP(5, 0),
		"thinned nothing":        float64(takeoff.Thinned(0, 0.1)),
		"thinned backwards":      float64(takeoff.Thinned(0.5, -0.1)),
	}
	for name, got := range cases {
		require.True(t, math.IsNaN(got), "%s: got %v", name, got)
	}
}
