package register

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"drylag/models"
)

// z90 is the standard normal quantile of a two-sided 90 % interval.
const z90 = 1.6448536269514722

// wilson is the share k of n with Wilson's 90 % interval (Wilson 1927):
//
//	(p + z²/2n ± z·√(p(1-p)/n + z²/4n²)) / (1 + z²/n)
//
// It is 0, 0 to 1 where n is 0.
func wilson(k, n int) models.Range {
	if n == 0 {
		return models.Range{Hi: 1}
	}
	p, m := float64(k)/float64(n), float64(n)
	mid := p + z90*z90/(2*m)
	half := z90 * math.Sqrt(p*(1-p)/m+z90*z90/(4*m*m))
	scale := 1 + z90*z90/m
	return models.Range{Mid: p, Lo: max(0, (mid-half)/scale), Hi: min(1, (mid+half)/scale)}
}

// trendSentences says what a building's trend shows, the owner's five numbers
// first. units are the reader's, "IP" or "SI".
func trendSentences(t models.BuildingTrend, units string) []string {
	n := t.Numbers
	if n.Covers == 0 {
		return []string{"No covers are in the register of this building yet."}
	}
	out := []string{
		isAre(n.Off, "cover is off", "covers are off") + bareNote(n.Off),
		isAre(n.WetOpen, "cover was found wet and is not yet put right", "covers were found wet and are not yet put right") + ".",
		fmt.Sprintf("%d of %d covers have never been seen under.", n.NeverSeen, n.Covers),
		isAre(n.Overdue, "cover is past its limit", "covers are past their limit") + ".",
		clearSentence(n.Clear, n.Building, units),
	}
	if s := WetSentence(t.Quarters); s != "" {
		out = append(out, s, "Wet covers are looked for, so the share wet at opening is not the share wet of all covers.")
	}
	for _, s := range []string{GradeSentence(t.Years), placeSentence(t.Places)} {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// isAre writes "No cover is off", "1 cover is off" or "3 covers are off".
func isAre(n int, one, many string) string {
	switch n {
	case 0:
		return "No " + one
	case 1:
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func bareNote(off int) string {
	if off == 0 {
		return "."
	}
	return ": bare metal sweats, wastes energy and rusts."
}

// clearSentence says what it takes to clear what is due.
func clearSentence(c models.Clearance, b models.Building, units string) string {
	if c.Covers == 0 {
		return "Nothing is due in this round."
	}
	tape := fmt.Sprintf("%.0f m", math.Ceil(c.TapeM))
	if units == "IP" {
		tape = fmt.Sprintf("%.0f ft", math.Ceil(c.TapeM/0.3048))
	}
	s := fmt.Sprintf("Clearing the %s takes about %s crew hours and %s of tape, estimated from the parts and their sizes",
		count(c.Covers, "cover that is due", "covers that are due"), hours(c.Hours), tape)
	if c.Money == nil {
		return s + "; no cost is given because the building's labor rate or tape price is not entered."
	}
	return s + ", about " + b.Currency + thousands(*c.Money) + " at the site's own rates."
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func hours(h float64) string {
	if h < 10 {
		return fmt.Sprintf("%.1f", h)
	}
	return fmt.Sprintf("%.0f", h)
}

// thousands writes a whole amount with commas: 12,480.
func thousands(x float64) string {
	s := strconv.FormatFloat(math.Round(x), 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// WetSentence compares the last four quarters with the four before. It calls a
// difference one only where the 90 % intervals do not touch.
func WetSentence(q []models.WetQuarter) string {
	last, before := sumQuarters(q, 0, 4), sumQuarters(q, 4, 8)
	if last.Opened == 0 {
		return ""
	}
	s := fmt.Sprintf("Of %s in the last four quarters with openings %d %s wet, %s",
		count(last.Opened, "cover opened", "covers opened"), last.Wet, wasWere(last.Wet), percentRange(last.Share))
	if before.Opened == 0 {
		return s + "."
	}
	s += fmt.Sprintf("; in the four before, %d of %d, %s. ", before.Wet, before.Opened, percentRange(before.Share))
	switch {
	case last.Share.Hi < before.Share.Lo:
		return s + "The share wet at opening has fallen."
	case last.Share.Lo > before.Share.Hi:
		return s + "The share wet at opening has risen."
	}
	return s + "The two cannot be told apart."
}

func wasWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// sumQuarters adds the quarters from to to, counted back from the last one.
func sumQuarters(q []models.WetQuarter, from, to int) models.WetQuarter {
	var sum models.WetQuarter
	for i := len(q) - 1 - from; i >= 0 && i > len(q)-1-to; i-- {
		sum.Opened += q[i].Opened
		sum.Wet += q[i].Wet
	}
	sum.Share = wilson(sum.Wet, sum.Opened)
	return sum
}

// percentRange writes a share with its 90 % interval: "20 % (12 to 31 %)".
func percentRange(r models.Range) string {
	return fmt.Sprintf("%.0f %% (90 %% interval %.0f to %.0f %%)", 100*r.Mid, 100*r.Lo, 100*r.Hi)
}

// GradeSentence says how rusted the metal was in the last year with grades.
func GradeSentence(years []models.GradeYear) string {
	for i := len(years) - 1; i >= 0; i-- {
		graded, bad := 0, 0
		for ri, n := range years[i].Ri {
			graded += n
			if ri >= 3 {
				bad += n
			}
		}
		if graded > 0 {
			return fmt.Sprintf("In %d the metal under %d of %d graded covers was at Ri 3 or worse.", years[i].Year, bad, graded)
		}
	}
	return ""
}

// placeSentence names the place of the seal that is broken most often.
func placeSentence(places []models.PlaceCount) string {
	var worst models.PlaceCount
	for _, p := range places {
		if p.Seen >= 5 && p.Broken > 0 && (worst.Seen == 0 || p.Broken*worst.Seen > worst.Broken*p.Seen) {
			worst = p
		}
	}
	if worst.Seen == 0 {
		return ""
	}
	return fmt.Sprintf("The place of the seal found broken most often is the %s: %d of %d times that it was looked at.",
		strings.ToLower(worst.Place), worst.Broken, worst.Seen)
}
