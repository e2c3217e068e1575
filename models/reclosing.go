package models

import "drylag/models/unit"

// Assumption is something that the record does not say and that was taken for
// an estimate; it is always shown as assumed.
type Assumption struct {
	What  string        // "insulation thickness"
	Value unit.Quantity // nil: it is no number
	Why   string        // "usual on chilled water"
	Field string        // of the edit page, where it can be entered; "" nowhere
}

// Amount is an estimate and what had to be assumed for it.
type Amount struct {
	Value   float64 // 0 is none
	Assumed []Assumption
}

// Reclosing is what closing one cover once takes, estimated from the record.
type Reclosing struct {
	StretchOutM Amount // girth of the cover around the body, m
	CoverM2     Amount // outside of the whole cover, new or not
	BlanketM2   Amount // to be made anew
	TapeM       Amount // with its waste
	SealantML   Amount // with its loss
	CoatingML   Amount // with its loss
	WetFilmUM   Amount // of one coat as it is laid, µm
	Rolls       float64
	Cartridges  float64
}

// Supplies are the materials of it alone.
func (r Reclosing) Supplies() Supplies {
	return Supplies{TapeM: r.TapeM.Value, SealantML: r.SealantML.Value, CoatingML: r.CoatingML.Value, BlanketM2: r.BlanketM2.Value}
}
