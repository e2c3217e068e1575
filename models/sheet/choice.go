package sheet

import (
	"fmt"
	"io"
	"strings"
)

// ReadChoices reads a file with the columns "field" and "column", which says
// for Match what column each field is; an empty column leaves the field out.
func ReadChoices(r io.ReaderAt, size int64, name string) (map[string]string, error) {
	t, err := Open(r, size, name, Options{})
	if err != nil {
		return nil, err
	}
	m := Match(t.Columns, []Field{{Name: "field", Title: "field", Required: true}, {Name: "column", Title: "column", Required: true}}, nil)
	if faults := m.Faults(); len(faults) > 0 {
		return nil, &faults[0]
	}
	given := map[string]string{}
	for row, err := range t.Rows() {
		if err != nil {
			return nil, err
		}
		field := strings.TrimSpace(m.Cell(row, "field"))
		if _, twice := given[field]; twice || field == "" {
			return nil, &Fault{Line: row.Line, Column: "field", Msg: fmt.Sprintf("the field %q is empty or stands here a second time; keep one line for each field", field)}
		}
		given[field] = m.Cell(row, "column")
	}
	return given, nil
}
