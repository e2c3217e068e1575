package takeoff

import (
	"math"

	"drylag/models/unit"
)

// Cartridge is what one cartridge holds. Common practice, no source.
const Cartridge unit.Milliliter = 300

const millilitersPerM3 = 1e6

// Fillet returns the sealant in a triangular fillet with two equal legs along
// a perimeter:
//
//	V = P·leg²/2
//
// From 0 up, else NaN.
func Fillet(perimeter, leg unit.Meter) unit.Milliliter {
	return Joint(perimeter, leg, leg) / 2
}

// Joint returns the sealant in a joint width wide and depth deep along a
// perimeter:
//
//	V = P·w·d
//
// From 0 up, else NaN.
func Joint(perimeter, width, depth unit.Meter) unit.Milliliter {
	if !counts(perimeter, width, depth) {
		return unit.Milliliter(math.NaN())
	}
	return unit.Milliliter(perimeter * width * depth * millilitersPerM3)
}

// Cartridges returns how many whole cartridges of 300 mL lay a volume of
// sealant when a share of each is lost:
//
//	n = ceil(V/300/(1 − loss))
//
// Count them over a whole round, not cover by cover. A volume from 0 up, a loss
// of 0 to 0.95, else NaN.
func Cartridges(laid unit.Milliliter, loss unit.Fraction) float64 {
	if !counts(laid) || !lossInRange(loss) {
		return math.NaN()
	}
	return packs(float64(laid/Cartridge) / float64(1-loss))
}

// lossInRange tells whether a loss is 0 to 0.95.
func lossInRange(loss unit.Fraction) bool { return loss >= 0 && loss <= 0.95 }
