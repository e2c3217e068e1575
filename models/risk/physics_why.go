package risk

import (
	"drylag/models"
	"drylag/models/heat"
	"drylag/models/unit"
)

// Sources of what this package itself does with the formulas.
var (
	moistAirSource = unit.Library.Source("ASHRAE Fundamentals 2017 ch. 1, equations 5, 6, 12 and 22")
	dampSource     = unit.Derived.Source("the bound of 80 % of ISO 9223:1992, applied to the cold surface")
	dryingSource   = unit.Derived.Source("the metal under a cover is a tight cold wall: what comes in stays")
	designSource   = unit.Read.Source("chilled-water practice: insulation is sized for air of 85 °F and 85 %")
	ownAirSource   = unit.Judgement.Source("the hour whose dew point 1 % of the room's cold hours exceed")
	seriesSource   = unit.Read.Source("resistances in series: Cengel, Heat and Mass Transfer, Example 14-6")
	seamSource     = unit.Derived.Source("straight in (least), and spread under a tight facing in two dimensions (most); diffusion only")
	soakedSource   = unit.Derived.Source("balance of mass")
	arithmetic     = unit.Derived.Source("arithmetic")
	takeoffSource  = unit.Practice.Source("sizes over the finished cover; ASME B36.10M, B16.5 class 150, B16.10")
	coatingSource  = unit.Read.Source("a coatings note: spreading 10·VS/DFT m²/L")
	tonHourSource  = unit.Derived.Source("a ton of refrigeration is 12,000 Btu/h, 3.517 kW")
)

// formulas say how each number of p was worked out, in the order of the page.
func formulas(p models.Physics) []models.Formula {
	out := []models.Formula{
		{Name: "hours below dew point", How: "hours with p_room > p_sat(metal), counted one by one; with the loop stopped the metal is as warm as the room", Source: moistAirSource.String()},
		{Name: "hours over 80 %", How: "hours with p_room > 0.8·p_sat(metal)", Source: dampSource.String()},
		{Name: "whether it can dry", How: "sign of the net drive Σ(p_room − p_sat(metal)) over the year", Source: dryingSource.String()},
	}
	if p.Part != nil {
		out = append(out, models.Formula{Name: "part as a cylinder", How: "D = A/(π·L) of the bare part", Source: heat.BodySource.String()})
		out = append(out, dryFormulas()...)
	}
	if p.Cover != nil {
		out = append(out, models.Formula{Name: "hours with the surface below dew point", How: "k·(t_d − t_f) > ½·D_o·ln(D_o/D)·q_film(t_d), hour by hour over the hours with cold water",
			Source: heat.HoursSource.String() + "; " + heat.FreeSource.String()})
	}
	if p.Water != nil {
		out = append(out, waterFormulas()...)
	}
	if p.Heat != nil {
		out = append(out, heatFormulas(p.Heat)...)
	}
	return append(out, closingFormulas()...)
}

func dryFormulas() []models.Formula {
	return []models.Formula{
		{Name: "least thickness", How: "q_film(t_d)·D_e·ln(D_e/D) = 2·k·(t_d − t_f), surface at the dew point", Source: heat.SurfaceSource.String() + "; " + heat.FreeSource.String()},
		{Name: "the room's own damp air", How: "dew point of that hour", Source: ownAirSource.String()},
		{Name: "the published design air", How: "dew point of 85 °F and 85 %", Source: designSource.String()},
	}
}

func waterFormulas() []models.Formula {
	return []models.Formula{
		{Name: "water, facing and seams whole", How: "G·Σ max(0, p_room − p_sat(metal)), 1/G = 1/(M·A) + ln(r_o/r_i)/(2π·δ·L), ends as flat layers", Source: seriesSource.String()},
		{Name: "water, one seam open", How: "least ℓ·δ·w/t, most ℓ·δ·2K(k)/K(k′), k = tanh(πw/4t), added to the whole; never more than without a facing", Source: seamSource.String()},
		{Name: "years to 5 % by volume", How: "0.05·V·1000 kg/m³ over what stays: inflow less what the dry hours take out", Source: soakedSource.String()},
	}
}

func heatFormulas(h *models.HeatYear) []models.Formula {
	out := []models.Formula{{Name: "heat, bare", How: "convection, radiation and the heat of the water that forms, summed over the hours with cold water",
		Source: heat.FreeSource.String() + "; " + heat.LatentSource.String()}}
	if h.Covered != nil {
		out = append(out, models.Formula{Name: "heat, covered", How: "Q = q′·L + 2·q″·A_end, summed over the hours with cold water", Source: heat.ConductionSource.String() + "; " + heat.BodySource.String()})
	}
	if h.Bare.Electricity != nil {
		out = append(out, models.Formula{Name: "electricity", How: "Q/COP", Source: arithmetic.String()})
	}
	switch {
	case h.Bare.Money == nil:
	case h.TonHours:
		out = append(out, models.Formula{Name: "money", How: "Q in ton-hours times the price of one", Source: tonHourSource.String()})
	default:
		out = append(out, models.Formula{Name: "money", How: "electricity times the tariff", Source: arithmetic.String()})
	}
	return out
}

func closingFormulas() []models.Formula {
	return []models.Formula{
		{Name: "stretch-out", How: "π·(D + 2t)", Source: takeoffSource.String()},
		{Name: "blanket", How: "π·D_c·L + 2 end caps + π·d_b·h_b", Source: takeoffSource.String()},
		{Name: "tape", How: "(ends + seams + penetrations + laps)·(1 + waste)", Source: takeoffSource.String()},
		{Name: "sealant", How: "fillets P·leg²/2, joints P·w·d, over 1 − loss", Source: takeoffSource.String()},
		{Name: "coating", How: "A·DFT/(10·VS)/(1 − loss)·coats; wet film DFT/VS", Source: coatingSource.String()},
	}
}
