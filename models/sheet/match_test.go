package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var coverFields = []Field{
	{Name: "tag", Title: "Tag", Synonyms: []string{"component id", "equipment no"}, Required: true},
	{Name: "service_temp", Title: "Service temperature", Synonyms: []string{"service temp", "fluid temp", "operating temperature"}, Required: true},
	{Name: "room", Title: "Room", Synonyms: []string{"location"}},
	{Name: "nominal_wall", Title: "Nominal wall", Synonyms: []string{"wall", "wall thickness"}},
}

func TestMatch(t *testing.T) {
	for _, c := range []struct {
		name    string
		columns []string
		given   map[string]string
		found   []Column
		unused  []string
		faults  []string
	}{
		{"names", []string{"tag", "service_temp"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, nil, nil},
		{"titles in any case and signs", []string{"SERVICE-TEMPERATURE", " Tag: "}, nil, []Column{{"service_temp", 0, ""}, {"tag", 1, ""}}, nil, nil},
		{"synonyms", []string{"Equipment No.", "Fluid temp", "Location"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}, {"room", 2, ""}}, nil, nil},
		{"unit in brackets", []string{"Tag", "Service temp (°F)"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, "°F"}}, nil, nil},
		{"unit in square brackets, by name", []string{"Tag", "Service Temperature [deg C]"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, "deg C"}}, nil, nil},
		{"unit after an underscore", []string{"Tag", "service_temp_f", "wall_in"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, "f"}, {"nominal_wall", 2, "in"}}, nil, nil},
		{"unit as the last word", []string{"Tag", "Service temp °F", "Wall thickness in mm"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, "°F"}, {"nominal_wall", 2, "mm"}}, nil, nil},
		{"name wins over synonym", []string{"Tag", "Service temp", "Wall", "Nominal wall", "Location", "Room"}, nil,
			[]Column{{"tag", 0, ""}, {"service_temp", 1, ""}, {"nominal_wall", 3, ""}, {"room", 5, ""}}, []string{"Wall", "Location"}, nil},
		{"without unit wins over with", []string{"Tag", "Service temp", "Service temp (°F)"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, []string{"Service temp (°F)"}, nil},
		{"two units", []string{"Tag", "Service temp (°F)", "Service temp (°C)"}, nil, []Column{{"tag", 0, ""}}, nil,
			[]string{"the field service_temp may be any of these columns: Service temp (°F), Service temp (°C); say which"}},
		{"two synonyms", []string{"Tag", "Service temp", "Wall", "Wall thickness"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, nil,
			[]string{"the field nominal_wall may be any of these columns: Wall, Wall thickness; say which"}},
		{"least wall is no unit", []string{"Tag", "Service temp", "Wall (min)"}, nil, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, []string{"Wall (min)"}, nil},
		{"missing", []string{"Tag", "Note", "***"}, nil, []Column{{"tag", 0, ""}}, []string{"Note", "***"},
			[]string{`the file needs a column "Service temperature"; add it, or say which column it is`}},
		{"given", []string{"Tag", "Temp (°F)", "Service temp"}, map[string]string{"service_temp": " Temp (°F)"},
			[]Column{{"tag", 0, ""}, {"service_temp", 1, "°F"}}, []string{"Service temp"}, nil},
		{"given in other signs", []string{"Tag", "Temp (°F)"}, map[string]string{"service_temp": "temp °f"}, []Column{{"tag", 0, ""}, {"service_temp", 1, "°F"}}, nil, nil},
		{"given ends a doubt", []string{"Tag", "Service temp (°F)", "Service temp (°C)"}, map[string]string{"service_temp": "Service temp (°C)"},
			[]Column{{"tag", 0, ""}, {"service_temp", 2, "°C"}}, []string{"Service temp (°F)"}, nil},
		{"left out", []string{"Tag", "Service temp", "Room"}, map[string]string{"room": ""}, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, []string{"Room"}, nil},
		{"given column not there", []string{"Tag", "Service temp"}, map[string]string{"room": "Place"}, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, nil,
			[]string{"column Place: the file has no such column for the field room; it has Tag, Service temp"}},
		{"given field not there", []string{"Tag", "Service temp"}, map[string]string{"rom": "Tag"}, []Column{{"tag", 0, ""}, {"service_temp", 1, ""}}, nil,
			[]string{`column Tag: there is no field "rom"; the fields are tag, service_temp, room, nominal_wall`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := Match(c.columns, coverFields, c.given)
			require.Equal(t, c.found, m.Found)
			require.Equal(t, c.unused, m.Unused)
			var says []string
			for _, f := range m.Faults() {
				says = append(says, f.Error())
			}
			require.Equal(t, c.faults, says)
		})
	}
}

