package server

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"drylag/models"
)

// sortFaults puts the faults of the page's form into the order of its fields,
// once they are laid out, and tells whether there are any. A fault of a field
// that the page does not have stays behind the fault before it.
func (sh *shell) sortFaults() bool {
	if sh.Form == nil || len(sh.Form.Faults) == 0 {
		return false
	}
	at := map[string]int{}
	for i, f := range slices.Backward(sh.asked) {
		at[f.Name] = i
	}
	places, before := map[models.Fault]int{}, -1
	for _, fault := range sh.Form.Faults {
		if i, ok := at[fault.Field]; ok {
			before = i
		}
		places[fault] = before
	}
	sh.Form.Faults = slices.Clone(sh.Form.Faults)
	slices.SortStableFunc(sh.Form.Faults, func(a, b models.Fault) int { return places[a] - places[b] })
	return true
}

// Summary is what is wrong, in the order of the fields. What is no sentence by
// itself has its field's label before it.
func (sh *shell) Summary() []models.Fault {
	out := slices.Clone(sh.Form.Faults)
	for i, fault := range out {
		at := slices.IndexFunc(sh.asked, func(f field) bool { return f.Name == fault.Field && f.Label != "" })
		if first, _ := utf8.DecodeRuneInString(fault.Msg); at >= 0 && (unicode.IsLower(first) || strings.ContainsRune("\"“", first)) {
			out[i].Msg = sh.asked[at].Label + ": " + fault.Msg
		}
	}
	return out
}
