package risk

import (
	"sort"

	"drylag/models"
)

// episode is one stretch between a closing and the next opening, or today for
// the last one.
type episode struct {
	from, to models.Date
	seal     models.SealState // as left at from
	openings int              // how often the cover had been opened by then
	prevWet  bool             // the opening at from found it wet
	wet      bool             // closed damp or wet: wet from the start
	found    string           // "wet" or "dry" at the opening that ended it, "" not known
	dryPort  models.Date      // last outside look in it that saw a dry sight port
	ended    bool             // by a record; the running one is not
	by       models.ID        // root of the opening that ended it, None: an earlier record
}

// years is the length of the episode.
func (e episode) years() float64 { return max(0, e.to.YearsSince(e.from)) }

// timeline is the life of one cover as the record tells it.
type timeline struct {
	episodes  []episode // oldest first; the last one runs to today unless the cover is off
	start     models.Date
	flagged   bool // the first clock starts at the import, not at a fitting or closing
	seen      bool // the metal was seen at least once
	lastOpen  models.Date
	lastWet   bool // at the last opening that says so
	condition models.WetCondition
	reports   []models.DueDate // what was reported since the last opening
	dripping  bool
}

// closing is a moment at which a wet-or-dry clock could start.
type closing struct {
	on       models.Date
	seal     models.SealState
	dry      bool
	wasWet   bool
	reclosed bool
	known    bool // the record says wet or dry
	by       models.ID
}

func (c closing) answer() string {
	switch {
	case !c.known:
		return ""
	case c.wasWet:
		return "wet"
	}
	return "dry"
}

// lifeOf reads the record into episodes. Openings are current versions; the
// order in which they were entered does not matter, their days do.
func lifeOf(in Input) timeline {
	t := timeline{start: in.Sheet.Cover.Fitted, condition: models.WetEstimated}
	if t.start == "" {
		t.start, t.flagged = in.Sheet.Cover.Since, true
	}
	closings := closingsOf(in)
	cur := episode{from: t.start, seal: models.SealUnknown}
	open := false
	for i, c := range closings {
		if !open && c.on > cur.from {
			cur.to, cur.found, cur.ended, cur.by = c.on, c.answer(), true, c.by
			t.episodes = append(t.episodes, cur)
		}
		t.seen, t.lastOpen = true, c.on
		if c.known {
			t.lastWet = c.wasWet
		}
		cur = episode{from: c.on, seal: c.seal, openings: i + 1, prevWet: t.lastWet, wet: !c.dry}
		open = !c.reclosed
	}
	t.finish(in, cur, open)
	return t
}

// finish adds the running episode and says how the record knows about water.
func (t *timeline) finish(in Input, cur episode, open bool) {
	off := in.Sheet.Cover.State == models.Off
	cur.to = in.Today
	t.readLooks(in, &cur)
	if !open && !off {
		t.episodes = append(t.episodes, cur)
	}
	switch {
	case off:
		t.condition = models.Bare
	case cur.wet:
		t.condition = models.WetKnown
	case !t.seen && t.flagged:
		t.condition = models.NeverSeen
	}
}

// closingsOf lists what bared the metal: openings and earlier records, by day.
// Dryness at closing is not in earlier records: found dry counts as closed dry,
// found wet as closed wet unless the record says it was dried.
func closingsOf(in Input) []closing {
	var out []closing
	for _, e := range in.Earlier {
		wet := e.Answer == "wet"
		out = append(out, closing{on: e.On, seal: models.SealUnknown, dry: !wet || e.Dried,
			wasWet: wet, reclosed: true, known: e.Answer != "unknown"})
	}
	for _, o := range in.Openings {
		if o.Opened() {
			out = append(out, closing{on: o.On, seal: o.SealLeft(), dry: o.Closing.Dry(),
				wasWet: o.Wet(), reclosed: o.Reclosed(), known: o.Answered(), by: o.Root})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].on < out[j].on })
	return out
}

// readLooks takes what was seen from outside since the last opening: a dry
// sight port is evidence, a wet one is knowledge, a broken seal or drips are
// reports. A look on the day of an opening came before it.
func (t *timeline) readLooks(in Input, cur *episode) {
	for _, l := range in.Looks {
		if l.On < cur.from || (t.seen && l.On == cur.from) {
			continue
		}
		drips := l.Drips != nil && *l.Drips
		switch {
		case l.Port == "dry":
			cur.dryPort = max(cur.dryPort, l.On)
		case l.Port == "wet":
			cur.wet = true
			t.report(l.On, "the sight port showed water on "+l.On.Say())
		}
		if drips {
			t.dripping = true
			t.report(l.On, "dripping, seen from outside on "+l.On.Say())
		}
		if l.SealBroken() {
			t.report(l.On, "seal broken, seen from outside on "+l.On.Say())
		}
	}
	t.readStops(in, *cur)
}

// readStops takes openings that were stopped for safety since the last closing,
// and a closing that left the metal damp.
func (t *timeline) readStops(in Input, cur episode) {
	for _, o := range in.Openings {
		if o.Outcome == "stopped" && o.On >= cur.from {
			t.report(o.On, "stopped for safety on "+o.On.Say()+": the engineer looks first")
		}
	}
	if cur.wet && t.seen && len(t.reports) == 0 {
		t.report(cur.from.AddDays(2), "closed damp or wet on "+cur.from.Say()+": dry it within 48 hours")
	}
}

func (t *timeline) report(on models.Date, why string) {
	t.reports = append(t.reports, models.DueDate{Rule: models.RuleReported, On: on, Why: why})
}
