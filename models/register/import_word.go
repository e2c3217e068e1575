package register

import (
	"strings"
	"unicode"

	"drylag/models"
)

// synonyms are common ways of writing the words of the vocabularies in site
// registers, beside the code and what drylag says. Keys are plain (see plain).
var synonyms = map[string]string{
	"gate": "gate_valve", "gv": "gate_valve", "isolation valve": "gate_valve", "shutoff valve": "gate_valve",
	"butterfly": "butterfly_valve", "bfv": "butterfly_valve",
	"check": "check_valve", "non return valve": "check_valve", "nrv": "check_valve",
	"control valve": "control_valve", "balancing valve": "control_valve", "balance valve": "control_valve",
	"globe valve": "control_valve", "y strainer": "strainer", "basket strainer": "strainer", "str": "strainer",
	"flange": "flange_pair", "flanges": "flange_pair", "pumps": "pump", "chilled water pump": "pump", "chwp": "pump",
	"flex": "flexible_connector", "flex connector": "flexible_connector", "flexible": "flexible_connector",
	"flexible connection": "flexible_connector", "bellows": "flexible_connector",
	"ell": "elbow", "bend": "elbow", "tee": "fitting", "reducer": "fitting", "other": "fitting", "other fitting": "fitting",

	"cs": "carbon_steel", "steel": "carbon_steel", "black steel": "carbon_steel", "ci": "cast_iron", "iron": "cast_iron",
	"di": "ductile_iron", "ss": "stainless_steel", "stainless": "stainless_steel", "304": "stainless_steel", "316": "stainless_steel",
	"brass": "bronze", "bronze": "bronze", "cu": "copper", "epdm": "rubber",

	"screwed": "threaded", "npt": "threaded", "flg": "flanged", "weld": "welded", "butt welded": "welded",
	"groove": "grooved", "brazed": "soldered", "sweat": "soldered",
	"s": "supply", "chws": "supply", "flow": "supply", "r": "return", "chwr": "return", "ret": "return",
	"ground": "floor", "step ladder": "ladder", "stepladder": "ladder", "scissor lift": "lift", "platform": "lift",
	"confined space": "confined", "running": "always", "continuous": "always", "duty": "always", "stand by": "standby",

	"in use": "in_place", "installed": "in_place", "on": "in_place", "yes": "in_place", "fitted": "in_place",
	"removed": "off", "missing": "off", "not in place": "off", "left off": "off", "no": "off",
	"out of use": "retired", "scrapped": "retired", "future": "planned",

	"fiberglass": "fibrous", "fibreglass": "fibrous", "glass fiber": "fibrous", "glass wool": "fibrous", "mineral wool": "fibrous",
	"rock wool": "fibrous", "stone wool": "fibrous", "glass fibre": "fibrous", "rubber": "nitrile", "elastomeric": "nitrile",
	"nbr": "nitrile", "pe": "polyethylene", "foamglass": "cellular_glass", "pur": "foam", "pir": "foam", "polyurethane": "foam",

	"taped": "tape", "mastic": "sealant", "caulk": "sealant", "tape sealant": "tape_sealant", "sealant and tape": "tape_sealant",
	"strap": "straps", "buckles": "straps", "buckle": "straps", "lace": "lacing", "laced": "lacing",
	"velcro": "hook_loop", "hook loop": "hook_loop", "hooks": "hook_loop",

	"open": "open", "outdoor air": "open", "ventilated": "open", "conditioned space": "conditioned", "air conditioned": "conditioned",
	"electrical room": "electrical", "it": "electrical", "server room": "electrical", "lab": "patients", "laboratory": "patients",
	"operating room": "patients", "office": "offices", "store": "storage",

	"inhibitor": "medium", "primer": "medium", "coated": "high", "full system": "high", "uncoated": "none",
	"damp": "wet", "water": "wet", "beads": "wet", "ice": "wet", "pooled": "wet", "dry sound": "dry", "ok": "dry",
	"not known": "unknown", "n a": "unknown", "na": "unknown",
}

// wordOf finds the code of a word as a site writes it: its code, what drylag
// says for it, or a common synonym, in any case and with any signs between.
func wordOf(v models.Vocabulary, text string) (code string, ok bool) {
	p := plain(text)
	for _, w := range v {
		if p == plain(w.Code) || p == plain(w.Say) {
			return w.Code, true
		}
	}
	if code, ok = synonyms[p]; ok && v.Has(code) {
		return code, true
	}
	return "", false
}

// plain is a text for comparing: lower case, and one space for any run of
// spaces and signs.
func plain(s string) string {
	words := strings.FieldsFunc(strings.ToLower(s), func(c rune) bool {
		return !unicode.IsLetter(c) && !unicode.IsDigit(c)
	})
	return strings.Join(words, " ")
}

// notKnown tells whether a cell says that the answer is not known.
func notKnown(cell string) bool {
	switch strings.ToLower(strings.TrimSpace(cell)) {
	case "", "-", "?", "n/a", "na", "nil", "none known", "not known", "unknown", "tbc", "tbd":
		return true
	}
	return false
}

// choices writes a vocabulary for a person who typed something else.
func choices(v models.Vocabulary) string {
	says := make([]string, len(v))
	for i, w := range v {
		says[i] = w.Say
	}
	return strings.Join(says, ", ")
}
