package demo

import (
	"fmt"

	"drylag/models"
)

// lastWeeks adds what makes today worth a look: looks from outside with drips
// and broken seals, an opening stopped for safety, a correction, a date put off.
func (p *play) lastWeeks() error {
	c := newChance(5)
	for i, one := range p.parts {
		if one.off || i%9 != 3 {
			continue
		}
		if err := p.look(c, one, daysAgo(p.today, 2+c.IntN(40))); err != nil {
			return fmt.Errorf("look at %s: %w", one.sheet.Component.Tag, err)
		}
	}
	if err := p.leaveUndone(c); err != nil {
		return fmt.Errorf("left undone: %w", err)
	}
	if err := p.stop(); err != nil {
		return fmt.Errorf("stop: %w", err)
	}
	return p.correct()
}

// leaveUndone are the openings of the last month that left something to do:
// four covers off, three closed damp.
func (p *play) leaveUndone(c chance) error {
	off := []string{"no tape on the truck", "valve packing to be renewed first", "cover torn, a new one is ordered", "gauge to be replaced first"}
	done := 0
	for i, one := range p.parts {
		if one.off || one.untouched || i%31 != 7 || done == 7 {
			continue
		}
		v := visit{part: one, on: daysAgo(p.today, 27-3*done), reason: "maintenance"}
		why := off[done%len(off)]
		v.close = func(cl *models.Closing) { cl.Cover, cl.OffWhy = "left_off", why }
		if done >= len(off) {
			v.close = func(cl *models.Closing) { cl.Metal, cl.Cover, cl.OffWhy = "wet", "same", "" }
		}
		if err := p.open(c, v); err != nil {
			return err
		}
		done++
	}
	return nil
}

func (p *play) look(c chance, one *part, day models.Date) error {
	if day <= one.closed {
		return nil
	}
	p.on(day, 14)
	who := p.crew[0]
	l := models.Look{ID: p.reg.NewID(), Cover: one.sheet.Cover.ID, On: day, By: who.Name, InPlace: ref(true)}
	wet := one.wet(day)
	l.Drips = ref(wet && c.yes(0.25))
	for _, pl := range one.sheet.Cover.Places() {
		found := models.Found("sound")
		if wet && c.yes(0.12) {
			found = "lifting"
		}
		l.Places = append(l.Places, models.PlaceFinding{Place: pl, Found: found})
	}
	if one.sheet.Cover.SightPort {
		l.Port = map[bool]string{true: "wet", false: "dry"}[wet]
	}
	_, err := p.reg.RecordLook(p.ctx, who, l)
	return err
}

// stop is an opening that met layered scale and ended there.
func (p *play) stop() error {
	for _, one := range p.parts {
		if one.house.short != "QH" || one.off || one.sheet.Component.Kind != "flange_pair" {
			continue
		}
		day := daysAgo(p.today, 6)
		p.on(day, 11)
		who := p.crew[0]
		_, err := p.reg.RecordOpening(p.ctx, who, models.Opening{ID: p.reg.NewID(), Cover: one.sheet.Cover.ID, Outcome: "stopped",
			Reason: "periodic", On: day, OpenedBy: who.Name, Note: "Layered scale on the lower bolts, two nuts wasted. Closed loosely."}, nil)
		return err
	}
	return nil
}

// correct amends one opening whose grade was read from the wrong row.
func (p *play) correct() error {
	for _, one := range p.parts {
		if one.opened < 2 {
			continue
		}
		file, err := p.reg.CoverFile(p.ctx, p.admin, one.sheet.Cover.ID)
		if err != nil {
			return err
		}
		for _, item := range file.History {
			if item.Opening != nil && item.Opening.Outcome == "opened" {
				p.on(daysAgo(p.today, 3), 16)
				o := *item.Opening
				o.ID, o.Metal.Grade, o.Amends = p.reg.NewID(), "Ri 2", "Grade read from the wrong row of the chart."
				_, err := p.reg.AmendOpening(p.ctx, p.admin, o)
				return err
			}
		}
	}
	return nil
}
