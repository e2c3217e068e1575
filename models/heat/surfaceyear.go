package heat

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"drylag/models/air"
	"drylag/models/unit"
)

// SurfaceYear is the air of some hours, prepared once for questions about the
// outside of any number of covers. What it keeps depends on the hours only. It
// does not change and may be asked from many goroutines.
//
// The question "is the surface below the dew point" needs no surface
// temperature: it is, exactly where metal at the fluid's temperature would draw
// more heat through the cover from a surface at the dew point than the air
// gives to it,
//
//	k(½·(T_f + t_d)) · (t_d − T_f) > ½ · D_o · ln(D_o/D) · q_f(t_d)
//
// and in still air, for every diameter and emissivity,
//
//	q_f(t_d) = a · (0.60/√D_o + B)² + epsilon · r
//	a = k_air · (t_a − t_d), r = sigma · (T_a⁴ − T_d⁴)
//	B = 0.387 · (g · beta · (t_a − t_d) / (nu · alpha))^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)
//
// of which a, B and r are numbers of the hour alone. A flat face has t for the
// ½·D_o·ln, its height for D_o, 0.825 for 0.60 and 0.492 for 0.559. Walls are as
// warm as the air. Air saturated at its own temperature counts as wetting every
// surface over colder metal. Derived here from Film.Coefficient and
// RadiationFlux; a test compares it with the full solution.
type SurfaceYear struct {
	pressure unit.Pascal

	// one element per hour, by falling dew point
	dewC, airC []float64
	vaporPa    []float64
	conv       []float64 // a, W/m
	cylinder   []float64 // B of a horizontal cylinder, 1/√m
	plate      []float64 // B of a vertical plate, 1/√m
	black      []float64 // r, W/m²

	nodes []node // for CoveredHeat
}

// NewSurfaceYear prepares hours of air: the dry bulb and the vapor pressure of
// each, and the mean station pressure. Any number of hours will do; hours that
// should not count, as those of a shutdown, are left out. The error names the
// first hour, from 0, that is not air: a temperature outside -100 to 200 °C or a
// vapor pressure below 0 or above saturation.
func NewSurfaceYear(dry []unit.Celsius, vapor []unit.Pascal, pressure unit.Pascal) (*SurfaceYear, error) {
	if len(dry) != len(vapor) {
		return nil, fmt.Errorf("%d temperatures but %d vapor pressures", len(dry), len(vapor))
	}
	if !(pressure > 0) || math.IsInf(float64(pressure), 0) {
		return nil, fmt.Errorf("a station pressure of %v Pa", float64(pressure))
	}
	hours := make([]wetHour, len(dry))
	for i := range hours {
		sat := air.SatPressure(dry[i])
		if !(vapor[i] >= 0 && vapor[i] <= sat*(1+1e-9)) {
			return nil, fmt.Errorf("hour %d: %v Pa of vapor in air of %v °C", i, float64(vapor[i]), float64(dry[i]))
		}
		held := min(vapor[i], sat)
		hours[i] = wetHour{dewPoint(dry[i], held), float64(dry[i]), float64(held)}
	}
	slices.SortFunc(hours, func(a, b wetHour) int {
		return cmp.Or(cmp.Compare(b.dewC, a.dewC), cmp.Compare(b.airC, a.airC))
	})
	y := &SurfaceYear{pressure: pressure, nodes: nodesOf(dry)}
	y.fill(hours)
	return y, nil
}

// wetHour is the air of one hour.
type wetHour struct{ dewC, airC, vaporPa float64 }

// dewPoint returns the dew point of air at t, minus infinity of air too dry to
// have one.
func dewPoint(t unit.Celsius, vapor unit.Pascal) float64 {
	if vapor < air.SatPressure(air.MinTemp) {
		return math.Inf(-1)
	}
	return math.Min(float64(air.DewPointFromPressure(vapor)), float64(t))
}

// fill works out the constants of each hour.
func (y *SurfaceYear) fill(hours []wetHour) {
	n := len(hours)
	columns := make([]float64, 7*n)
	for i, c := range []*[]float64{&y.dewC, &y.airC, &y.vaporPa, &y.conv, &y.cylinder, &y.plate, &y.black} {
		*c = columns[i*n : (i+1)*n : (i+1)*n]
	}
	for i, h := range hours {
		y.dewC[i], y.airC[i], y.vaporPa[i] = h.dewC, h.airC, h.vaporPa
		if math.IsInf(h.dewC, -1) {
			continue // never reached: no fluid is colder
		}
		middleC := (h.dewC + h.airC) / 2
		props := PropertiesOf(unit.Celsius(middleC), y.pressure)
		root := math.Pow(rayleighPerM3(props, middleC, h.airC-h.dewC), 1.0/6)
		y.conv[i] = float64(props.Conductivity) * (h.airC - h.dewC)
		y.cylinder[i] = 0.387 * root / prandtlTerm(cylinderPrandtl, props.Prandtl)
		y.plate[i] = 0.387 * root / prandtlTerm(platePrandtl, props.Prandtl)
		y.black[i] = blackFlux(h.dewC, h.airC)
	}
}

