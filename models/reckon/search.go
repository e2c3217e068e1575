package reckon

import "strings"

// Search lists the quantities in which every one of the words occurs: in title,
// question, group, inputs, outputs or method. No words find all.
func Search(words string) []Quantity {
	wanted := strings.Fields(strings.ToLower(words))
	var found []Quantity
	for _, q := range quantities {
		if q.has(wanted) {
			found = append(found, q)
		}
	}
	return found
}

func (q Quantity) has(words []string) bool {
	parts := []string{q.Name, q.Title, q.Answers, string(q.Group), q.Method, q.Source.Text}
	for _, in := range q.Inputs {
		parts = append(parts, in.Label)
	}
	for _, o := range q.Outputs {
		parts = append(parts, o.Label)
	}
	text := strings.ToLower(strings.Join(parts, "\n"))
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}
