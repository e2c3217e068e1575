package server

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"strings"

	"drylag/models"
	"drylag/models/register"
	"drylag/reports"
)

// rowIcon is the small cut section of a row: metal seen or not; ring whole,
// broken, or absent where the cover is off. A ring that nobody described is
// drawn whole, and said to be unknown.
func rowIcon(r models.CoverRow) (template.HTML, error) {
	s := reports.Section{Size: reports.SectionIcon, Seen: r.LastOpened != "", Off: r.State == models.Off}
	s.Alt = "metal never seen, "
	if s.Seen {
		s.Alt = "metal seen, "
	}
	s.Alt += "cover " + models.CoverStates.Say(string(r.State))
	if !s.Off {
		s.Alt += ", " + sealsSaid[r.Seal]
	}
	if r.Seal == models.SealPoor {
		clock := lowPoint
		if r.SeamClock != nil {
			clock = *r.SeamClock
		}
		s.Seal = []reports.SealMark{{Clock: clock, Width: 0.5, State: reports.SealBroken}}
	}
	svg, err := reports.SVG(s)
	return template.HTML(svg), err // drawn by reports, which escapes every text
}

// sealsSaid are the states of a seal as models.SealNow sums it up.
var sealsSaid = map[models.SealState]string{
	models.SealSound: "seal whole", models.SealPoor: "seal broken", models.SealUnknown: "seal not recorded",
}

// cut is the cut section of a cover with what it shows in words.
type cut struct {
	Picture template.HTML
	Opened  models.Date // the opening that it shows, "" never seen
	Says    string      // of that opening
	Since   string      // what a look saw broken since, "" nothing
	Notes   []string    // what is drawn but not known
}

// cutOf draws a cover as its last opening found and left it.
func cutOf(file models.CoverFile) (cut, error) {
	cover, last := file.Sheet.Cover, lastBared(file)
	d := drawing{cover: cover, last: last, look: lookSince(file, last), Section: reports.Section{Size: reports.SectionSheet, Off: cover.State == models.Off}}
	words := []string{}
	out := cut{}
	switch before := lastEarlier(file); {
	case last == nil && before != nil:
		d.Seen = true
		words = append(words, "metal last seen on "+before.On.Say()+", before drylag")
	case last == nil:
		words = append(words, "metal never seen")
	default:
		out.Opened = last.On
		d.metal()
		words = append(words, foundWords(*last)...)
	}
	if d.look != nil {
		out.Since = lookWords(*d.look)
	}
	d.estimate(file.Score)
	d.seam()
	d.penetrations()
	d.ends()
	d.points(file.Readings)
	if d.Off {
		words = append(words, "cover off")
	}
	out.Says, out.Notes = strings.Join(words, ", "), d.notes
	d.Alt = strings.TrimSuffix(tight(file.Sheet.Title())+", "+out.Says+"; "+out.Since, "; ")
	svg, err := reports.SVG(d.Section)
	out.Picture = template.HTML(svg) // drawn by reports, which escapes every text
	return out, err
}

// lastBared is the last opening that bared the metal, nil if none did.
func lastBared(file models.CoverFile) *models.Opening {
	for _, item := range file.History {
		if item.Opening != nil && item.Opening.Opened() {
			return item.Opening
		}
	}
	return nil
}

// lastEarlier is the newest record from before drylag, nil if there is none.
func lastEarlier(file models.CoverFile) *models.EarlierRecord {
	for _, item := range file.History {
		if item.Earlier != nil {
			return item.Earlier
		}
	}
	return nil
}

// lookSince is the last look from outside that saw the seal after an opening,
// or at all where there was none; nil if nobody looked.
func lookSince(file models.CoverFile, o *models.Opening) *models.Look {
	for _, item := range file.History {
		if l := item.Look; l != nil && len(l.Places) > 0 && (o == nil || l.On > o.On) {
			return l
		}
	}
	return nil
}

// drawing fills a cut section from the record of one cover.
type drawing struct {
	reports.Section
	cover models.Cover
	last  *models.Opening
	look  *models.Look // since then
	notes []string
}

func (d *drawing) note(sentence string) { d.notes = append(d.notes, sentence) }

// lowPoint is where water gathers, on the clock.
const lowPoint = 6.0

