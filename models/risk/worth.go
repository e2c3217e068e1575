package risk

import (
	"fmt"
	"math"
	"slices"

	"drylag/models"
)

// ThresholdP is the chance of wet from which a cover is a candidate of a round
// where the owner chose none (risk.md 6, judgement).
const ThresholdP = 0.30

// Outing is the span of days in which a round may open covers.
type Outing struct {
	From, To models.Date
	Days     []models.Date // of the shifts, one for each; none: the middle day
	DryOnly  bool          // only in the months in which the metal stays dry
	ByChance bool          // ranked by the chance of wet instead of the index
	Pinned   bool          // this cover is wanted whatever it is worth
}

// Middle is the day for which chances are told.
func (o Outing) Middle() models.Date { return o.From.AddDays(o.To.DaysSince(o.From) / 2) }

// Worth is what opening one cover in a round is worth, and whether it must be.
type Worth struct {
	Score     models.Score // as of in.Today, with the round's last day
	Candidate bool
	Must      bool
	Reason    string
	PWet      models.Range // on the middle day
	W         float64      // on the middle day, in openings' cost
	DryShare  float64      // of the hours in the months of the shifts
	Benefit   float64      // percent of one standard opening's cost, to 0.1
	After     int          // of a candidate: its risk once opened on the middle day and closed dry and sound
}

// WorthIn is what opening a cover in a round is worth (risk.md 7):
//
//	benefit = round(1000·W·dry/c_o)/10
//
// with W the index on the middle day in openings' cost and dry the share of
// hours, in the months of the shifts, in which the bared metal stays dry: a
// cover closed in a sweating month is closed damp. Ranked by chance, W is the
// chance of wet. What is due by a measured life or the owner's limit within the
// round is worth at least one opening.
//
// A candidate is due by the end of the round, or W reaches one opening, or the
// chance the threshold, or it must be opened, or it is pinned. It must be opened
// where it is off, reported, or past a date that must be kept, on the first day
// of the round. A date put off beyond the round takes it out, unless it is off.
func WorthIn(in Input, o Outing) (Worth, error) {
	in.RoundEnd = o.To
	s, err := Assess(in)
	if err != nil {
		return Worth{}, err
	}
	w := Worth{Score: s, PWet: s.PWet, W: s.W, DryShare: dryShare(s, o)}
	if mid := o.Middle(); mid > in.Today {
		then := in
		then.Today = mid
		if then.Air.Hours == 0 {
			if then.Air, err = AirAssumed(in.Sheet); err != nil {
				return Worth{}, err
			}
		}
		wet := wetnessOf(then, lifeOf(then))
		w.PWet, w.W = wet.now, wet.w
	}
	w.judge(in, o)
	if w.Candidate {
		if w.After, err = riskAfter(in, max(in.Today, o.Middle())); err != nil {
			return Worth{}, err
		}
	}
	if math.IsNaN(w.Benefit) || math.IsInf(w.Benefit, 0) || math.IsNaN(w.PWet.Mid) {
		return Worth{}, models.Errorf(models.Invalid, "What opening %s is worth could not be worked out from what is recorded.", in.Sheet.Component.Tag)
	}
	return w, nil
}

// riskAfter is the risk of a cover once it was opened on a day, found as it is
// hoped for, and closed dry with every place of its seal renewed. The rust and
// the wall stay as they are known.
func riskAfter(in Input, on models.Date) (int, error) {
	o := models.Opening{ID: "planned", Root: "planned", Version: 1, Outcome: "opened", On: on, Moisture: "dry", Blanket: "dry",
		Closing: models.Closing{Metal: "dry", Blanket: "dry", Water: "running", Cover: "same"}}
	for _, p := range in.Sheet.Cover.Places() {
		o.Places = append(o.Places, models.PlaceFinding{Place: p, Found: "sound", Left: "renewed"})
	}
	in.Today, in.FollowUps = on, nil
	in.Openings = append(slices.Clone(in.Openings), o)
	in.Sheet.Cover.State, in.Sheet.Cover.OffSince = models.InPlace, ""
	s, err := Assess(in)
	return s.Risk, err
}

// judge reads the cover's dates: what must be kept and has passed says why, else
// what must be kept, else the earliest that is due in the round.
func (w *Worth) judge(in Input, o Outing) {
	start := max(in.Today, o.From)
	limited, due, weight := false, "", 0
	for _, d := range w.dates() {
		on := d.On
		if d.Rule != models.RuleOff {
			on = max(on, w.Score.PutOffTo)
		}
		if on > o.To {
			continue
		}
		n := 1
		if d.Rule.Must() {
			n = 2
			if at := d.Rule == models.RuleReported || d.Rule == models.RuleOff; on < start || at && on == start {
				n, w.Must = 3, true
			}
		}
		if n > weight {
			weight, due = n, d.Why
		}
		limited = limited || d.Rule == models.RuleThickness || d.Rule == models.RuleLimit
	}
	w.Benefit = max(0, math.Round(1000*w.value(o))/10)
	if limited {
		w.Benefit = max(w.Benefit, 100)
	}
	w.Candidate, w.Reason = w.wanted(in, o, due)
}

// dates are those that hold for the cover, the one that leads first.
func (w *Worth) dates() []models.DueDate {
	if w.Score.Due.On == "" {
		return nil
	}
	return append([]models.DueDate{w.Score.Due}, w.Score.Others...)
}

func (w *Worth) value(o Outing) float64 {
	v := w.W
	if o.ByChance {
		v = w.PWet.Mid
	}
	return v * w.DryShare
}

// wanted tells whether the cover is a candidate, and why in words.
func (w *Worth) wanted(in Input, o Outing, due string) (bool, string) {
	threshold := ThresholdP
	if in.Policy.ThresholdP != nil {
		threshold = *in.Policy.ThresholdP
	}
	putOff := w.Score.PutOffTo > o.To && w.Score.Condition != models.Bare
	switch {
	case due != "":
		return true, due
	case putOff && !o.Pinned:
		return false, "put off to " + w.Score.PutOffTo.Say()
	case w.W >= 1:
		return true, "the chance of water is worth one opening in these days"
	case w.PWet.Mid >= threshold:
		return true, fmt.Sprintf("the chance of water, %s, reaches %s in these days", percent(w.PWet.Mid), percent(threshold))
	case o.Pinned:
		return true, "pinned in"
	}
	return false, ""
}

// dryShare is the share of hours in which the bared metal stays dry, over the
// months of the shifts; of those it may be opened in, where it may only be in
// dry ones. It is 0 where there are none.
func dryShare(s models.Score, o Outing) float64 {
	days := o.Days
	if len(days) == 0 {
		days = []models.Date{o.Middle()}
	}
	sum, n := 0.0, 0
	for _, d := range days {
		m := d.Time().Month() - 1
		if d == "" || o.DryOnly && s.SweatMonths[m] {
			continue
		}
		sum += s.DryHoursShare[m]
		n++
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}
