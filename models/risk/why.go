package risk

import (
	"fmt"
	"math"
	"strings"

	"drylag/models"
	"drylag/models/metal"
	"drylag/models/seal"
)

// sentences lead the score: wet, wall, leak (risk.md 5).
func sentences(in Input, t timeline, wet wetness, w wall) []string {
	return []string{sayWet(t, wet), sayWall(in, w), sayLeak(in)}
}

// vague is the width from which an interval is said in words; its numbers stand
// in the why-list.
const vague = 0.5

func sayWet(t timeline, wet wetness) string {
	switch t.condition {
	case models.Bare:
		return fmt.Sprintf("Cover off: the bare metal sweats %s of the year.", percent(wet.now.Mid))
	case models.WetKnown:
		return "Wet now: it was closed damp or wet and nobody has found it dry since."
	}
	text := fmt.Sprintf("Wet now: %s (%s).", Chance(wet.now), span(wet.now))
	if wet.now.Hi-wet.now.Lo > vague {
		text = fmt.Sprintf("Wet now: %s; little is known yet.", Chance(wet.now))
	}
	if t.condition == models.NeverSeen {
		return "Never seen. " + text
	}
	return text
}

func sayWall(in Input, w wall) string {
	switch {
	case w.lastMM == nil && in.Sheet.Component.NPS == nil:
		return "Wall: not measured, and its size is not known."
	case w.lastMM == nil:
		return "Wall: not measured."
	case w.required != nil && *w.lastMM <= *w.required:
		return "Wall: at or below the required thickness; a licensed engineer decides."
	case w.life == nil:
		return "Wall: measured once, or no loss beyond gauge error; no remaining life can be stated."
	}
	return fmt.Sprintf("Wall: about %s years left (%s to %s), from measured loss.", years(w.life.Mid), years(w.life.Lo), years(w.life.Hi))
}

func sayLeak(in Input) string {
	worst, stakes := consequence(in.Sheet.Component)
	for _, s := range stakes {
		if s.class == worst {
			return "If it leaks: " + s.sentence() + "."
		}
	}
	return "If it leaks: nobody has answered what is at stake; a middle class is assumed."
}

// sentence is the answer as it ends "If it leaks: ...".
func (s stake) sentence() string {
	switch s.name {
	case "below it":
		return s.say + " below"
	case "pressure":
		return "water at " + s.say
	case "size":
		return "a line of " + s.say
	}
	return leakWords[s.say]
}

// leakWords end the sentence for the answers on the spare and on doing without.
var leakWords = map[string]string{
	models.Spares.Say("full"): "a full spare stands by", models.Spares.Say("partial"): "the spare does part of the work",
	models.Spares.Say("manual"): "only a manual bypass", models.Spares.Say("slow"): "slow to replace", models.Spares.Say("none"): "there is no spare",
	models.Withouts.Say("nobody"): "nobody notices", models.Withouts.Say("comfort"): "comfort suffers",
	models.Withouts.Say("floor"): "one floor goes without", models.Withouts.Say("building"): "the building goes without",
	models.Withouts.Say("critical"): "a critical service goes without",
}

// why lists the few terms that made the score, each with its source.
func why(in Input, t timeline, wet wetness, w wall, s models.Score) []models.Term {
	terms := []models.Term{airTerm(in), hoursTerm(in), driveTerm(in), clockTerm(in, t, wet), wetTerm(in, t, wet)}
	terms = append(terms, factorTerms(in, t, wet)...)
	terms = append(terms, rateTerms(in, w)...)
	terms = append(terms, wallTerms(in, w)...)
	terms = append(terms, models.Term{
		Name: "likelihood", Value: fmt.Sprintf("%.1f of 5", s.Likelihood),
		Method: likelihoodWhy(in, t, w), Source: judgement})
	terms = append(terms, consequenceTerm(in, s), indexTerm(in, s))
	return append(terms, models.Term{Name: "risk", Value: fmt.Sprintf("%d of 100", s.Risk),
		Method: "4 x likelihood x consequence; it sorts, it does not predict", Source: judgement})
}

const judgement = "judgement, no published source"