// metal fills the metal as it was found, with the water on it.
func (d *drawing) metal() {
	o := d.last
	d.Seen, d.RustedArea = true, register.RustArea(o.Metal)
	d.Pits = o.Metal.Form == "pitted" || o.Metal.PitMM != nil
	amount, wet := amounts[o.Moisture]
	if !wet {
		return
	}
	mark := reports.WaterMark{Clock: lowPoint, Observed: true, Amount: amount, Label: "found " + o.On.Time().Format("Jan 2006")}
	if o.WaterClock != nil {
		mark.Clock = *o.WaterClock
	} else {
		d.note("Where the water lay was not noted: it is drawn at the low point.")
	}
	d.Water = append(d.Water, mark)
}

// amounts of water by the word of moisture; dry metal has none.
var amounts = map[string]reports.Amount{"sweat": reports.Damp, "damp": reports.Damp, "beads": reports.Beads,
	"wet": reports.Beads, "pooled": reports.Pooled, "ice": reports.Pooled}

// drawnFrom is the chance of water from which an estimate is drawn (judgement).
const drawnFrom = 0.3

// estimate hatches water at the low point where nobody has seen it and it may
// be there.
func (d *drawing) estimate(s *models.Score) {
	if s == nil || d.Off || len(d.Water) > 0 || s.PWet.Mid < drawnFrom {
		return
	}
	d.Water = append(d.Water, reports.WaterMark{Clock: lowPoint, Amount: reports.Damp, Label: register.WetSaid(s.Condition, s.PWet)})
	d.note("Hatched water is an estimate: nobody has seen it.")
}

// seam puts the long seam where it is.
func (d *drawing) seam() {
	state := d.state(models.LongSeam)
	switch {
	case d.cover.SeamClock != nil:
		d.Seal = append(d.Seal, reports.SealMark{Clock: *d.cover.SeamClock, Width: 0.5, State: state, Label: "seam"})
	case state != reports.SealWhole:
		d.Seal = append(d.Seal, reports.SealMark{Clock: lowPoint, Width: 0.5, State: state, Label: "seam"})
		d.note("Where the seam runs is not recorded: it is drawn at the low point.")
	}
}

// most penetrations that the ring has room for.
const mostDrawn = 11

// penetrations spaces them evenly from the seam on.
func (d *drawing) penetrations() {
	if d.cover.Penetrations == nil || *d.cover.Penetrations == 0 {
		return
	}
	seam := lowPoint
	if d.cover.SeamClock != nil {
		seam = *d.cover.SeamClock
	}
	n := min(*d.cover.Penetrations, mostDrawn)
	for i := 1; i <= n; i++ {
		clock := math.Mod(seam+12*float64(i)/float64(n+1), 12)
		place := models.Penetration(i)
		mark := reports.SealMark{Clock: clock, Width: 0.6, State: d.state(place)}
		if mark.State != reports.SealWhole {
			mark.Label = place.Say()
		}
		d.Seal = append(d.Seal, mark)
	}
	d.note("Penetrations are spaced evenly: their own places are not recorded.")
}

// ends marks what runs all around the cover, where it is not whole.
func (d *drawing) ends() {
	for _, p := range []struct {
		place models.Place
		clock float64
	}{{models.NearEnd, 10.5}, {models.FarEnd, 1.5}, {models.EdgesCorners, 4.5}, {models.FacingPlace, 7.5}} {
		if state := d.state(p.place); state != reports.SealWhole {
			d.Seal = append(d.Seal, reports.SealMark{Clock: p.clock, Width: 0.8, State: state, Label: p.place.Say()})
			d.note(capital(p.place.Say()) + ": drawn at one place of the ring; its own is not recorded.")
		}
	}
}

// state is a place as a look has seen it since, else as it was left, else as it
// was found.
func (d *drawing) state(p models.Place) reports.SealState {
	word := ""
	if d.last != nil {
		q := finding(d.last.Places, p)
		word = cmp.Or(string(q.Left), string(q.Found))
	}
	if d.look != nil {
		word = cmp.Or(string(finding(d.look.Places, p).Found), word)
	}
	switch word {
	case "missing":
		return reports.SealAbsent
	case "lifting", "open":
		return reports.SealBroken
	}
	return reports.SealWhole
}

// finding is what was said of one place, zero if nothing.
func finding(places []models.PlaceFinding, p models.Place) models.PlaceFinding {
	for _, q := range places {
		if q.Place == p {
			return q
		}
	}
	return models.PlaceFinding{}
}

// points are the thickness points whose name begins with a clock position.
func (d *drawing) points(readings []models.ThicknessReading) {
	seen := map[string]bool{}
	for _, r := range readings {
		var clock float64
		if _, err := fmt.Sscanf(r.Point, "%g o'clock", &clock); err == nil && clock >= 0 && clock <= 12 && !seen[r.Point] {
			d.Points = append(d.Points, clock)
		}
		seen[r.Point] = true
	}
}
