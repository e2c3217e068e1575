package demo

import "drylag/models"

// house is one building of the campus with what the simulator knows of it and
// the record does not.
type house struct {
	models.Building
	short    string
	rooms    []models.Room
	loop     models.Loop
	dual     *models.Loop
	covers   int
	quality  float64 // hidden: times the scale of breach
	improves float64 // share by which bad closings fall (or grow) a year
	humid    float64 // K added to the outdoor dew point in its rooms
}

// roomPlan is a room as the campus is drawn.
type roomPlan struct {
	name, kind string
	tempC      *float64
}

// plans are the eight invented buildings.
var plans = []struct {
	name, short       string
	built             int
	covers            int
	quality, improves float64
	dual              bool
	cop, rate         float64
	limit             *float64
	rooms             []roomPlan
}{
	{"Beacon Plant", "BP", 1996, 48, 1.0, 0.10, false, 5.2, 78, nil, []roomPlan{{"Chiller hall", "closed", ref(23.0)}, {"Pump gallery", "closed", ref(25.0)}, {"Cooling tower pit", "open", nil}}},
	{"Heron Hall", "HH", 1964, 34, 0.8, 0.22, true, 4.4, 72, nil, []roomPlan{{"Basement mechanical room", "closed", ref(22.0)}, {"Crawlway", "open", nil}}},
	{"Quarry House", "QH", 1958, 30, 0.55, -0.12, true, 4.4, 72, ref(8.0), []roomPlan{{"Boiler and chilled-water room", "steam", ref(28.0)}, {"Tunnel head", "open", nil}}},
	{"Millrace Laboratory", "ML", 2009, 42, 1.4, 0.05, false, 5.0, 84, ref(6.0), []roomPlan{{"Penthouse plant room", "conditioned", ref(22.0)}, {"Level 2 mechanical room", "conditioned", ref(21.0)}, {"Basement pump room", "closed", ref(23.0)}}},
	{"Saltmarsh Clinic", "SC", 1987, 32, 1.1, 0.08, false, 4.7, 84, ref(5.0), []roomPlan{{"Lower mechanical room", "closed", ref(23.0)}, {"Roof plant room", "closed", nil}}},
	{"Juniper Residence", "JR", 1972, 26, 0.9, 0.0, true, 4.2, 66, nil, []roomPlan{{"Basement mechanical room", "closed", nil}}},
	{"Foundry Library", "FL", 1979, 22, 1.2, 0.15, false, 4.6, 72, nil, []roomPlan{{"Sublevel plant room", "conditioned", ref(21.0)}}},
	{"Larder Commons", "LC", 2001, 16, 0.7, -0.05, false, 4.5, 66, nil, []roomPlan{{"Kitchen plant room", "steam", ref(27.0)}}},
}

// buildCampus stores the buildings with their rooms and loops.
func (p *play) buildCampus() error {
	for i, plan := range plans {
		b := models.Building{Name: plan.name, TimeZone: zone, Currency: "$", YearBuilt: ref(plan.built),
			LaborRate: ref(plan.rate), TapePrice: ref(2.4), COP: ref(plan.cop), Tariff: ref(0.13), LimitYears: plan.limit}
		if plan.built <= 1980 {
			b.AsbestosRegister = "Facilities office, binder " + plan.short + "-A"
		}
		saved, err := p.reg.SaveBuilding(p.ctx, p.admin, b)
		if err != nil {
			return err
		}
		h := &house{Building: saved, short: plan.short, covers: plan.covers, quality: plan.quality, improves: plan.improves}
		if plan.rooms[0].kind == "steam" {
			h.humid = 3
		}
		if err := p.buildRooms(h, plan.rooms); err != nil {
			return err
		}
		if err := p.buildLoops(h, i, plan.dual); err != nil {
			return err
		}
		p.houses = append(p.houses, h)
	}
	return nil
}

func (p *play) buildRooms(h *house, rooms []roomPlan) error {
	for i, r := range rooms {
		saved, err := p.reg.SaveRoom(p.ctx, p.admin, models.Room{Building: h.ID, Name: r.name, Kind: r.kind, TempC: r.tempC, Order: i + 1})
		if err != nil {
			return err
		}
		h.rooms = append(h.rooms, saved)
	}
	return nil
}

func (p *play) buildLoops(h *house, i int, dual bool) error {
	supply := 5.6 + 0.3*float64(i%4)
	loop, err := p.reg.SaveLoop(p.ctx, p.admin, models.Loop{Building: h.ID, Name: "Chilled water", Kind: "chilled",
		SupplyC: &supply, ReturnC: ref(supply + 6)})
	if err != nil {
		return err
	}
	h.loop = loop
	if !dual {
		return nil
	}
	two, err := p.reg.SaveLoop(p.ctx, p.admin, models.Loop{Building: h.ID, Name: "Two-pipe fan coils", Kind: "dual",
		SupplyC: ref(supply + 0.5), ReturnC: ref(supply + 6.5), HotC: ref(49.0),
		Hot: models.Season{From: "10-20", To: "04-10"}, Stopped: models.Season{From: "04-11", To: "04-24"}})
	if err != nil {
		return err
	}
	h.dual = &two
	return nil
}
