package vapor_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/air"
	"drylag/models/unit"
	"drylag/models/vapor"
)

const rounding = 1e-9 // of values that are equal on paper

func draw[Q ~float64](t *rapid.T, name string, low, high float64) Q {
	return Q(rapid.Float64Range(low, high).Draw(t, name))
}

// drawDecades draws evenly over the powers of ten.
func drawDecades[Q ~float64](t *rapid.T, name string, low, high float64) Q {
	return Q(math.Pow(10, rapid.Float64Range(math.Log10(low), math.Log10(high)).Draw(t, name)))
}

// drawCylinder draws a cover with its surface at or above the dew point, in a
// room that may be drier than the metal.
func drawCylinder(t *rapid.T) vapor.Cylinder {
	surface := draw[unit.Celsius](t, "surface", 0, 40)
	inner := draw[unit.Meter](t, "inner", 0.01, 0.5)
	permeance := drawDecades[unit.KgPerM2SPa](t, "permeance", 1e-13, 1e-9)
	return vapor.Cylinder{
		Room:         draw[unit.Pascal](t, "room", 0, 1) * air.SatPressure(surface),
		Metal:        surface - draw[unit.Celsius](t, "colder", 0, 45),
		Surface:      surface,
		Inner:        inner,
		Outer:        inner + draw[unit.Meter](t, "thickness", 0.003, 0.2),
		Permeability: drawDecades[unit.KgPerMSPa](t, "permeability", 1e-14, 2e-10),
		Facing:       &permeance,
	}
}

func unfaced(c vapor.Cylinder) vapor.Cylinder {
	c.Facing = nil
	return c
}

func drawDefect(t *rapid.T) vapor.Defect {
	return vapor.Defect{
		Length:       draw[unit.Meter](t, "length", 0, 5),
		Gap:          drawDecades[unit.Meter](t, "gap", 1e-7, 0.1),
		Lap:          draw[unit.Meter](t, "lap", 0, 0.1),
		Thickness:    draw[unit.Meter](t, "insulation", 0.003, 0.2),
		Permeability: drawDecades[unit.KgPerMSPa](t, "delta", 1e-14, 2e-10),
	}
}

// The tangent is the highest of all radii, and the facing only ever lowers it.
func TestIngressIsTheHighestOfAllRadii(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCylinder(t)
		got := c.Ingress()
		require.GreaterOrEqual(t, got.Plane, c.Inner)
		require.LessOrEqual(t, got.Plane, c.Outer)
		part := draw[float64](t, "part", 0, 1)
		r := c.Inner * unit.Meter(math.Pow(float64(c.Outer/c.Inner), part))
		warm := c.Metal + unit.Celsius(part)*(c.Surface-c.Metal)
		z := vapor.CylinderFacingResistance(*c.Facing, c.Outer) + vapor.CylinderResistance(min(r, c.Outer), c.Outer, c.Permeability)
		there := float64(c.Room-air.SatPressure(warm)) / z
		digits := 1e-12 * float64(c.Room) / z // of two pressures that are nearly equal
		require.GreaterOrEqual(t, float64(got.Rate), there-rounding*math.Abs(there)-digits)
	})
}

func TestFacingOnlySlowsIngress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCylinder(t)
		whole := c.Ingress().Rate
		if whole < 0 {
			return
		}
		looser := c
		permeance := *c.Facing * 2
		looser.Facing = &permeance
		require.GreaterOrEqual(t, float64(looser.Ingress().Rate), float64(whole)*(1-rounding))
		open := unfaced(c).Ingress().Rate
		require.GreaterOrEqual(t, float64(open), float64(whole)*(1-rounding))
	})
	nothing := unit.KgPerM2SPa(1)
	c := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 25, Inner: 0.05, Outer: 0.08, Permeability: 1.5e-10, Facing: &nothing}
	require.InEpsilon(t, float64(unfaced(c).Ingress().Rate), float64(c.Ingress().Rate), 1e-6, "a facing that holds nothing back")
}