// Count returns the number of hours.
func (y *SurfaceYear) Count() unit.Hours { return unit.Hours(len(y.dewC)) }

// Hours counts the hours in which the outside of the cover is below the dew
// point. In still air (speed 0) nothing is solved and an hour costs a few
// multiplications; at any other speed the film is worked out for each hour. NaN
// where an input is out of range, see Cylinder.Solve.
func (y *SurfaceYear) Hours(c Cylinder, speed unit.MPerS) unit.Hours {
	var few [4]shell
	s := c.section(few[:0])
	return y.count(&s, speed, y.cylinder, cylinderBase)
}

// HoursFlat is Hours for a flat face.
func (y *SurfaceYear) HoursFlat(f Flat, speed unit.MPerS) unit.Hours {
	var few [4]shell
	s := f.section(few[:0])
	return y.count(&s, speed, y.plate, plateBase)
}

func (y *SurfaceYear) count(s *section, speed unit.MPerS, slope []float64, base float64) unit.Hours {
	s.film.Speed, s.film.Pressure = speed, y.pressure
	lowC, highC := y.span(s.fluidC)
	if !(speed >= 0 && speed <= MaxSpeed) || !s.valid(lowC, highC) {
		return unit.Hours(math.NaN())
	}
	switch {
	case speed > 0:
		return y.countMoving(s)
	case len(s.shells) == 1 && s.inner == 0:
		return y.countOneLayer(s, slope, base)
	default:
		return y.countStill(s, slope, base)
	}
}

// span returns the coldest and the warmest of the fluid and all air.
func (y *SurfaceYear) span(fluidC float64) (lowC, highC float64) {
	lowC, highC = fluidC, fluidC
	if n := len(y.nodes); n > 0 {
		lowC, highC = math.Min(lowC, y.nodes[0].airC), math.Max(highC, y.nodes[n-1].airC)
	}
	return lowC, highC
}

// countOneLayer is the inner loop of a fleet: one layer on metal as cold as the
// fluid, in still air.
func (y *SurfaceYear) countOneLayer(s *section, slope []float64, base float64) unit.Hours {
	l, fluidC, emissivity := s.shells[0], s.fluidC, s.emissivity
	perK := s.area / l.s // ½·D_o·ln(D_o/D), or the thickness of a flat layer
	base /= math.Sqrt(float64(s.film.Size))
	atMean, half := l.a+l.b/2*fluidC, l.b/2
	dew := y.dewC
	slope, conv, black := slope[:len(dew)], y.conv[:len(dew)], y.black[:len(dew)]
	wet := 0
	for i, dewC := range dew {
		if dewC <= fluidC {
			break
		}
		root := base + slope[i]
		if (atMean+half*dewC)*(dewC-fluidC) > perK*(conv[i]*root*root+emissivity*black[i]) {
			wet++
		}
	}
	return unit.Hours(wet)
}

// countStill is countOneLayer for any layers.
func (y *SurfaceYear) countStill(s *section, slope []float64, base float64) unit.Hours {
	base /= math.Sqrt(float64(s.film.Size))
	return y.countBelow(s, func(i int) float64 {
		root := base + slope[i]
		return y.conv[i]*root*root + s.emissivity*y.black[i]
	})
}

// countMoving works out the film of every hour.
func (y *SurfaceYear) countMoving(s *section) unit.Hours {
	return y.countBelow(s, func(i int) float64 { return s.flux(y.dewC[i], y.airC[i], y.airC[i]) })
}

// countBelow counts the hours in which an outside at the dew point, with its
// flux, asks for a fluid warmer than it is.
func (y *SurfaceYear) countBelow(s *section, flux func(i int) float64) unit.Hours {
	wet := 0
	for i, dewC := range y.dewC {
		if dewC <= s.fluidC {
			break
		}
		if s.fluidAt(dewC, flux(i)*s.area) > s.fluidC {
			wet++
		}
	}
	return unit.Hours(wet)
}
