package risk

import (
	"fmt"
	"math"
	"slices"
	"time"

	"drylag/models"
	"drylag/models/climate"
	"drylag/models/heat"
	"drylag/models/takeoff"
	"drylag/models/unit"
)

// Physics works out what air, heat and vapor do at one cover over its room's
// year. What the record does not say is assumed and listed, or left out and
// named in Gaps; what no formula can answer is left out too. The error is
// Invalid and names what could not be worked out.
func Physics(s models.CoverSheet, y *RoomYear) (models.Physics, error) {
	p := models.Physics{Air: y.Source, AirAssumed: y.Assumed, Hours: float64(len(y.hours))}
	p.MetalC, p.MetalAssumed = s.ServiceC()
	y.exposeTo(&p, s)
	var err error
	if p.Closing, err = Reclosing(s, Remake{Blanket: true, Coat: true}); err != nil {
		return p, err
	}
	if s.Component.NPS == nil {
		p.Gaps = append(p.Gaps, models.Gap{Of: "cover", Field: "nps", Missing: "the nominal pipe size",
			For: "how long its cover sweats, how thick it must be, its heat and its water"})
	} else {
		w := physicist{s: s, y: y, p: &p}
		w.size()
		w.heat()
		w.cover()
		w.prices()
	}
	p.Answer, p.Drying = answer(s, p), drying(p)
	p.Why = formulas(p)
	return p, checkPhysics(p)
}

// exposeTo sets the hours and the months of bare metal in the year.
func (y *RoomYear) exposeTo(p *models.Physics, s models.CoverSheet) {
	exposed := y.summary.Seasonal(func(month time.Month, day int) *unit.Celsius {
		c, stopped := metalOn(s, int(month), day)
		if stopped {
			return nil
		}
		t := unit.Celsius(c)
		return &t
	})
	total := climate.Total(exposed)
	p.BareBelow, p.BareDamp = float64(total.BelowDewPoint), float64(total.OverRH80)
	p.DrivePaH, p.NetPaH = float64(total.Drive), float64(total.Net)
	for i, e := range exposed {
		p.Months[i] = models.PhysicsMonth{Hours: float64(e.Hours), Below: float64(e.BelowDewPoint), Damp: float64(e.OverRH80)}
	}
	y.temperatures(p, s)
}

// temperatures sets dew point and metal of each month, and the hours of each
// season. The metal of a stopped loop is as warm as its room, hour by hour.
func (y *RoomYear) temperatures(p *models.Physics, s models.CoverSheet) {
	for i, h := range y.hours {
		m := &p.Months[climate.MonthOfHour(i, len(y.hours))-1]
		metalC := p.MetalC
		switch y.days[i/24] {
		case models.HotWater:
			metalC = *s.Loop.HotC
			p.Hot++
		case models.StandingWater:
			metalC = float64(h.T)
			p.Stopped++
			m.Stopped++
		}
		spread(&m.DewC, y.dewC[i], m.Hours)
		spread(&m.MetalC, metalC, m.Hours)
	}
	for i := range p.Months { // a mean of equal numbers may round past them
		m := &p.Months[i]
		m.DewC.Mid = min(max(m.DewC.Mid, m.DewC.Lo), m.DewC.Hi)
		m.MetalC.Mid = min(max(m.MetalC.Mid, m.MetalC.Lo), m.MetalC.Hi)
	}
}

// spread adds one of n values to a range whose Mid is their mean. It begins with
// the zero Range, of which no mean has been begun.
func spread(r *models.Range, v, n float64) {
	if *r == (models.Range{}) {
		r.Lo, r.Hi = v, v
	}
	r.Lo, r.Hi = math.Min(r.Lo, v), math.Max(r.Hi, v)
	r.Mid += v / n
}

// physicist works out the numbers of one cover.
type physicist struct {
	s models.CoverSheet
	y *RoomYear
	p *models.Physics

	part  takeoff.Part
	body  heat.Body
	shape heat.Cylinder // without layers until the thickness is known
	k     heat.Conductivity
	layer unit.Meter // 0: not known
}

// size takes the part for a cylinder of its own length and area. A thickness that
// is not recorded is no assumption of it: what needs one is left out.
func (w *physicist) size() {
	c, guessed := closingOf(w.s, Remake{})
	w.part = takeoff.PartOf(c)
	w.body = heat.Body{Length: w.part.Length, Bare: w.part.Bare, End: w.part.End}
	d := w.body.EquivalentDiameter()
	if !(d >= heat.MinDiameter && d <= heat.MaxDiameter) {
		w.p.Gaps = append(w.p.Gaps, models.Gap{Of: "cover", Missing: "a size within the range of the formulas",
			For: "how long its cover sweats, how thick it must be, its heat and its water"})
		return
	}
	assumed := slices.DeleteFunc(assumedOf(w.part.Assumed, guessed), func(a models.Assumption) bool { return a.Field == "thickness" })
	w.p.Part = &models.PhysicsPart{DiameterM: float64(d), LengthM: float64(w.part.Length), BareM2: float64(w.part.Metal), Assumed: assumed}
	w.shape = heat.Cylinder{Fluid: unit.Celsius(w.p.MetalC), Diameter: d}
}