// With the metal as the plane that wets, flow is conductance times drive; where
// the insulation wets too, it is more. A dry room dries the metal at that rate.
func TestIngressAndConductance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCylinder(t)
		got := c.Ingress()
		straight := float64(c.Conductance(1).Flow(c.Room - air.SatPressure(c.Metal)))
		require.GreaterOrEqual(t, float64(got.Rate), straight-rounding*math.Abs(straight))
		if got.Plane == c.Inner || straight < 0 {
			require.Equal(t, c.Inner, got.Plane)
			require.InDelta(t, straight, float64(got.Rate), rounding*math.Abs(straight))
		}
	})
}

func TestTightnessStopsIngress(t *testing.T) {
	tight := unit.KgPerM2SPa(0)
	c := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 25, Inner: 0.05, Outer: 0.08, Permeability: 1.5e-10, Facing: &tight}
	require.Zero(t, c.Ingress().Rate, "a tight facing")
	glass := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 25, Inner: 0.05, Outer: 0.08}
	require.Zero(t, glass.Ingress().Rate, "cellular glass")
	require.Zero(t, vapor.Flat{Room: 2000, Metal: 6, Thickness: 0.05}.Flux(), "cellular glass")
}

// A sweating surface without a facing wets without limit from outside.
func TestSweatingSurface(t *testing.T) {
	c := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 12, Inner: 0.05, Outer: 0.08, Permeability: 1.5e-10}
	got := c.Ingress()
	require.True(t, math.IsInf(float64(got.Rate), 1))
	require.Equal(t, c.Outer, got.Plane)
	c.Room = air.SatPressure(c.Surface)
	at := c.Ingress()
	require.False(t, math.IsInf(float64(at.Rate), 0), "at the dew point the limit is finite")
	c.Room -= 1e-6 // the tangent comes near with the root of the difference
	require.InEpsilon(t, float64(c.Ingress().Rate), float64(at.Rate), 1e-3)
}

// A thick cylinder of large radius is a flat wall.
func TestCylinderBecomesFlat(t *testing.T) {
	permeance := 0.02 * vapor.Perm
	c := vapor.Cylinder{Room: 2000, Metal: 6, Surface: 25, Inner: 1000, Outer: 1000.025, Permeability: 1.5e-10, Facing: &permeance}
	f := vapor.Flat{Room: 2000, Metal: 6, Thickness: 0.025, Permeability: 1.5e-10, Facing: &permeance}
	require.InEpsilon(t, float64(f.Flux()), float64(c.Ingress().Rate)/(2*math.Pi*1000.025), 1e-4)
}

func TestDefectBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, drive := drawDefect(t), draw[unit.Pascal](t, "drive", 0, 4000)
		got := d.Ingress(drive)
		require.GreaterOrEqual(t, got.Low, unit.KgPerS(0))
		require.GreaterOrEqual(t, float64(got.High), float64(got.Low)*(1-rounding))
		for _, more := range []func(*vapor.Defect){
			func(d *vapor.Defect) { d.Length *= 1.5 },
			func(d *vapor.Defect) { d.Gap *= 1.5 },
			func(d *vapor.Defect) { d.Permeability *= 1.5 },
			func(d *vapor.Defect) { d.Lap /= 1.5 },
		} {
			larger := d
			more(&larger)
			g := larger.Ingress(drive)
			require.GreaterOrEqual(t, float64(g.Low), float64(got.Low)*(1-rounding))
			require.GreaterOrEqual(t, float64(g.High), float64(got.High)*(1-rounding))
		}
	})
}

func TestClosedGapLetsNothingIn(t *testing.T) {
	d := vapor.Defect{Length: 1, Thickness: 0.025, Permeability: 1.5e-10}
	require.Equal(t, vapor.Bounds{}, d.Ingress(1000))
	d = vapor.Defect{Length: 1, Gap: 0.001, Thickness: 0.025}
	require.Equal(t, vapor.Bounds{}, d.Ingress(1000), "over cellular glass")
}

