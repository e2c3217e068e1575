package seal

import (
	"fmt"
	"slices"
)

// checkWords looks for words without a column. A seal that is none is a fault:
// it must not pass for sound. Another word counts as the reference, which is
// noted once with the number of rows.
func (s Study) checkWords(out *Findings, t *Table, rows Rows, p Prior) error {
	known := newDesign(p.names())
	type unknown struct{ family, word string }
	count, first := map[unknown]int{}, map[unknown]int{}
	var order []unknown
	for i := range rows.Episodes {
		words := rows.Episodes[i].Covariates.words()
		for f, word := range words {
			if _, ok := known.word[f][word]; ok || isReference(families[f], word) {
				continue
			}
			if families[f] == "group" && len(known.word[f]) == 0 {
				continue // groups only part the steps
			}
			u := unknown{families[f], word}
			if u.family == "seal" {
				return t.named(fmt.Errorf("line %d, column seal: %q is none of sound, repaired, poor, unknown; a prior row seal_%s gives it a meaning",
					rows.Lines[i], word, word))
			}
			if count[u]++; count[u] == 1 {
				first[u] = rows.Lines[i]
				order = append(order, u)
			}
		}
	}
	for _, u := range order {
		out.Notes = append(out.Notes, t.named(fmt.Errorf("%s %q (%d rows, first on line %d) has no column and counts as the reference; a prior row %s_%s gives it one",
			u.family, u.word, count[u], first[u], u.family, u.word)).Error())
	}
	return nil
}

// words are the words of the families, in their order.
func (c *Covariates) words() [len(families)]string {
	return [len(families)]string{string(c.Seal), string(c.Method), string(c.Kind), c.Group}
}

// isReference tells whether a word means the reference cover by itself.
func isReference(family, word string) bool {
	switch family {
	case "seal":
		return word == "" || word == string(Sound)
	case "group":
		return word == ""
	}
	return word == "" || word == string(Unknown)
}

// distinct lists what key says of the episodes, "" left out, in the order of
// first appearance.
func distinct(episodes []Episode, key func(*Episode) string) []string {
	var words []string
	seen := map[string]bool{"": true}
	for i := range episodes {
		if w := key(&episodes[i]); !seen[w] {
			seen[w] = true
			words = append(words, w)
		}
	}
	return slices.Clip(words)
}

// Groups lists the groups of episodes in the order of their first appearance.
func Groups(episodes []Episode) []string {
	return distinct(episodes, func(e *Episode) string { return e.Covariates.Group })
}
