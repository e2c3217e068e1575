package register

import (
	"sort"
	"time"

	"drylag/models"
)

// dryWithin is how soon what was closed damp must be dry: 48 hours, the bound
// for mold (risk method, rule d).
const dryWithin = 2 // days

// tapeWithin is how soon a seal left poor should be made good (judgement).
const tapeWithin = 30 // days

// life is what all records together say about a cover today.
type life struct {
	state    models.CoverState
	offSince models.Date
	speaks   bool // some record says whether it is in place
}

// word is what one record says about the cover being in place.
type word struct {
	on      models.Date
	entered time.Time
	inPlace bool
}

// lifeOf reads the state of a cover from its records, in the order of their
// days, so that a paper sheet typed in late does not undo what came after it.
// A cover entered as off stays so until a record of that day or later puts it
// back. Planned, replaced and retired are set by people: the last two stay.
func lifeOf(c models.Cover, openings []models.Opening, looks []models.Look) life {
	l := life{state: c.State, offSince: c.OffSince}
	if c.State == models.Replaced || c.State == models.Retired {
		return l
	}
	for _, w := range wordsOf(openings, looks) {
		switch {
		case w.inPlace && l.state == models.Off && w.on < l.offSince:
			continue // it was put on before it was taken off
		case w.inPlace:
			l.state, l.offSince = models.InPlace, ""
		case l.state != models.Off || w.on < l.offSince:
			l.state, l.offSince = models.Off, w.on
		}
		l.speaks = true
	}
	return l
}

// wordsOf lists what the records say about the cover being in place, oldest first.
func wordsOf(openings []models.Opening, looks []models.Look) []word {
	var out []word
	for _, o := range openings {
		if o.LeftOff() || o.Reclosed() {
			out = append(out, word{o.On, o.EnteredAt, o.Reclosed()})
		}
	}
	for _, l := range looks {
		if l.InPlace != nil {
			out = append(out, word{l.On, l.EnteredAt, *l.InPlace})
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].on != out[j].on {
			return out[i].on < out[j].on
		}
		return out[i].entered.Before(out[j].entered)
	})
	return out
}

// ask is one thing that a record asks for.
type ask struct {
	kind, why string
	by        models.Date
}

// openingAsks lists what an opening leaves to be done.
func openingAsks(o models.Opening) []ask {
	var out []ask
	switch {
	case o.Outcome == "stopped":
		return []ask{{"engineer", "stopped for safety on " + o.On.Say(), o.On}}
	case o.Reclosed() && !o.Closing.Dry():
		out = append(out, ask{"dry", "not dry when closed on " + o.On.Say(), o.On.AddDays(dryWithin)})
	case o.LeftOff() && o.Wet():
		out = append(out, ask{"dry", "found wet and left off on " + o.On.Say(), o.On.AddDays(dryWithin)})
	}
	if o.Reclosed() && o.SealLeft() == models.SealPoor {
		out = append(out, ask{"tape", "seal left open on " + o.On.Say(), o.On.AddDays(tapeWithin)})
	}
	return out
}

// openingAnswers tells whether an opening does what a follow-up of a kind asks
// for, and says how. The engineer's look is closed by hand only.
func openingAnswers(o models.Opening, kind string) (how string, ok bool) {
	on := " on " + o.On.Say()
	switch kind {
	case "dry":
		return "closed dry" + on, o.Reclosed() && o.Closing.Dry()
	case "tape":
		s := o.SealLeft()
		return "seal left " + string(s) + on, o.Reclosed() && (s == models.SealSound || s == models.SealRepaired)
	case "look":
		return "opened" + on, o.Opened()
	case "reading":
		return "wall read" + on, len(o.Readings) > 0
	case "cover":
		return "new cover" + on, o.Closing.Cover == "new"
	case "coat":
		return "coated" + on, o.Coated == "medium" || o.Coated == "high"
	}
	return "", false
}

// lookAsks lists what a look from outside leaves to be done.
func lookAsks(l models.Look) []ask {
	why := ""
	switch {
	case l.Drips != nil && *l.Drips:
		why = "dripping"
	case l.SealBroken():
		why = "seal broken"
	case l.Port == "wet":
		why = "water in the sight port"
	default:
		return nil
	}
	return []ask{{"look", why + ", seen from outside on " + l.On.Say(), l.On}}
}

// lookAnswers tells whether a look does what a follow-up asks for: only a clean
// look answers a look.
func lookAnswers(l models.Look, kind string) (how string, ok bool) {
	return "looked at on " + l.On.Say(), kind == "look" && len(lookAsks(l)) == 0
}

// settle works out which open follow-ups a record closes and which it asks for.
// A kind that is open already, and stays open, is not asked for twice. A record
// answers only what was asked by the day it speaks of.
func settle(open []models.FollowUp, on models.Date, dayOf func(time.Time) models.Date, asks []ask,
	answers func(kind string) (string, bool)) (closed, stay []models.FollowUp, ask []ask) {
	standing := map[string]bool{}
	for _, f := range open {
		how, ok := answers(f.Kind)
		if ok && askedOn(f, dayOf) <= on {
			f.ClosedWhy = how
			closed = append(closed, f)
			continue
		}
		standing[f.Kind] = true
		stay = append(stay, f)
	}
	for _, a := range asks {
		if !standing[a.kind] {
			ask = append(ask, a)
		}
	}
	return closed, stay, ask
}

// askedOn is the day on which a follow-up was asked for. One that a record asked
// for counts from that record's day, since a paper sheet may be entered long
// after the work.
func askedOn(f models.FollowUp, dayOf func(time.Time) models.Date) models.Date {
	entered := dayOf(f.OpenedAt)
	if f.From == models.None || f.By == "" {
		return entered
	}
	switch f.Kind {
	case "dry":
		return min(entered, f.By.AddDays(-dryWithin))
	case "tape":
		return min(entered, f.By.AddDays(-tapeWithin))
	}
	return min(entered, f.By)
}