// cover works out what needs the cover's own layer.
func (w *physicist) cover() {
	if w.p.Part == nil {
		return
	}
	w.k, w.shape.Emissivity = conductivityOf(w.s.Cover), emissivityOf(w.s.Cover)
	if t := w.s.Cover.ThicknessMM; t != nil {
		w.layer = unit.Meter(*t / 1000)
	}
	w.dry()
	if w.layer == 0 {
		w.p.Gaps = append(w.p.Gaps, models.Gap{Of: "cover", Field: "thickness", Missing: "the thickness of the insulation",
			For: "how long its surface sweats, its heat gain and its water"})
		return
	}
	w.shape.Layers = []heat.Layer{{Thickness: w.layer, K: w.k}}
	w.p.Cover = &models.PhysicsCover{ThicknessMM: *w.s.Cover.ThicknessMM, Conductivity: float64(w.k.At(24)),
		Emissivity: float64(w.shape.Emissivity), Below: float64(w.y.surface.Hours(w.shape, 0)), Assumed: coverAssumed(w.s.Cover, w.k, w.shape.Emissivity)}
	w.fitted()
	w.covered()
	w.water()
}

// answer says the hours in a sentence.
func answer(s models.CoverSheet, p models.Physics) string {
	part := "this component"
	if s.Component.Kind != "" {
		part = "this " + models.ComponentKinds.Say(s.Component.Kind)
	}
	bare := "Bare, " + part + " would sweat " + hoursAYear(p.BareBelow)
	switch off := s.Cover.State == models.Off; {
	case p.BareBelow == 0:
		return "Bare, " + part + " would stay dry all year: its metal is never below the dew point."
	case off:
		return "Bare as it is, " + part + " sweats " + hoursAYear(p.BareBelow) + "."
	case p.Cover == nil:
		return bare + "; how dry the surface of its cover stays cannot be said yet."
	case p.Cover.Below == 0:
		return bare + "; under its cover the surface stays dry all year."
	case p.Cover.Below <= p.Hours/100:
		return bare + "; under its cover the surface stays dry but for " + thousands(p.Cover.Below) + "."
	}
	return bare + "; the surface of its cover still sweats " + thousands(p.Cover.Below) + " of them."
}

func hoursAYear(h float64) string { return thousands(h) + " hours a year" }

// drying says whether the cover can dry over the year.
func drying(p models.Physics) string {
	switch {
	case p.DrivePaH == 0:
		return "No hour drives vapor to the metal: nothing gets in, and a wet cover can dry."
	case p.NetPaH > 0:
		return "Over the year vapor is driven inward: water that gets in stays, however good the facing is."
	}
	return "Over the year vapor is driven outward more than inward: a wet cover can dry through its facing, slowly."
}

// checkPhysics stops what is no number at the edge of this package.
func checkPhysics(p models.Physics) error {
	for name, v := range physicsNumbers(p) {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return models.Errorf(models.Invalid, "The %s could not be worked out from what is recorded.", name)
		}
	}
	return nil
}

// physicsNumbers are the numbers of a Physics by name.
func physicsNumbers(p models.Physics) map[string]float64 {
	out := map[string]float64{"hours below dew point": p.BareBelow, "damp hours": p.BareDamp, "vapor drive": p.DrivePaH, "net drive": p.NetPaH}
	for i, m := range p.Months {
		out[fmt.Sprintf("dew point of month %d", i+1)] = m.DewC.Lo + m.DewC.Mid + m.DewC.Hi
		out[fmt.Sprintf("metal of month %d", i+1)] = m.MetalC.Lo + m.MetalC.Mid + m.MetalC.Hi
	}
	add := func(name string, values ...*float64) {
		for _, v := range values {
			if v != nil {
				out[name] += *v
			}
		}
	}
	if c := p.Cover; c != nil {
		add("hours of the surface", &c.Below, &c.Conductivity)
	}
	for _, d := range p.Dry {
		add("least thickness", d.LeastMM, d.SurfaceC)
	}
	if w := p.Water; w != nil {
		add("water gain", &w.IntactKg, &w.LowKg, &w.HighKg, w.Intact, w.Early, w.Late, &w.VolumeM3)
	}
	if h := p.Heat; h != nil {
		add("heat gain", &h.Bare.KWh, h.Bare.Electricity, h.Bare.Money)
		if h.Covered != nil {
			add("heat gain under the cover", &h.Covered.KWh, h.Covered.Electricity, h.Covered.Money)
		}
	}
	return out
}