func airTerm(in Input) models.Term {
	service, assumed := in.Sheet.ServiceC()
	value := "metal " + both(service)
	if assumed {
		value += ", assumed"
	}
	return models.Term{Name: "air and metal", Value: value, Method: in.Air.Source,
		Source: "ASHRAE Fundamentals 2017 ch. 1, equations 5, 6, 12"}
}

func hoursTerm(in Input) models.Term {
	return models.Term{Name: "hours below dew point",
		Value:  fmt.Sprintf("%s of %s h a year", thousands(in.Air.Below), thousands(in.Air.Hours)),
		Method: "hours with room vapor pressure above saturation at the metal, counted one by one",
		Source: "ASHRAE Fundamentals 2017 ch. 1, equations 5 and 6"}
}

func driveTerm(in Input) models.Term {
	method := "the year's net drive is outward: a wet cover can dry"
	if in.Air.Net > 0 {
		method = "the year's net drive is inward: water that gets in stays"
	}
	return models.Term{Name: "vapor drive",
		Value:  fmt.Sprintf("%.2f of the reference (%.2f of %.2f MPa·h)", in.Air.Drive/in.Policy.DriveRef, in.Air.Drive/1e6, in.Policy.DriveRef/1e6),
		Method: method, Source: "reference room 24 °C, 50 %, metal 7 °C: " + judgement}
}

func clockTerm(in Input, t timeline, wet wetness) models.Term {
	start := max(t.start, t.lastOpen)
	value := fmt.Sprintf("%.1f years since %s, seal left %s", wet.age, start.Say(), wet.cov.Seal)
	if t.flagged && !t.seen {
		return models.Term{Name: "clock", Value: value, Method: "starts at the import: no fitting date and no opening is on record", Source: "the record"}
	}
	return models.Term{Name: "clock", Value: value, Method: "starts when the cover is closed dry", Source: "the record"}
}

func wetTerm(in Input, t timeline, wet wetness) models.Term {
	source := fmt.Sprintf("learned from %d openings", in.Fit.N)
	if in.Fit.N == 0 {
		source = "expert prior, " + judgement + "; no openings have taught it yet"
	}
	method := "1 - exp(-exp(x'b + building + k ln age))"
	if t.condition == models.WetKnown || t.condition == models.Bare {
		method, source = "known, not estimated", "the record"
	}
	return models.Term{Name: "chance that it is wet today", Value: fmt.Sprintf("%s (90 %% interval %s)", percent(wet.now.Mid), span(wet.now)),
		Method: method, Source: source}
}

// factorTerms are the strongest factors of the wetness estimate.
func factorTerms(in Input, t timeline, wet wetness) []models.Term {
	if t.condition == models.Bare || t.condition == models.WetKnown {
		return nil
	}
	var terms []models.Term
	for _, f := range in.Fit.Factors(wet.cov, nil) {
		if len(terms) == 3 || math.Abs(math.Log(f.Times)) < 0.05 {
			break
		}
		terms = append(terms, models.Term{Name: "because of " + sayFactor(f),
			Value:  fmt.Sprintf("x%.1f as fast (90 %% interval %.1f-%.1f)", f.Times, f.Lo, f.Hi),
			Method: "compared with the reference cover", Source: learnedOr(f.Learned)})
	}
	return terms
}

func learnedOr(learned bool) string {
	if learned {
		return "learned from openings"
	}
	return "expert, " + judgement
}

func sayFactor(f seal.Factor) string {
	words := map[string]string{"drive": "the vapor drive", "cold": "colder metal", "dual": "the dual-temperature loop",
		"age": "the cover's age", "openings": "earlier openings", "prev_wet": "wet at the last opening", "building": "this building"}
	if say, ok := words[f.Name]; ok {
		return say
	}
	return strings.TrimSpace(map[string]string{"seal": "seal", "method": "closure", "kind": "kind"}[f.Name] + " " + strings.ReplaceAll(f.Word, "_", " and "))
}

