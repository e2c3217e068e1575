package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
)

// Field is a field that columns are looked for.
type Field struct {
	Name     string   // in the program, service_temp; also looked for in the header
	Title    string   // for people, "Service temperature"; looked for too
	Synonyms []string // what else people write
	Required bool
}

// Column is the column found for a field.
type Column struct {
	Field string
	Index int    // from 0, into Table.Columns and Row.Cells
	Unit  string // as the header has it, "°F"; "" where it names none
}

// Ambiguity is a choice that only a person can make: several columns fit one
// field, or one column fits several fields.
type Ambiguity struct{ Fields, Columns []string }

// Matching says what the columns of a file are.
type Matching struct {
	Found     []Column // in the order of the columns
	Unused    []string
	Missing   []Field // required, and no column found
	Ambiguous []Ambiguity
	Wrong     []Fault // in the choices given
}

// Match finds out which column is which field. Upper case, spaces and
// punctuation do not count. Names and titles come first, then synonyms, then
// both without a unit at the end of the column: "Service temp (°F)",
// "service_temp_f". What was given wins over all of it: field to column, with
// "" for a field that is to be left out.
func Match(columns []string, wanted []Field, given map[string]string) Matching {
	m := matcher{columns: columns, wanted: wanted, taken: make([]bool, len(columns)), settled: map[string]bool{}}
	m.give(given)
	bare := make([]string, len(columns))
	for i, c := range columns {
		bare[i], _ = splitUnit(c)
	}
	names := func(f Field) []string { return []string{f.Name, f.Title} }
	synonyms := func(f Field) []string { return f.Synonyms }
	m.round(columns, names)
	m.round(columns, synonyms)
	m.round(bare, names)
	m.round(bare, synonyms)
	return m.done()
}

// Of gives the column of a field; ok is false where none was found.
func (m Matching) Of(field string) (c Column, ok bool) {
	i := slices.IndexFunc(m.Found, func(c Column) bool { return c.Field == field })
	if i < 0 {
		return c, false
	}
	return m.Found[i], true
}

// Cell gives a row's cell for a field, "" where the field has no column.
func (m Matching) Cell(r Row, field string) string {
	if c, ok := m.Of(field); ok && c.Index < len(r.Cells) {
		return r.Cells[c.Index]
	}
	return ""
}

// Faults says everything that keeps the file from being read, nil if nothing does.
func (m Matching) Faults() []Fault {
	faults := slices.Clone(m.Wrong)
	for _, a := range m.Ambiguous {
		f := Fault{Column: a.Columns[0], Msg: fmt.Sprintf("the column may be any of these fields: %s; say which", strings.Join(a.Fields, ", "))}
		if len(a.Columns) > 1 {
			f = Fault{Msg: fmt.Sprintf("the field %s may be any of these columns: %s; say which", a.Fields[0], strings.Join(a.Columns, ", "))}
		}
		faults = append(faults, f)
	}
	for _, f := range m.Missing {
		faults = append(faults, Fault{Msg: fmt.Sprintf("the file needs a column %q; add it, or say which column it is", f.Title)})
	}
	return faults
}

// matcher is a matching in the making.
type matcher struct {
	Matching
	columns []string
	wanted  []Field
	taken   []bool          // by column: not to be matched any more
	settled map[string]bool // by field: found, ambiguous, wrong or left out
}

// give takes over what a person has chosen.
func (m *matcher) give(given map[string]string) {
	for _, f := range m.wanted {
		column, ok := given[f.Name]
		if !ok {
			continue
		}
		m.settled[f.Name] = true
		if strings.TrimSpace(column) == "" {
			continue
		}
		i := m.named(column)
		if i < 0 {
			m.Wrong = append(m.Wrong, Fault{Column: column, Msg: fmt.Sprintf("the file has no such column for the field %s; it has %s", f.Name, strings.Join(m.columns, ", "))})
			continue
		}
		m.find(f, i)
	}
	fields := make([]string, len(m.wanted))
	for i, f := range m.wanted {
		fields[i] = f.Name
	}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if !slices.Contains(fields, name) {
			m.Wrong = append(m.Wrong, Fault{Column: given[name], Msg: fmt.Sprintf("there is no field %q; the fields are %s", name, strings.Join(fields, ", "))})
		}
	}
}

// named is the place of a column named as found, else in other signs, -1 for none.
func (m *matcher) named(column string) int {
	trimmed := strings.TrimSpace(column)
	if i := slices.IndexFunc(m.columns, func(c string) bool { return strings.TrimSpace(c) == trimmed }); i >= 0 {
		return i
	}
	return slices.IndexFunc(m.columns, func(c string) bool { return key(c) != "" && key(c) == key(column) })
}

func (m *matcher) find(f Field, column int) {
	_, unit := splitUnit(m.columns[column])
	m.Found = append(m.Found, Column{f.Name, column, unit})
	m.settled[f.Name], m.taken[column] = true, true
}

// round matches what is left by one kind of name.
func (m *matcher) round(columns []string, names func(Field) []string) {
	fits := map[string][]int{}    // columns by field
	wanting := map[int][]string{} // fields by column
	for _, f := range m.wanted {
		if m.settled[f.Name] {
			continue
		}
		for i, c := range columns {
			if !m.taken[i] && oneOf(names(f), c) {
				fits[f.Name] = append(fits[f.Name], i)
				wanting[i] = append(wanting[i], f.Name)
			}
		}
	}
	for _, f := range m.wanted {
		switch fit := fits[f.Name]; {
		case len(fit) == 0:
		case len(fit) > 1:
			m.doubt([]string{f.Name}, fit)
		case len(wanting[fit[0]]) == 1:
			m.find(f, fit[0])
		case wanting[fit[0]][0] == f.Name: // once for all fields that want it
			m.doubt(wanting[fit[0]], fit)
		}
	}
}

func (m *matcher) doubt(fields []string, columns []int) {
	a := Ambiguity{Fields: fields}
	for _, f := range fields {
		m.settled[f] = true
	}
	for _, i := range columns {
		m.taken[i] = true
		a.Columns = append(a.Columns, m.columns[i])
	}
	m.Ambiguous = append(m.Ambiguous, a)
}

func (m *matcher) done() Matching {
	for _, f := range m.wanted {
		_, found := m.Of(f.Name)
		asked := slices.ContainsFunc(m.Ambiguous, func(a Ambiguity) bool { return slices.Contains(a.Fields, f.Name) })
		if f.Required && !found && !asked {
			m.Missing = append(m.Missing, f)
		}
	}
	for i, c := range m.columns {
		if !m.taken[i] {
			m.Unused = append(m.Unused, c)
		}
	}
	slices.SortStableFunc(m.Found, func(a, b Column) int { return a.Index - b.Index })
	return m.Matching
}

func oneOf(names []string, column string) bool {
	k := key(column)
	return k != "" && slices.ContainsFunc(names, func(n string) bool { return key(n) == k })
}

// key is a name for comparing: lower case letters and digits only.
func key(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, s)
}
