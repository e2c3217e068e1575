package server

import (
	"fmt"
	"html/template"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"drylag/models"
	"drylag/models/register"
)

// vocabularies are models' word lists by the name they have there, for
// templates.
var vocabularies = map[string]models.Vocabulary{
	"Accesses": models.Accesses, "Actions": models.Actions, "Answers": models.Answers, "Belows": models.Belows,
	"BlanketStates": models.BlanketStates, "ClimateSources": models.ClimateSources,
	"ClosingBlanket": models.ClosingBlanket, "ClosingCovers": models.ClosingCovers,
	"ClosingMetals": models.ClosingMetals, "ClosingWater": models.ClosingWater, "Closures": models.Closures,
	"CoatClasses": models.CoatClasses, "CoatingStates": models.CoatingStates,
	"ComponentKinds": models.ComponentKinds, "Connections": models.Connections, "CoverSorts": models.CoverSorts,
	"CoverStates": models.CoverStates, "DryMethods": models.DryMethods, "DueRules": models.DueRules,
	"Flows": models.Flows, "FollowUpKinds": models.FollowUpKinds, "FoundWords": models.FoundWords,
	"Insulations": models.Insulations, "LeftWords": models.LeftWords, "LoopKinds": models.LoopKinds,
	"Materials": models.Materials, "Moistures": models.Moistures, "NotOpenedReasons": models.NotOpenedReasons,
	"OpeningReasons": models.OpeningReasons, "Outcomes": models.Outcomes, "PortStates": models.PortStates,
	"Preparations": models.Preparations, "Roles": models.Roles, "RoomKinds": models.RoomKinds,
	"RustForms": models.RustForms, "RustScales": models.RustScales, "Sides": models.Sides,
	"Spares": models.Spares, "Withouts": models.Withouts,
}

// funcs are what templates may call.
func funcs(st static) template.FuncMap {
	return template.FuncMap{
		"asset":   st.url,
		"words":   words,
		"say":     sayWord,
		"date":    models.Date.Say,
		"month":   models.Date.Month,
		"moment":  moment,
		"iso":     func(t time.Time) string { return t.UTC().Format(time.RFC3339) },
		"plural":  plural,
		"num":     num,
		"count":   func(n int) string { return num(float64(n), 0) },
		"int":     func(n int64) int { return int(n) },
		"pct":     func(share float64) string { return num(100*share, 0) + "\u00a0%" },
		"bytes":   bytesText,
		"fieldID": fieldID,

		"passwordLeast": func() int { return register.PasswordLeast },
		"part":          part,
		"tight":         tight,
		"capital":       capital,
		"join":          strings.Join,
	}
}

// words is a word list of models by its name there.
func words(name string) (models.Vocabulary, error) {
	v, ok := vocabularies[name]
	if !ok {
		return nil, fmt.Errorf("no word list %q", name)
	}
	return v, nil
}

// sayWord says a code in the words of a list; the code may be of any text type.
func sayWord(list string, code any) (string, error) {
	v, err := words(list)
	return v.Say(fmt.Sprint(code)), err
}

// part names a part by kind and size, its size never torn from it.
func part(kind string, nps *float64) string { return tight(models.PartTitle(kind, nps)) }

// pairs are what a line must not break in: a pipe size with its fraction, and a
// number with its unit. "1 in 30" is no length.
var pairs = regexp.MustCompile(`NPS \d+(?: \d+/\d+)?|\d (?:\d+/\d+ )?(?:°C|°F|K|%|mm|in(?: \d+)?|m|ft|m²|ft²|µm|mil|mL|fl oz|bar|psi|k?Pa|h|min|mm/yr|mpy|o’clock)(?:$|[^\pL\d])`)

// tight is text in which a line breaks between no number and its unit.
func tight(text string) string {
	return pairs.ReplaceAllStringFunc(text, func(pair string) string {
		kept := strings.TrimRight(pair, " ") // the space after it may break
		if strings.Contains(kept, " in ") {
			return pair
		}
		return strings.ReplaceAll(kept, " ", "\u00a0") + pair[len(kept):]
	})
}

// capital is s as the start of a line.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// moment is an instant in words, in UTC: "25 Nov 2026, 10:43 UTC"; the zero
// time is "never".
func moment(t time.Time) string {
	if t.IsZero() {
		return "never"
	}
	return t.UTC().Format("2 Jan 2006, 15:04\u00a0UTC")
}

// plural is a count with its noun: "1 cover", "2,040 covers".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return num(float64(n), 0) + " " + many
}

// num writes a number with thousands separated and a fixed count of decimals.
func num(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "not known"
	}
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	whole, rest, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if rest != "" {
		whole += "." + rest
	}
	if x < 0 && strings.Trim(s, "0.") != "" {
		whole = "−" + whole
	}
	return whole
}
