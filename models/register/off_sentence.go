package register

import (
	"fmt"
	"math"

	"drylag/models"
)

// OffSentences say what covers that are off cost: how many, what their bare
// metal sweats and takes up, and that energy is not the reason to put them back.
// units are the reader's.
func OffSentences(s models.OffSum, units string, money bool) []string {
	if s.Covers == 0 {
		return []string{"No cover is off."}
	}
	first := count(s.Covers, "cover is", "covers are") + " off"
	sized := s.Covers - s.Unsized
	if sized == 0 {
		return []string{first + "; what the bare metal costs cannot be worked out, since no size of its parts is recorded."}
	}
	if s.Unsized > 0 {
		first += fmt.Sprintf("; of %d the size is recorded", sized)
	}
	return []string{
		fmt.Sprintf("%s. The bare metal %s and brings about %s kWh of heat a year into the chilled water%s, give or take 30 %%.",
			first, sweats(s.Sweat, units), figure(s.Annual.KWh), yearMoney(s, money)),
		"Energy alone does not carry a budget: it is the water and the rust on the bare metal that make an open cover dear.",
	}
}

// sweats says the water of a day; a kilogram of it is a liter.
func sweats(kg float64, units string) string {
	const gallon = 3.785411784 // L
	switch {
	case kg == 0:
		return "sweats nothing today"
	case units == "IP":
		return "sweats about " + figure(kg/gallon) + " gal of water a day now"
	}
	return "sweats about " + figure(kg) + " L of water a day now"
}

// yearMoney says the money of a year, or why there is none.
func yearMoney(s models.OffSum, show bool) string {
	switch {
	case !show:
		return ""
	case s.Mixed:
		return " (its money is not added up: the buildings count in more than one currency)"
	case s.Annual.Money == nil:
		return " (its cost is not given: no price of chilled water is entered)"
	}
	text := " for about " + s.Currency + figure(*s.Annual.Money)
	if s.Unpriced > 0 {
		text += fmt.Sprintf(" without %d whose building has no price of chilled water", s.Unpriced)
	}
	return text
}

// figure writes an estimate with two figures.
func figure(v float64) string {
	if v == 0 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	if v = math.Round(v/step) * step; v >= 10 {
		return thousands(v)
	}
	return fmt.Sprintf("%.2g", v)
}
