package demo

import (
	"fmt"
	"slices"

	"drylag/models"
)

// visit is one opening that will happen.
type visit struct {
	part   *part
	on     models.Date
	reason string
	close  func(*models.Closing) // how it was closed, where that is not left to chance
}

// live plays six years: each building has a round every spring and autumn that
// opens a share of its covers, oldest closing first with some chance, and now
// and then maintenance opens one.
func (p *play) live() error {
	c := newChance(4)
	visits := p.plan(c)
	for len(visits) > 0 {
		slices.SortStableFunc(visits, func(a, b visit) int { return a.on.DaysSince(b.on) })
		v := visits[0]
		visits = visits[1:]
		if v.reason != "follow_up" && (v.part.off || v.part.back > v.on || v.on <= v.part.closed.AddDays(20)) {
			continue
		}
		if err := p.open(c, v); err != nil {
			return fmt.Errorf("opening of %s on %s: %w", v.part.sheet.Component.Tag, v.on, err)
		}
		if again, ok := p.comeBack(c, v); ok {
			visits = append(visits, again)
		}
	}
	return nil
}

// comeBack is the visit that puts right what the last one left: a cover off, a
// damp closing, now and then a poor seal. What was left in the last weeks is
// still to be done today.
func (p *play) comeBack(c chance, v visit) (visit, bool) {
	one := v.part
	var days int
	switch {
	case one.off:
		days = 10 + c.IntN(50)
	case one.wet(v.on) && one.closed == v.on:
		days = 2 + c.IntN(9)
	case one.seal == models.SealPoor && one.closed == v.on && c.yes(0.6):
		days = 20 + c.IntN(70)
	default:
		return visit{}, false
	}
	one.back = v.on.AddDays(days)
	return visit{part: one, on: one.back, reason: "follow_up"}, one.back < daysAgo(p.today, 4)
}

func (p *play) plan(c chance) []visit {
	var visits []visit
	for _, one := range p.parts {
		if one.untouched {
			continue
		}
		every := 500 + c.IntN(500)
		for day := years*365 - c.IntN(every); day > 12; day -= every - 60 + c.IntN(120) {
			visits = append(visits, visit{part: one, on: daysAgo(p.today, day), reason: "periodic"})
		}
		if c.yes(0.25) {
			visits = append(visits, visit{part: one, on: daysAgo(p.today, 40+c.IntN(years*330)), reason: "maintenance"})
		}
	}
	return visits
}

// open records one opening as it would have been written down.
func (p *play) open(c chance, v visit) error {
	one := v.part
	p.on(v.on, 8+c.IntN(8))
	who := p.crew[c.IntN(len(p.crew))]
	o := models.Opening{ID: p.reg.NewID(), Cover: one.sheet.Cover.ID, Reason: v.reason, On: v.on, OpenedBy: who.Name}
	if v.reason != "follow_up" && c.yes(0.025) {
		o.Outcome, o.NotOpened = "could_not_open", pick(c, "no_access", "permit_refused", "no_access")
		_, err := p.reg.RecordOpening(p.ctx, who, o, nil)
		return err
	}
	one.age(v.on)
	yearIn := years + v.on.YearsSince(p.today)
	p.fillFound(c, one, &o)
	leaves := one.leaves(c, yearIn)
	if v.reason == "follow_up" {
		leaves = models.SealSound
	}
	p.fillClosing(c, one, &o, leaves)
	if v.close != nil {
		v.close(&o.Closing)
	}
	if one.off {
		o.Outcome, o.Moisture, o.Blanket = "already_off", "", ""
	}
	one.opened++
	var air *models.RoomReading
	if c.yes(0.3) {
		air = p.readAir(c, one)
	}
	if _, err := p.reg.RecordOpening(p.ctx, who, o, air); err != nil {
		return err
	}
	one.off = o.LeftOff()
	one.close(c, v.on, leaves, o.Closing.Dry())
	return nil
}

// readAir is the room's air as read by hand on the day.
func (p *play) readAir(c chance, one *part) *models.RoomReading {
	hour := p.clock.now.In(zoneOf())
	_, dewPoint := weatherAt(hour.YearDay()*24-24+hour.Hour(), hour.Hour(), 0, c.NormFloat64()+one.house.humid)
	t := 21 + 6*c.Float64()
	rh := min(0.95, max(0.1, magnus(dewPoint)/magnus(t)))
	return &models.RoomReading{ID: p.reg.NewID(), Room: one.sheet.Room.ID, At: p.clock.now, TempC: t, RH: &rh, By: "by hand"}
}

