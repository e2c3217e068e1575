package takeoff

import (
	"math"

	"drylag/models/unit"
)

// BrushLoss and SprayLoss are the shares of coating lost on fittings where the
// site says nothing. Common practice, no source.
const (
	BrushLoss unit.Fraction = 0.2
	SprayLoss unit.Fraction = 0.3
)

// Coating is a coating or gel in equal coats.
type Coating struct {
	Film         unit.Micrometer // dry, of one coat
	VolumeSolids unit.Fraction   // above 0, up to 1
	Loss         unit.Fraction   // 0 to 0.95
	Coats        int
}

func (c Coating) valid() bool {
	return counts(c.Film) && c.VolumeSolids > 0 && c.VolumeSolids <= 1 && lossInRange(c.Loss)
}

// Volume returns what an area takes, in L:
//
//	V = A·DFT/(10·VS)/(1 − loss)·coats
//
// with A in m², DFT in µm and VS in %. The area, film and coats from 0 up, VS
// above 0 up to 100 %, loss 0 to 0.95, else NaN. The spreading rate in it as
// SpreadingRate.
func (c Coating) Volume(area unit.M2) unit.Liter {
	if !c.valid() || !counts(area) || c.Coats < 0 {
		return unit.Liter(math.NaN())
	}
	perCoat := float64(area) * float64(c.Film) / (1000 * float64(c.VolumeSolids)) / float64(1-c.Loss)
	return unit.Liter(perCoat * float64(c.Coats))
}

// WetFilm returns the film of one coat as it is laid, to be read on a comb:
//
//	WFT = DFT·100/VS
//
// VS in %. Range as Volume, else NaN. Source: a coatings note (read).
func (c Coating) WetFilm() unit.Micrometer {
	if !c.valid() {
		return unit.Micrometer(math.NaN())
	}
	return c.Film / unit.Micrometer(c.VolumeSolids)
}

// SpreadingRate returns what a liter covers with one coat, in m²/L:
//
//	10·VS/DFT·(1 − loss)
//
// VS in %, DFT in µm; 65 % at 125 µm gives 5.2 m²/L. The film above 0, else as
// Volume. Source: a coatings note (read).
func (c Coating) SpreadingRate() float64 {
	if !c.valid() || c.Film == 0 {
		return math.NaN()
	}
	return 1000 * float64(c.VolumeSolids) / float64(c.Film) * float64(1-c.Loss)
}

// SpreadingRateIP returns what a US gallon covers with a dry film in mil, without
// loss, in ft²/gal:
//
//	16.04·VS/DFT
//
// VS in %; the note rounds 16.042. The film above 0, VS above 0 up to 100 %, else
// NaN. Source: a coatings note (read).
func SpreadingRateIP(filmMil float64, solids unit.Fraction) float64 {
	c := Coating{Film: unit.Micrometer(filmMil), VolumeSolids: solids}
	if !c.valid() || filmMil == 0 {
		return math.NaN()
	}
	return 1604 * float64(solids) / filmMil
}

// Thinned returns the volume solids of a coating to which a share of thinner
// by volume was added:
//
//	VS' = VS·100/(100 + x)
//
// x in %. VS above 0 up to 1, x from 0 to 1, else NaN. Source: a coatings note
// (read).
func Thinned(solids, added unit.Fraction) unit.Fraction {
	if !(solids > 0 && solids <= 1) || !(added >= 0 && added <= 1) {
		return unit.Fraction(math.NaN())
	}
	return solids / (1 + added)
}