func TestTotalStaysWithinUnfaced(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, length := drawCylinder(t), draw[unit.Meter](t, "cover", 0.1, 2)
		intact := unit.KgPerS(c.Ingress().Rate) * unit.KgPerS(length)
		open := unit.KgPerS(unfaced(c).Ingress().Rate) * unit.KgPerS(length)
		if intact < 0 {
			return
		}
		drive := max(0, c.Room-air.SatPressure(c.Metal))
		defects := []vapor.Bounds{drawDefect(t).Ingress(drive), drawDefect(t).Ingress(drive)}
		got := vapor.Total(intact, open, defects...)
		require.LessOrEqual(t, got.High, open)
		require.GreaterOrEqual(t, float64(got.Low), float64(intact)*(1-rounding))
		require.GreaterOrEqual(t, float64(got.High), float64(got.Low)*(1-rounding))
	})
}

func TestTotal(t *testing.T) {
	a, b := vapor.Bounds{Low: 1, High: 3}, vapor.Bounds{Low: 2, High: 4}
	require.Equal(t, vapor.Bounds{Low: 8, High: 12}, vapor.Total(5, 100, a, b))
	require.Equal(t, vapor.Bounds{Low: 8, High: 10}, vapor.Total(5, 10, a, b))
	require.Equal(t, vapor.Bounds{Low: 5, High: 5}, vapor.Total(5, unit.KgPerS(math.Inf(1))))
	require.Equal(t, vapor.Bounds{Low: -8, High: -10}, vapor.Total(-5, -10, vapor.Bounds{Low: -3, High: -7}), "drying")
	require.True(t, math.IsNaN(float64(vapor.Total(5, unit.KgPerS(math.NaN())).High)))
}

// A year at one drive is the flow of that drive for 8760 h.
func TestMassOfASteadyYear(t *testing.T) {
	g := vapor.Conductance(2e-12)
	require.InEpsilon(t, float64(g.Flow(1000))*8760*3600, float64(g.Mass(1000*8760)), rounding)
	require.Negative(t, float64(g.Mass(-1e6)), "net drive of a cover that dries")
}

func TestTimeToMoisture(t *testing.T) {
	require.True(t, math.IsInf(float64(vapor.TimeToMoisture(0, 0.01, 0.05)), 1), "never")
	require.Zero(t, vapor.TimeToMoisture(0, 0.01, 0), "dry is there at once")
	rapid.Check(t, func(t *rapid.T) {
		flow := drawDecades[unit.KgPerS](t, "flow", 1e-12, 1e-5)
		volume := draw[unit.M3](t, "volume", 1e-4, 1)
		x := draw[unit.Fraction](t, "content", 1e-4, 1)
		hours := vapor.TimeToMoisture(flow, volume, x)
		require.InEpsilon(t, float64(x)*float64(volume)*1000, float64(flow)*float64(hours)*3600, rounding, "balance of mass")
		require.Less(t, vapor.TimeToMoisture(flow*2, volume, x), hours)
	})
}

// The exponential lies between the bounds in the range it is given for and for
// the conductivities of insulation.
func TestWetConductivityIsOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := draw[unit.WPerMK](t, "k", 0.015, 0.09)
		psi := draw[unit.Fraction](t, "psi", 0, float64(vapor.ExponentialTo))
		got := vapor.WetBounds(k, psi)
		require.GreaterOrEqual(t, float64(got.Series), float64(k)*(1-rounding))
		require.GreaterOrEqual(t, float64(got.Exponential), float64(got.Series)*(1-rounding))
		require.GreaterOrEqual(t, float64(got.Parallel), float64(got.Exponential)*(1-rounding))
		wetter := vapor.WetBounds(k, psi+0.01)
		require.Greater(t, wetter.Series, got.Series)
		require.Greater(t, wetter.Parallel, got.Parallel)
	})
}

func TestWetConductivityEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := draw[unit.WPerMK](t, "k", 0.005, 0.6)
		dry := vapor.WetBounds(k, 0)
		for _, x := range []unit.WPerMK{dry.Series, dry.Exponential, dry.Parallel} {
			require.InEpsilon(t, float64(k), float64(x), rounding)
		}
		full := vapor.WetBounds(k, 1)
		require.InEpsilon(t, 0.60, float64(full.Series), rounding)
		require.InEpsilon(t, 0.60, float64(full.Parallel), rounding)
	})
	wet := vapor.WetBounds(0.034, 0.115)
	require.InDelta(t, 3, float64(wet.Parallel/0.034), 0.2, "glass fiber pipe sections on cold pipe: about 3 times at 11 to 12 % (from memory)")
}
