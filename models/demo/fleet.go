package demo

import (
	"fmt"
	"math"
	"strings"

	"drylag/models"
)

// mix is how often each kind of component carries a cover.
var mix = []struct {
	kind   string
	code   string
	weight float64
}{
	{"gate_valve", "GV", .22}, {"butterfly_valve", "BV", .16}, {"control_valve", "CV", .12}, {"check_valve", "CK", .07},
	{"strainer", "ST", .12}, {"flange_pair", "FL", .12}, {"pump", "P", .07}, {"flexible_connector", "FX", .06},
	{"elbow", "EL", .04}, {"fitting", "TE", .02},
}

// spots are where components stand, as one walks.
var spots = []string{"beside the door", "over the header", "behind the air handler", "at the east wall", "at the west wall",
	"above the catwalk", "under the cable tray", "by the expansion tank", "next to the heat exchanger", "in the corner by the sump"}

// fitCovers registers the fleet: most with a fitting date, some never seen.
func (p *play) fitCovers() error {
	c := newChance(3)
	serial := 0
	for _, h := range p.houses {
		for i := 0; i < h.covers; i++ {
			serial++
			if err := p.fit(c, h, i, serial); err != nil {
				return err
			}
		}
	}
	return nil
}

func (p *play) fit(c chance, h *house, i, serial int) error {
	s := p.drawSheet(c, h, i, serial)
	untouched := c.yes(0.15)
	known := c.yes(0.85)
	if untouched {
		known = c.yes(0.35)
	}
	fitted := daysAgo(p.today, years*365+60+c.IntN(1300))
	if i%11 == 10 { // younger covers
		fitted = daysAgo(p.today, 300+c.IntN(1200))
	}
	if known {
		s.Cover.Fitted = fitted
	}
	p.on(max(fitted, daysAgo(p.today, years*365+30)), 9)
	saved, err := p.reg.SaveCover(p.ctx, p.admin, s)
	if err != nil {
		return fmt.Errorf("%s: %w", s.Component.Tag, err)
	}
	one := &part{sheet: saved, house: h, hidden: math.Exp(0.6 * c.NormFloat64()), drive: p.driveOf(h, saved), untouched: untouched}
	one.close(c, fitted, models.SealSound, true)
	p.parts = append(p.parts, one)
	return nil
}

// driveOf is the truth's own idea of the vapor drive; drylag works out its own.
func (p *play) driveOf(h *house, s models.CoverSheet) float64 {
	c, _ := s.ServiceC()
	d := 1.1 + 0.12*(7-c) + 0.15*h.humid
	if s.Room.Kind == "conditioned" {
		d *= 0.7
	}
	if s.Dual() {
		d *= 0.8
	}
	return math.Max(0.1, d)
}

func (p *play) drawSheet(c chance, h *house, i, serial int) models.CoverSheet {
	weights := make([]float64, len(mix))
	for k, m := range mix {
		weights[k] = m.weight
	}
	m := mix[c.weighted(weights...)]
	room := h.rooms[(i*len(h.rooms))/h.covers]
	loop, side := h.loop.ID, pick(c, "supply", "supply", "return")
	if h.dual != nil && c.yes(0.4) {
		loop = h.dual.ID
	}
	nps := pick(c, 1.5, 2, 2.5, 3, 3, 4, 4, 6, 6, 8, 10)
	if m.kind == "pump" {
		nps = pick(c, 3.0, 4, 6, 8)
	}
	comp := models.Component{Room: room.ID, Loop: loop, Tag: fmt.Sprintf("%s-%s-%03d", h.short, m.code, i+1), Kind: m.kind, NPS: &nps,
		Material: materialOf(c, m.kind), Connection: connectionOf(nps), Side: side, PressureBar: ref(pick(c, 6.0, 8.6, 10.3)),
		Schedule: "STD", Class: pick(c, 0, 0, 0, 3, 2), Where: pick(c, spots...), Order: i + 1,
		Access: pick(c, "floor", "floor", "floor", "ladder", "ladder", "lift"), Flow: pick(c, "always", "always", "standby", "seasonal"),
		Below:   pick(c, "nothing", "nothing", "storage", "offices", "electrical"),
		Spare:   pick(c, "full", "partial", "manual", "slow", "none"),
		Without: pick(c, "nobody", "comfort", "floor", "building"), Pools: c.yes(0.08)}
	if h.short == "SC" || h.short == "ML" {
		comp.Below = pick(c, "storage", "electrical", "patients", "patients")
		comp.Without = pick(c, "floor", "building", "critical")
	}
	if strings.HasPrefix(room.Name, "Crawl") || strings.HasPrefix(room.Name, "Tunnel") {
		comp.Access, comp.Permit, comp.People = "confined", "confined space entry", 2
	}
	return models.CoverSheet{Component: comp, Cover: drawCover(c, m.kind, serial)}
}

func drawCover(c chance, kind string, serial int) models.Cover {
	holes := map[string]int{"gate_valve": 2, "butterfly_valve": 1, "control_valve": 2, "check_valve": 0, "strainer": 2,
		"flange_pair": 0, "pump": 4, "flexible_connector": 0, "elbow": 1, "fitting": 1}[kind]
	if c.yes(0.3) {
		holes++
	}
	cover := models.Cover{Label: fmt.Sprintf("K%04d", 1000+serial*7), State: models.InPlace,
		Insulation: pick(c, "fibrous", "fibrous", "nitrile", "foam"), ThicknessMM: ref(pick(c, 19.0, 25, 25, 38)), Conductivity: ref(0.038),
		Facing: pick(c, "coated glass cloth", "silicone cloth", "foil and scrim"), PermeancePerm: ref(pick(c, 0.02, 0.05, 0.1, 0.5)),
		Closure: pick(c, "tape", "tape", "tape_sealant", "straps", "hook_loop", "lacing"), Penetrations: &holes,
		SeamClock: ref(pick(c, 3.0, 6, 9, 12)), SightPort: c.yes(0.12), Pattern: fmt.Sprintf("T-%03d", c.IntN(400)+1)}
	return cover
}

func materialOf(c chance, kind string) string {
	switch kind {
	case "elbow", "fitting", "flange_pair":
		return "carbon_steel"
	case "flexible_connector":
		return "rubber"
	case "control_valve":
		return pick(c, "bronze", "ductile_iron", "cast_iron")
	}
	return pick(c, "cast_iron", "ductile_iron", "carbon_steel")
}

func connectionOf(nps float64) string {
	if nps <= 2 {
		return "threaded"
	}
	return "flanged"
}
