package heat

import "math"

// NusseltFreeCylinder returns Nu of free convection at a horizontal cylinder:
//
//	Nu = (0.60 + 0.387 · Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27))²
//
// Ra by the diameter, 1e-5 to 1e12; below, Nu goes on to 0.36 at Ra = 0. NaN for
// a negative ra or a pr not above 0. Source: Churchill and Chu 1975, read and
// computed with a library.
func NusseltFreeCylinder(ra, pr float64) float64 {
	return freeNusselt(ra, cylinderBase, 0.387/prandtlTerm(cylinderPrandtl, pr))
}

// NusseltFreePlate returns Nu of free convection at a vertical plate:
//
//	Nu = (0.825 + 0.387 · Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27))²
//
// Ra by the height, 0.1 to 1e12. NaN for a negative ra or a pr not above 0.
// Source: Churchill and Chu 1975, read and computed with a library.
func NusseltFreePlate(ra, pr float64) float64 {
	return freeNusselt(ra, plateBase, 0.387/prandtlTerm(platePrandtl, pr))
}

// Constants of Churchill and Chu 1975 for the two shapes.
const (
	cylinderBase, cylinderPrandtl = 0.60, 0.559
	plateBase, platePrandtl       = 0.825, 0.492
)

func freeNusselt(ra, base, slope float64) float64 {
	root := base + slope*math.Pow(ra, 1.0/6)
	return root * root
}

// prandtlTerm is [1 + (c/Pr)^(9/16)]^(8/27).
func prandtlTerm(c, pr float64) float64 {
	if !(pr > 0) {
		return math.NaN()
	}
	return math.Pow(1+math.Pow(c/pr, 9.0/16), 8.0/27)
}

// NusseltForcedCylinder returns Nu of a cylinder in air that flows across it:
//
//	Nu = 0.3 + 0.62 · Re^½ · Pr^⅓ / [1 + (0.4/Pr)^⅔]^¼ · [1 + (Re/282000)^⅝]^⅘
//
// Re · Pr above 0.2. NaN for a negative re or a pr not above 0. Source:
// Churchill and Bernstein 1977, read and computed with a library.
func NusseltForcedCylinder(re, pr float64) float64 {
	if !(re >= 0 && pr > 0) {
		return math.NaN()
	}
	return 0.3 + 0.62*math.Sqrt(re)*math.Cbrt(pr)/math.Pow(1+math.Pow(0.4/pr, 2.0/3), 0.25)*
		math.Pow(1+math.Pow(re/282000, 0.625), 0.8)
}

// NusseltForcedPlate returns the mean Nu of a plate in air that flows along it:
//
//	Re < 5e5: Nu = 0.664 · Re^½ · Pr^⅓
//	else:     Nu = (0.037 · Re^0.8 − 871) · Pr^⅓
//
// NaN for a negative re or a pr not above 0. Source: textbooks, from memory.
func NusseltForcedPlate(re, pr float64) float64 {
	switch {
	case !(re >= 0 && pr > 0):
		return math.NaN()
	case re < 5e5:
		return 0.664 * math.Sqrt(re) * math.Cbrt(pr)
	default:
		return (0.037*math.Pow(re, 0.8) - 871) * math.Cbrt(pr)
	}
}

// BlendNusselt returns free and forced convection together, which help each
// other: (Nu_free^n + Nu_forced^n)^(1/n), n = 4 for a cylinder and 3 for a
// plate. Source: textbooks, from memory.
func BlendNusselt(shape Shape, free, forced float64) float64 {
	if shape == VerticalPlate {
		return math.Cbrt(free*free*free + forced*forced*forced)
	}
	return math.Sqrt(math.Sqrt(free*free*free*free + forced*forced*forced*forced))
}

func (s Shape) free(ra, pr float64) float64 {
	if s == VerticalPlate {
		return NusseltFreePlate(ra, pr)
	}
	return NusseltFreeCylinder(ra, pr)
}

func (s Shape) forced(re, pr float64) float64 {
	if s == VerticalPlate {
		return NusseltForcedPlate(re, pr)
	}
	return NusseltForcedCylinder(re, pr)
}
