package sheet

import (
	"regexp"
	"slices"
	"strings"
)

// The units that a column's name may end in, as plainUnit writes them. Loose
// ones are units wherever they stand last. Shy ones are also words, letters or
// signs of something else ("Date in", "Loop C"), so they count only in
// brackets, after a comma or after an underscore. "min" is in neither: "Wall
// (min)" is the least wall.
var (
	looseUnits = strings.Fields(`°f °c degf degc fahrenheit celsius
		mm cm inch inches mil mils µm microns ft feet sqft sqm ft2 m2
		psi psig kpa bar perm perms metricperm permin ng/(pasm2) ng/pasm2
		w/mk w/(mk) btuin/hft2°f btuin/(hft2°f) mm/yr mm/year mpy mils/yr mils/year
		hours hrs minutes mins days weeks months years percent % %rh kg lb lbs gal liters
		kw/ton cfm l/s m/s fpm`)
	shyUnits = strings.Fields(`f c k in m pa hr h d a yr g l " ' hz kw w ton usd $ $/h $/tonhour`)

	// Each cuts a name into what it names and what stands at its end.
	bracketed  = regexp.MustCompile(`^(.*\S)\s*[(\[]\s*([^\[\]]*\S)\s*[)\]]$`)
	nested     = regexp.MustCompile(`^(.*?\S)\s*[(\[]\s*([^\[\]]*\S)\s*[)\]]$`) // brackets in the unit
	underlined = regexp.MustCompile(`^(.*[^_\s])[_]+([^_\s]+)$`)
	afterComma = regexp.MustCompile(`^(.*[^,\s])\s*,\s*(\S.*)$`)
	lastWords  = regexp.MustCompile(`(?i)^(.*?\S)\s+((?:deg(?:rees)?\.?\s+)?\S+)$`)
)

// splitUnit cuts the unit off the name of a column: "Service temp (°F)" is
// "Service temp" and "°F". The unit is "" where the name does not end in one.
func splitUnit(column string) (name, unit string) {
	column = strings.TrimSpace(column)
	for _, ending := range []*regexp.Regexp{bracketed, nested, underlined, afterComma} {
		if p := ending.FindStringSubmatch(column); p != nil {
			if u := plainUnit(p[2]); slices.Contains(looseUnits, u) || slices.Contains(shyUnits, u) {
				return p[1], p[2]
			}
		}
	}
	if p := lastWords.FindStringSubmatch(column); p != nil && slices.Contains(looseUnits, plainUnit(p[2])) {
		return strings.TrimSuffix(p[1], " in"), p[2]
	}
	return column, ""
}

// plainUnit writes a unit in one way: no spaces, dots or hyphens, lower case,
// one degree and one micro sign, ² as 2.
func plainUnit(s string) string {
	return strings.NewReplacer(
		" ", "", ".", "", "·", "", "⋅", "", "-", "", "²", "2", "^", "",
		"º", "°", "degrees", "deg", "μ", "µ", "um", "µm", "“", `"`, "”", `"`, "″", `"`, "′", "'",
	).Replace(strings.ToLower(s))
}
