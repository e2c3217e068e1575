package server

import (
	"slices"
	"strings"

	"drylag/models"
)

// field is one field of a form as a template lays it out. A page makes it with
// .Field and adds to it in a chain: ((.Field "on" "Day").Type "date").
type field struct {
	Name, Label, Fault string
	Hints              string
	UnitText           string
	Options            models.Vocabulary
	Autocomplete       string
	MayBeEmpty         bool
	EmptyText          string // the words for no answer

	kind   string
	values []string
}

// Type is the input's type where it is not text.
func (f field) Type(kind string) field { f.kind = kind; return f }

// Hint is a sentence under the label.
func (f field) Hint(sentence string) field { f.Hints = sentence; return f }

// Unit stands behind the input.
func (f field) Unit(unit string) field { f.UnitText = unit; return f }

// From gives the answers to choose from.
func (f field) From(words models.Vocabulary) field { f.Options = words; return f }

// Auto names what the browser may fill in.
func (f field) Auto(what string) field { f.Autocomplete = what; return f }

// Optional says so beside the label.
func (f field) Optional() field { f.MayBeEmpty = true; return f }

// Blank is what a list says for no answer; a group of choices offers it too,
// so that an answer can be taken back.
func (f field) Blank(words string) field { f.EmptyText = words; return f }

// InputType is the type of the input.
func (f field) InputType() string { return f.kind }

// ID is the field's place on the page; the error summary leads to it.
func (f field) ID() string { return fieldID(f.Name) }

// Value is what was typed. A password never comes back.
func (f field) Value() string {
	if f.kind == "password" || len(f.values) == 0 {
		return ""
	}
	return f.values[0]
}

// Is tells whether the answer was chosen.
func (f field) Is(code string) bool {
	if len(f.values) == 0 {
		return code == ""
	}
	return slices.Contains(f.values, code)
}

// DescribedBy names the parts that say more about the field.
func (f field) DescribedBy() string {
	var parts []string
	for _, p := range []struct {
		there bool
		end   string
	}{{f.Fault != "", "-fault"}, {f.Hints != "", "-hint"}, {f.UnitText != "", "-unit"}} {
		if p.there {
			parts = append(parts, f.ID()+p.end)
		}
	}
	return strings.Join(parts, " ")
}

func fieldID(name string) string { return "f-" + name }