func rateTerms(in Input, w wall) []models.Term {
	ranks := "ranks covers, does not predict metal loss; scored on " + w.part
	terms := []models.Term{
		{Name: "wetness class", Value: string(w.driver), Method: fmt.Sprintf("expected wet %s of the time over the next %g years", percent(w.wetShare), in.Policy.HorizonYears), Source: metal.WetnessCutSource.String()},
		{Name: "table rate", Value: bothRate(w.tableRate), Method: fmt.Sprintf("factors: insulation %.2f, penetrations %.2f, seal %.2f, pooling %.0f; %s", w.factors.Insulation, w.factors.Complexity, w.factors.Condition, w.factors.Pooling, ranks), Source: metal.RateTableSource.String()},
	}
	if noPublishedRate(in.Sheet.Component.Material) {
		terms = append(terms, models.Term{Name: "body", Value: "no published rate for " + models.Materials.Say(in.Sheet.Component.Material),
			Method: "the steel beside it is scored as carbon steel", Source: judgement})
	}
	if w.measured != nil {
		terms = append(terms, models.Term{Name: "measured rate", Value: bothRate(w.measured.Rate),
			Method: fmt.Sprintf("larger of long- and short-term rate (%.2f to %.2f mm/yr)", w.measured.Low, w.measured.High), Source: metal.TrendSource.String()})
	}
	return terms
}

func noPublishedRate(material string) bool {
	switch material {
	case "cast_iron", "ductile_iron", "bronze", "copper":
		return true
	}
	return false
}

func wallTerms(in Input, w wall) []models.Term {
	var terms []models.Term
	if w.required != nil {
		terms = append(terms, models.Term{Name: "required thickness", Value: bothWall(*w.required), Method: w.basis, Source: metal.StructuralSource.String() + "; " + metal.PressureSource.String()})
	}
	switch {
	case w.lastMM != nil:
		terms = append(terms, models.Term{Name: "wall at the last reading", Value: bothWall(*w.lastMM), Method: "thinnest point, " + w.lastOn.Say(), Source: "the record"})
	case w.startMM != nil:
		method := "nominal wall less 12.5 % mill tolerance; not measured"
		if w.assumed {
			method = "standard wall of this size, assumed, less 12.5 % mill tolerance; not measured"
		}
		terms = append(terms, models.Term{Name: "wall taken", Value: bothWall(*w.startMM), Method: method, Source: metal.MillToleranceSource.String()})
	}
	if !math.IsNaN(w.u) {
		value := fmt.Sprintf("%s of the margin", percent(min(1, w.u)))
		if w.measured == nil {
			value = fmt.Sprintf("order of size %s to %s of the margin", percent(min(1, w.u/metal.TableSpread)), percent(min(1, w.u*metal.TableSpread)))
		}
		terms = append(terms, models.Term{Name: "loss by the horizon", Value: value,
			Method: fmt.Sprintf("loss since the last reading and the next %g years unopened", in.Policy.HorizonYears), Source: metal.TableSpreadSource.String()})
	}
	return terms
}

func likelihoodWhy(in Input, t timeline, w wall) string {
	switch {
	case w.lastMM != nil && w.required != nil && *w.lastMM <= *w.required:
		return "the wall is at or below the required thickness"
	case t.condition == models.Bare:
		return "at least 4 while the cover is off"
	case t.dripping:
		return "at least 4 while it drips"
	case t.condition == models.WetKnown, t.seen && t.lastWet:
		return "at least 3 because it was wet at the last opening"
	case badlyRusted(in):
		return "at least 3 because of Ri 4 or worse"
	case w.lastMM == nil:
		return "the wall gives no more than 2 until it is measured"
	}
	return "share of the margin used by the horizon: 5, 15, 30, 50, 100 % are 1 to 5"
}

func consequenceTerm(in Input, s models.Score) models.Term {
	_, stakes := consequence(in.Sheet.Component)
	parts := make([]string, len(stakes))
	for i, st := range stakes {
		parts[i] = fmt.Sprintf("%s %s (%d)", st.name, st.say, st.class)
	}
	method := "worst of: " + strings.Join(parts, ", ")
	if len(stakes) == 0 {
		method = "nothing answered; 3 is assumed"
	}
	return models.Term{Name: "consequence", Value: fmt.Sprintf("%d of 5", s.Consequence), Method: method, Source: judgement}
}

func indexTerm(in Input, s models.Score) models.Term {
	return models.Term{Name: "worth of opening now", Value: fmt.Sprintf("%.2f openings", s.W),
		Method: fmt.Sprintf("W = c_w x mean life as re-closed x P(1 + 1/k, H); one year wet costs %g openings", in.Policy.WetYearCost),
		Source: "optimal interval of hidden failures, derived; costs: " + judgement}
}
