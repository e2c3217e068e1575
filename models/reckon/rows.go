package reckon

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// readRows reads a list of objects, as layers of insulation are: each field of
// a row is a plain number, in the units that stand in their order in the unit of
// the input, "m, W/(m K), W/(m K2)". Remarks behind the units are passed over;
// units that are left out are the fields' own.
func (in Input) readRows(g Given) (value, error) {
	fields, err := in.fieldsIn(g.Unit)
	if err != nil {
		return value{}, err
	}
	var rows []map[string]json.RawMessage
	if isNull(g.Value) || json.Unmarshal(g.Value, &rows) != nil || len(rows) == 0 {
		return value{}, fault(in.Code, in.Name, "%s is a list of one or more rows of %s, not %s", in.Label, in.fieldNames(), said(g.Value))
	}
	if len(rows) > mostRows {
		return value{}, fault(in.Code, in.Name, "%s has %d rows; %d are the most", in.Label, len(rows), mostRows)
	}
	v := value{there: true, rows: make([]map[string]float64, len(rows))}
	for i, row := range rows {
		if v.rows[i], err = in.readRow(i, row, fields); err != nil {
			return value{}, err
		}
	}
	return v, nil
}

// mostRows bounds the rows of one input.
const mostRows = 50

// fieldIn is a field with the unit in which its values stand.
type fieldIn struct {
	Input
	given string
}

// fieldsIn pairs the fields with the units given.
func (in Input) fieldsIn(text string) ([]fieldIn, error) {
	units := strings.Split(withoutRemark(text), ",")
	if len(units) > len(in.Fields) {
		return nil, fault(UnknownUnit, in.Name, "%q has more units than %s has fields (%s)", shorten(text), in.Label, in.fieldNames())
	}
	fields := make([]fieldIn, len(in.Fields))
	for i, f := range in.Fields {
		fields[i] = fieldIn{Input: f, given: f.Unit}
		if i < len(units) && strings.TrimSpace(units[i]) != "" {
			fields[i].given = strings.TrimSpace(units[i])
		}
		if _, err := f.units(fields[i].given); err != nil {
			known := err.(*Fault)
			return nil, fault(known.Code, in.Name, "%s: %s", f.Name, known.Message)
		}
	}
	return fields, nil
}

// withoutRemark cuts off a remark in brackets behind the units: a bracket after
// a space that holds an equals sign.
func withoutRemark(text string) string {
	if i := strings.LastIndex(text, " ("); i >= 0 && strings.Contains(text[i:], "=") {
		return text[:i]
	}
	return text
}

func (in Input) fieldNames() string {
	names := make([]string, len(in.Fields))
	for i, f := range in.Fields {
		names[i] = f.Name
	}
	return strings.Join(names, ", ")
}

// readRow reads one row; a fault names it as in "layers[0].k0".
func (in Input) readRow(i int, row map[string]json.RawMessage, fields []fieldIn) (map[string]float64, error) {
	at := func(field string) string { return fmt.Sprintf("%s[%d].%s", in.Name, i, field) }
	for name := range row {
		if !slices.ContainsFunc(fields, func(f fieldIn) bool { return f.Name == name }) {
			return nil, fault(UnknownInput, at(shorten(name)), "a row of %s has %s", in.Label, in.fieldNames())
		}
	}
	values := make(map[string]float64, len(fields))
	for _, f := range fields {
		raw, there := row[f.Name]
		usual, optional := f.Default.(float64)
		switch {
		case !there && optional:
			values[f.Name] = usual
			continue
		case !there:
			return nil, fault(MissingInput, at(f.Name), "give %s", f.asked())
		}
		named := f.Input
		named.Name = at(f.Name)
		n, err := named.number(raw, f.given)
		if err != nil {
			return nil, err
		}
		values[f.Name] = n
	}
	return values, nil
}
