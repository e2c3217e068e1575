package risk

import (
	"fmt"
	"math"

	"drylag/models"
	"drylag/models/metal"
)

// years writes a life without false precision; 200 stands for no end in sight.
func years(v float64) string {
	switch {
	case v >= 200:
		return "200 or more"
	case v < 10:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

func percent(p float64) string {
	switch {
	case p > 0 && p < 0.01:
		return "under 1 %"
	case p < 1 && p > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

func span(r models.Range) string {
	return fmt.Sprintf("%.0f-%.0f %%", 100*r.Lo, 100*r.Hi)
}

// Chance says a chance that something is wet as the sentences of a score do:
// "about 1 in 3", "perhaps about 1 in 3" where its interval is wide.
func Chance(p models.Range) string {
	if p.Hi-p.Lo > vague {
		return "perhaps " + oneIn(p.Mid)
	}
	return oneIn(p.Mid)
}

// oneIn says a chance as people do: 1 in 3, 2 in 3, 9 in 10.
func oneIn(p float64) string {
	switch {
	case p < 0.02:
		return "less than 1 in 50"
	case p <= 0.4:
		return fmt.Sprintf("about 1 in %.0f", math.Round(1/p))
	case p < 0.45:
		return "about 2 in 5"
	case p < 0.55:
		return "about 1 in 2"
	case p < 0.63:
		return "about 3 in 5"
	case p < 0.7:
		return "about 2 in 3"
	case p < 0.95:
		return fmt.Sprintf("about %.0f in 10", math.Round(10*p))
	}
	return "nearly certain"
}

func both(c float64) string { return fmt.Sprintf("%.1f °C (%.0f °F)", c, 1.8*c+32) }

func bothRate(mmy float64) string { return fmt.Sprintf("%.3f mm/yr (%.1f mpy)", mmy, metal.Mpy(mmy)) }

func bothWall(mm float64) string { return fmt.Sprintf("%.2f mm (%.3f in)", mm, mm/25.4) }

func sayBar(bar float64) string { return fmt.Sprintf("%.1f bar (%.0f psi)", bar, bar*14.5037738) }

func thousands(v float64) string {
	s := fmt.Sprintf("%.0f", v)
	if len(s) > 3 {
		return s[:len(s)-3] + "," + s[len(s)-3:]
	}
	return s
}
