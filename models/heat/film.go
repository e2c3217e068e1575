// Package heat is the heat that reaches a cold component: through the air at a
// surface, by radiation, and through a cover; the temperature of the cover's
// outside, the least thickness that keeps it above the dew point, what a bare
// component gains, and the hours of a year in which a cover sweats.
//
// Heat flows are positive into the surface and into the fluid. No function
// returns an error where NaN says enough: outside the stated ranges, and for
// NaN, the answer is NaN; the caller who knows the name of the field says so.
// The ranges are the exported constants of range.go. Vapor does not stay out
// because a surface is dry: that is package vapor.
package heat

import (
	"math"

	"drylag/models/unit"
)

const (
	zeroC        = 273.15  // 0 °C in K
	gasConstant  = 287.042 // dry air, J/(kg K), ASHRAE Fundamentals 2017 ch. 1 eq 1
	heatCapacity = 1006.0  // of dry air, J/(kg K), taken as constant
	gravity      = 9.80665 // m/s², standard
)

// AirProperties are those of dry air in the film at a surface; humidity is
// left out of them.
type AirProperties struct {
	Density      unit.KgPerM3
	Viscosity    float64 // dynamic, mu, Pa s
	Conductivity unit.WPerMK
	Kinematic    float64 // viscosity, nu, m²/s
	Diffusivity  float64 // of heat, alpha, m²/s
	Prandtl      float64 // nu/alpha
}

// PropertiesOf returns the properties of dry air at t and station pressure p.
// With T = t + 273.15:
//
//	mu = 1.458e-6 · T^1.5 / (T + 110.4)
//	k = 2.64638e-3 · T^1.5 / (T + 245.4 · 10^(−12/T))
//	rho = p / (287.042 · T), nu = mu/rho, alpha = k / (rho · 1006), Pr = nu/alpha
//
// t is -100 to 600 °C and p above 0, else all are NaN. Source: U.S. Standard
// Atmosphere 1976 eq 51 and 53, numbers computed with a library, equation
// numbers from memory.
func PropertiesOf(t unit.Celsius, p unit.Pascal) AirProperties {
	if !inTempRange(float64(t)) || !(p > 0) || math.IsInf(float64(p), 0) {
		nan := math.NaN()
		return AirProperties{unit.KgPerM3(nan), nan, unit.WPerMK(nan), nan, nan, nan}
	}
	T := float64(t) + zeroC
	mu := 1.458e-6 * T * math.Sqrt(T) / (T + 110.4)
	k := 2.64638e-3 * T * math.Sqrt(T) / (T + 245.4*math.Pow(10, -12/T))
	rho := float64(p) / (gasConstant * T)
	nu, alpha := mu/rho, k/(rho*heatCapacity)
	return AirProperties{unit.KgPerM3(rho), mu, unit.WPerMK(k), nu, alpha, nu / alpha}
}

// Shape is how a surface lies in the air.
type Shape uint8

// The shapes: a pipe, and by their equivalent diameter valves, strainers,
// flanges and pumps; the side of a box or a flat casing.
const (
	HorizontalCylinder Shape = iota
	VerticalPlate
)

// Film is the air that moves along one surface.
type Film struct {
	Shape    Shape
	Size     unit.Meter  // outside diameter of a cylinder, height of a plate
	Speed    unit.MPerS  // of the air, 0 to 20; 0 is still air
	Pressure unit.Pascal // of the station
}

// Coefficient returns the convective coefficient h_c = Nu · k / L between a
// surface and the air around it, with the properties at the mean of both:
//
//	Ra = g · beta · |T_s − T_a| · L³ / (nu · alpha), beta = 1/T_f, Re = v · L / nu
//
// Free convection is Churchill and Chu's ([NusseltFreeCylinder],
// [NusseltFreePlate]); moving air is blended in by [BlendNusselt]. NaN where
// an input is out of range. Source: as those; the definitions are common.
func (f Film) Coefficient(surface, air unit.Celsius) unit.WPerM2K {
	if !(f.Size > 0 && f.Speed >= 0 && f.Speed <= MaxSpeed) || math.IsInf(float64(f.Size), 0) {
		return unit.WPerM2K(math.NaN())
	}
	return unit.WPerM2K(f.coefficient(float64(surface), float64(air)))
}

// coefficient is Coefficient without the check of the film itself.
func (f Film) coefficient(surfaceC, airC float64) float64 {
	middleC := (surfaceC + airC) / 2
	props := PropertiesOf(unit.Celsius(middleC), f.Pressure)
	size := float64(f.Size)
	ra := rayleighPerM3(props, middleC, math.Abs(surfaceC-airC)) * size * size * size
	nu := f.Shape.free(ra, props.Prandtl)
	if f.Speed > 0 {
		nu = BlendNusselt(f.Shape, nu, f.Shape.forced(float64(f.Speed)*size/props.Kinematic, props.Prandtl))
	}
	return nu * float64(props.Conductivity) / size
}

// rayleighPerM3 returns Ra/L³, in 1/m³, of a film whose mean is middleC.
func rayleighPerM3(props AirProperties, middleC, differenceK float64) float64 {
	return gravity / (middleC + zeroC) * differenceK / (props.Kinematic * props.Diffusivity)
}

// PowerLaw returns the convective coefficient c · (dt/size)^n that handbooks
// give for free convection in room air, c in W/(m² K) with dt in K and size in
// m. Source: Geankoplis, Transport Processes and Unit Operations, 4.7
// (read): n 0.25 with c 1.32 for horizontal cylinders, 1.37 for vertical plates.
func PowerLaw(c float64, dt unit.Kelvin, size unit.Meter, n float64) unit.WPerM2K {
	if !(dt >= 0 && size > 0) {
		return unit.WPerM2K(math.NaN())
	}
	return unit.WPerM2K(c * math.Pow(float64(dt)/float64(size), n))
}

// SimplifiedCoefficient is the simplified alternative to Film.Coefficient for
// still air. With x = L³ · dt:
//
//	cylinder: 1.25 · (dt/L)^¼ for x <= 10 m³ K, else 1.21 · dt^⅓
//	plate:    1.32 · (dt/L)^¼ for x <= 10 m³ K, else 1.74 · dt^⅓
//
// Against it Churchill and Chu's is 0.89 to 1.32 times as large, 1.09 in the
// mean (3000 random cases, diameters 0.05 to 0.6 m, dt 0.5 to 20 K). Source:
// ISO 12241:2008, 4.1, from memory.
func SimplifiedCoefficient(shape Shape, dt unit.Kelvin, size unit.Meter) unit.WPerM2K {
	laminar, turbulent := 1.25, 1.21
	if shape == VerticalPlate {
		laminar, turbulent = 1.32, 1.74
	}
	if l := float64(size); l*l*l*float64(dt) > 10 {
		return PowerLaw(turbulent, dt, 1, 1.0/3)
	}
	return PowerLaw(laminar, dt, size, 0.25)
}