// fillFound is what was found: seal, water, blanket, metal.
func (p *play) fillFound(c chance, one *part, o *models.Opening) {
	wet := one.wet(o.On)
	o.Outcome, o.Moisture, o.Blanket = "opened", one.moisture(c, o.On), "dry"
	if wet && c.yes(0.7) {
		o.Blanket = pick(c, "damp", "damp", "wet")
	}
	o.Drips = ref(wet && c.yes(0.2))
	o.Label = ref(c.yes(0.93))
	if o.Moisture != "dry" && o.Moisture != "sweat" {
		o.WaterClock = ref(pick(c, 5.0, 6, 6, 6, 7))
		o.WaterShare = ref(0.05 + 0.4*c.Float64())
	}
	for _, pl := range one.sheet.Cover.Places() {
		found := models.Found("sound")
		if wet && c.yes(0.3) || c.yes(0.04) {
			found = pick(c, models.Found("lifting"), "lifting", "open", "missing")
		}
		o.Places = append(o.Places, models.PlaceFinding{Place: pl, Found: found})
	}
	grade := ri(one.rust)
	fresh := wet && o.Moisture != "dry" && c.yes(0.6)
	o.Metal = models.MetalFinding{Seen: true, Coating: pick(c, "intact", "breached", "none"), Scale: "ri", Grade: grade, FreshRust: &fresh}
	if grade >= "Ri 4" {
		o.Metal.Coating, o.Metal.Form = "failed", pick(c, "even", "pitted", "bolting")
	}
	p.readWall(c, one, o)
}

// readWall reads the wall on every sixth part, with the gauge's error.
func (p *play) readWall(c chance, one *part, o *models.Opening) {
	if one.sheet.Cover.Label[len(one.sheet.Cover.Label)-1]%6 != 0 || one.sheet.Component.Kind == "flexible_connector" {
		return
	}
	wall := map[float64]float64{1.5: 3.6, 2: 3.8, 2.5: 5.0, 3: 5.4, 4: 5.9, 6: 7.0, 8: 8.0, 10: 9.1}[*one.sheet.Component.NPS]
	read := wall - one.lossMM + 0.05*c.NormFloat64()
	o.Readings = append(o.Readings, models.ThicknessReading{ID: p.reg.NewID(), Point: "6 o'clock, beside the near end",
		Value: float64(int(read*100)) / 100, Unit: "mm", Gauge: "ultrasonic, with echo", CheckBlock: ref(true)})
}

// fillClosing is how it was closed; one in thirty is closed damp, one in sixty
// is left off.
func (p *play) fillClosing(c chance, one *part, o *models.Opening, leaves models.SealState) {
	wet := o.Wet()
	o.Dried = "wiped"
	if wet {
		o.Dried = pick(c, "wiped", "blown", "heated")
	}
	cl := models.Closing{Metal: "dry", Blanket: "dry", Water: "running", Cover: "same", Label: ref(true)}
	back := o.Reason == "follow_up"
	if o.Blanket != "dry" {
		cl.Blanket = "replaced"
	}
	if wet && !back && c.yes(0.06) {
		cl.Metal, o.Dried = "wet", "not_dried"
	}
	if o.Metal.Grade >= "Ri 3" && c.yes(0.4) {
		o.Prepared, o.Coated, o.FilmUM, o.Cured = "St 3", "medium", ref(150.0), ref(true)
		one.rust = 0
	}
	if !back && c.yes(0.03) {
		cl.Cover, cl.OffWhy = "left_off", pick(c, "no tape on the truck", "valve packing to be renewed first", "cover torn, a new one is ordered")
	}
	o.Closing = cl
	if cl.Cover != "left_off" {
		fillLeft(c, o, leaves)
	}
	minutes := 20 + 10*float64(c.IntN(6))
	tape := 1 + 0.5*float64(c.IntN(8))
	o.Materials = models.Materiel{Minutes: &minutes}
	if one.sheet.Cover.Taped() {
		o.Materials.TapeM = &tape
	}
}

// fillLeft writes each place as left so that the seal sums up to what the crew
// left in truth.
func fillLeft(c chance, o *models.Opening, leaves models.SealState) {
	for i := range o.Places {
		left := models.Left("renewed")
		if o.Places[i].Found == "sound" && i > 2 {
			left = "undisturbed"
		}
		o.Places[i].Left = left
	}
	at := c.IntN(3)
	switch leaves {
	case models.SealRepaired:
		o.Places[at].Left = "patched"
	case models.SealPoor:
		o.Places[at].Left = "lifting"
	}
}