func TestMatchOneColumnForTwo(t *testing.T) {
	m := Match([]string{"date"}, []Field{
		{Name: "opened", Title: "Opened", Synonyms: []string{"Date"}, Required: true},
		{Name: "entered", Title: "Entered", Synonyms: []string{"date"}, Required: true},
	}, nil)
	require.Equal(t, []Ambiguity{{[]string{"opened", "entered"}, []string{"date"}}}, m.Ambiguous)
	require.Empty(t, m.Missing, "a doubt is told once")
	require.Len(t, m.Faults(), 1)
	require.Equal(t, "column date: the column may be any of these fields: opened, entered; say which", m.Faults()[0].Error())
}

func TestMatchCell(t *testing.T) {
	m := Match([]string{"Room", "Tag"}, coverFields, nil)
	row := Row{Line: 2, Cells: []string{"B12", "V-1"}}
	require.Equal(t, "V-1", m.Cell(row, "tag"))
	require.Empty(t, m.Cell(row, "nominal_wall"))
	require.Empty(t, m.Cell(Row{}, "tag"))
}

func TestSplitUnit(t *testing.T) {
	for _, c := range []struct{ column, name, unit string }{
		{"Service temp (°F)", "Service temp", "°F"},
		{"Service temp ( ºC )", "Service temp", "ºC"},
		{"Service temp, °F", "Service temp", "°F"},
		{"Temp deg F", "Temp", "deg F"},
		{"Temp degrees F", "Temp", "degrees F"},
		{"Temp deg. F", "Temp", "deg. F"},
		{"Room RH %", "Room RH", "%"},
		{"Room (% RH)", "Room", "% RH"},
		{`Size (")`, "Size", `"`},
		{"Length (in.)", "Length", "in."},
		{"Film (μm)", "Film", "μm"},
		{"Permeance (ng/(Pa·s·m²))", "Permeance", "ng/(Pa·s·m²)"},
		{"Conductivity (Btu-in/(h·ft²·°F))", "Conductivity", "Btu-in/(h·ft²·°F)"},
		{"Conductivity (W/m·K)", "Conductivity", "W/m·K"},
		{"Temp (service) (°F)", "Temp (service)", "°F"},
		{"Date in", "Date in", ""},
		{"Loop C", "Loop C", ""},
		{"Wall (min)", "Wall (min)", ""},
		{"wall_min", "wall_min", ""},
		{"Tag (old)", "Tag (old)", ""},
		{"°F", "°F", ""},
		{"(°F)", "(°F)", ""},
		{"", "", ""},
	} {
		name, unit := splitUnit(c.column)
		require.Equal(t, [2]string{c.name, c.unit}, [2]string{name, unit}, c.column)
	}
}

func TestReadChoices(t *testing.T) {
	read := func(text string) (map[string]string, error) {
		return ReadChoices(strings.NewReader(text), int64(len(text)), "map.csv")
	}
	got, err := read("field,column\nservice_temp,Temp (°F)\n tag ,\"No., old\"\nroom,\n")
	require.NoError(t, err)
	require.Equal(t, map[string]string{"service_temp": "Temp (°F)", "tag": "No., old", "room": ""}, got)
	for _, c := range []struct{ text, says string }{
		{"", "the file is empty"},
		{"feld,column\ntag,Tag\n", `the file needs a column "field"`},
		{"field,column\ntag,Tag\ntag,No\n", `line 3, column field: the field "tag" is empty or stands here a second time`},
		{"field,column\n,Tag\n", `line 2, column field: the field "" is empty`},
		{"field,column\ntag\n", "line 2: the row has 1 cells"},
	} {
		_, err := read(c.text)
		require.ErrorContains(t, err, c.says)
	}
}
