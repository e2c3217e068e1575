package server

import (
	"drylag/models"
	"drylag/models/unit"
)

func physicsFrom(cover models.ID, p models.Physics) physicsJSON {
	out := physicsJSON{Cover: cover, Answer: p.Answer, Drying: p.Drying, Air: p.Air, AirAssumed: p.AirAssumed, MetalC: p.MetalC,
		MetalAssumed: p.MetalAssumed, Hours: p.Hours, Hot: p.Hot, Stopped: p.Stopped, BareBelow: p.BareBelow, BareDamp: p.BareDamp,
		Drive: p.DrivePaH, Net: p.NetPaH, Months: each(p.Months[:], physicsMonthFrom), Dry: each(p.Dry, stayDryFrom),
		Closing: nextClosingFrom(p.Closing), Missing: each(p.Gaps, func(g models.Gap) gapJSON { return gapJSON(g) }),
		Why: each(p.Why, func(f models.Formula) formulaJSON { return formulaJSON(f) })}
	if x := p.Part; x != nil {
		out.Part = &physicsPartJSON{x.DiameterM, x.LengthM, x.BareM2, each(x.Assumed, assumedFrom)}
	}
	if x := p.Cover; x != nil {
		out.Fitted = &physicsCoverJSON{x.ThicknessMM, x.Conductivity, x.Emissivity, x.Below, each(x.Assumed, assumedFrom)}
	}
	if x := p.Water; x != nil {
		out.Water = &waterJSON{x.IntactKg, x.LowKg, x.HighKg, x.Intact, x.Early, x.Late, x.Perm, x.SeamM, x.GapMM, x.VolumeM3, each(x.Assumed, assumedFrom)}
	}
	if x := p.Heat; x != nil {
		out.Heat = &heatJSON{Bare: heatCostFrom(x.Bare), Price: x.Price, Assumed: each(x.Assumed, assumedFrom)}
		if x.Covered != nil {
			out.Heat.Covered = new(heatCostFrom(*x.Covered))
		}
	}
	return out
}

func physicsMonthFrom(m models.PhysicsMonth) physicsMonthJSON {
	span := func(r models.Range) spanJSON { return spanJSON{r.Lo, r.Mid, r.Hi} }
	return physicsMonthJSON{span(m.DewC), span(m.MetalC), m.Hours, m.Below, m.Damp, m.Stopped, m.Sweats()}
}

func stayDryFrom(d models.StayDry) stayDryJSON {
	return stayDryJSON{d.Own, d.AirC, d.DewC, d.LeastMM, d.Unattainable, d.SurfaceC, d.MarginK()}
}

func heatCostFrom(h models.HeatCost) heatCostJSON {
	return heatCostJSON{h.KWh, h.Electricity, h.Money, h.Tolerance}
}

func nextClosingFrom(r models.Reclosing) nextClosingJSON {
	amount := func(a models.Amount) amountJSON { return amountJSON{a.Value, each(a.Assumed, assumedFrom)} }
	return nextClosingJSON{amount(r.StretchOutM), amount(r.BlanketM2), amount(r.TapeM), r.Rolls, amount(r.SealantML), r.Cartridges,
		amount(r.CoatingML), amount(r.WetFilmUM)}
}

func assumedFrom(a models.Assumption) assumedJSON {
	out := assumedJSON{What: a.What, Why: a.Why, Field: a.Field}
	if a.Value != nil {
		out.Value = assumedSays(a, unit.SI)
	}
	return out
}
