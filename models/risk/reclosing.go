package risk

import (
	"math"

	"drylag/models"
	"drylag/models/takeoff"
	"drylag/models/unit"
)

// Remake is what is done to a cover while it is closed again.
type Remake struct {
	Places  []models.Place // of the seal; nil: all
	Blanket bool           // the cover is made anew
	Coat    bool           // the whole bare part is coated
}

// What is taken for materials of which the record says nothing. Common
// practice, no source.
const (
	assumedRoll     unit.Meter      = 30
	assumedSealLoss unit.Fraction   = 0.10
	assumedFilm     unit.Micrometer = 125
	assumedSolids   unit.Fraction   = 0.65
	assumedCoats                    = 2
)

// Reclosing estimates what closing a cover again takes, by takeoff.ForCover:
// the one rule for the cover's page, the owner's numbers and the rounds. What
// the record does not say is assumed and listed. The error is Invalid and names
// what could not be worked out.
func Reclosing(s models.CoverSheet, w Remake) (models.Reclosing, error) {
	c, guessed := closingOf(s, w)
	m, part := takeoff.ForCover(c), takeoff.PartOf(c)
	out := models.Reclosing{
		StretchOutM: amount(part.Girth, part.Assumed, guessed),
		CoverM2:     amount(m.Cover.Amount, m.Cover.Assumed, guessed),
		BlanketM2:   amount(m.Blanket.Amount, m.Blanket.Assumed, guessed),
		TapeM:       amount(m.Tape.Amount, m.Tape.Assumed, guessed),
		SealantML:   amount(m.Sealant.Amount/unit.Milliliter(1-assumedSealLoss), m.Sealant.Assumed, guessed),
		CoatingML:   amount(m.Coating.Amount*1000, m.Coating.Assumed, guessed),
		Rolls:       takeoff.Rolls(m.Tape.Amount, assumedRoll),
		Cartridges:  takeoff.Cartridges(m.Sealant.Amount, assumedSealLoss),
	}
	if out.Rolls > 0 {
		assume(&out.TapeM, "length of a roll", assumedRoll, "usual")
	}
	if out.Cartridges > 0 {
		assume(&out.SealantML, "loss of sealant", assumedSealLoss, "left in cartridge and nozzle")
	}
	if w.Coat {
		assumeCoating(&out, c.Coat.Coating)
	}
	return out, checkReclosing(out)
}

// assumeCoating lists what is taken of a coating that nobody described.
func assumeCoating(r *models.Reclosing, c takeoff.Coating) {
	r.WetFilmUM.Value = float64(c.WetFilm())
	for _, a := range []*models.Amount{&r.CoatingML, &r.WetFilmUM} {
		assume(a, "dry film of one coat", c.Film, "usual")
		assume(a, "volume solids", c.VolumeSolids, "usual; it stands on the can")
	}
	assume(&r.CoatingML, "coats: two", nil, "usual")
	assume(&r.CoatingML, "loss of coating", c.Loss, "usual with a brush on fittings")
}

func assume(a *models.Amount, what string, value unit.Quantity, why string) {
	a.Assumed = append(a.Assumed, models.Assumption{What: what, Value: value, Why: why})
}

// amount is one need with what was assumed for it, in the words of the record.
func amount[Q ~float64](value Q, assumed []takeoff.Assumption, guessed *models.Assumption) models.Amount {
	out := models.Amount{Value: float64(value)}
	if float64(value) == 0 {
		return out
	}
	return models.Amount{Value: float64(value), Assumed: assumedOf(assumed, guessed)}
}

// checkReclosing stops what is no number at the edge of this package.
func checkReclosing(r models.Reclosing) error {
	for _, n := range []struct {
		name string
		v    float64
	}{
		{"stretch-out", r.StretchOutM.Value}, {"cover's area", r.CoverM2.Value}, {"blanket", r.BlanketM2.Value},
		{"tape", r.TapeM.Value}, {"sealant", r.SealantML.Value}, {"coating", r.CoatingML.Value},
		{"wet film", r.WetFilmUM.Value}, {"rolls", r.Rolls}, {"cartridges", r.Cartridges},
	} {
		if math.IsNaN(n.v) || math.IsInf(n.v, 0) {
			return models.Errorf(models.Invalid, "The %s could not be worked out from what is recorded.", n.name)
		}
	}
	return nil
}
