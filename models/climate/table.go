package climate

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"drylag/models/air"
	"drylag/models/unit"
)

// Columns of an hour table. Moisture is taken from the first of these that the
// header names: vapor pressure, dew point, relative humidity.
const (
	tableHour  = "hour"
	tableDry   = "t_c"
	tableVapor = "p_w_pa"
	tableDew   = "dew_c"
	tableRH    = "rh_pct"
)

// ReadHourTable reads a comma-separated table of a whole year with the columns
// hour (0 to 8759, or 1 to 8760, in order), t_c in °C, and one of p_w_pa, dew_c
// and rh_pct; relative humidity is in percent and over ice below 0 °C. An empty
// cell is missing. Gaps of at most six hours are interpolated; any other fault
// is a *FileError with code CLIMATE_ROWS.
func ReadHourTable(r io.Reader) (Hourly, error) {
	lines, err := readLines(r)
	if err != nil {
		return Hourly{}, err
	}
	if len(lines) == 0 {
		return Hourly{}, whole(CodeRows, "file", "is empty")
	}
	table, err := readTableHead(lines[0])
	if err != nil {
		return Hourly{}, err
	}
	rows := lines[1:]
	hours, err := yearLength(len(rows), 1)
	if err != nil {
		return Hourly{}, err
	}
	sums := newHourSums(hours)
	var faults []Fault
	for i, row := range rows {
		faults = append(faults, table.add(sums, i, row)...)
	}
	if len(faults) > 0 {
		return Hourly{}, &FileError{Code: CodeRows, Faults: faults}
	}
	return wholeYear(Hourly{Hours: sums.hours(), Pressure: air.PressureAtAltitude(0)})
}

// tableColumns holds where the columns of a table stand, -1 where there is none.
type tableColumns struct {
	hour, dry, moist int
	moisture         string // tableVapor, tableDew or tableRH
	first            int    // number of the first hour
	width            int
}

func readTableHead(head line) (*tableColumns, error) {
	at := map[string]int{}
	fields := splitComma(strings.ToLower(head.text))
	for i, name := range fields {
		at[name] = i
	}
	t := &tableColumns{width: len(fields)}
	var known [2]bool
	t.hour, known[0] = at[tableHour]
	t.dry, known[1] = at[tableDry]
	for _, name := range []string{tableVapor, tableDew, tableRH} {
		if column, ok := at[name]; ok && t.moisture == "" {
			t.moist, t.moisture = column, name
		}
	}
	if !known[0] || !known[1] || t.moisture == "" {
		return nil, &FileError{Code: CodeRows, Faults: []Fault{{head.number, "header", "",
			"needs the columns hour, t_c and one of p_w_pa, dew_c, rh_pct"}}}
	}
	return t, nil
}

// add reads row i into the sums.
func (t *tableColumns) add(sums *hourSums, i int, row line) []Fault {
	fields := splitComma(row.text)
	if len(fields) != t.width {
		return []Fault{{row.number, "row", "", fmt.Sprintf("has %d fields, the header %d", len(fields), t.width)}}
	}
	hour, err := strconv.Atoi(fields[t.hour])
	if i == 0 && hour == 1 {
		t.first = 1
	}
	if err != nil || hour != i+t.first {
		return []Fault{{row.number, tableHour, fields[t.hour], fmt.Sprintf("the next hour is %d", i+t.first)}}
	}
	dry, moist := math.NaN(), math.NaN()
	for _, cell := range []struct {
		column int
		value  *float64
		name   string
	}{{t.dry, &dry, tableDry}, {t.moist, &moist, t.moisture}} {
		text := fields[cell.column]
		if text == "" {
			continue
		}
		value, ok := number64(text)
		if !ok {
			return []Fault{{row.number, cell.name, text, "is not a number"}}
		}
		*cell.value = value
	}
	vapor, fault := moisture(t.moisture, dry, moist)
	if fault != "" {
		return []Fault{{row.number, t.moisture, fields[t.moist], fault}}
	}
	sums.add(i, unit.Celsius(dry), vapor)
	return nil
}

// moisture turns a reading of the named kind into vapor pressure, NaN where it
// is missing. The message is empty unless the reading cannot be true of air at dryC.
func moisture(kind string, dryC, reading float64) (vapor unit.Pascal, msg string) {
	missing := unit.Pascal(math.NaN())
	dry := unit.Celsius(dryC)
	sat := air.SatPressure(dry)
	switch {
	case !math.IsNaN(dryC) && math.IsNaN(float64(sat)):
		return missing, fmt.Sprintf("needs a dry bulb of -100 to 200 °C, not %v", dryC)
	case math.IsNaN(reading):
		return missing, ""
	}
	switch kind {
	case tableVapor:
		if reading <= 0 || unit.Pascal(reading) > sat*(1+1e-9) {
			return missing, "must be above 0 and at most saturation"
		}
		return unit.Pascal(reading), ""
	case tableDew:
		if reading < float64(air.MinTemp) || reading > dryC+saturatedSlack {
			return missing, "is above the dry bulb or below -100 °C"
		}
		return vaporAt(reading, dryC), ""
	default:
		if reading <= 0 || reading > 100 {
			return missing, "must be above 0 and at most 100 %"
		}
		return air.VaporPressure(dry, unit.Fraction(reading/100)), ""
	}
}

// WriteHourTable writes a year as ReadHourTable reads it, digit for digit. Name,
// source, zone, elevation, pressure and origins are not in the table.
func WriteHourTable(w io.Writer, climate Hourly) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%s,%s,%s\n", tableHour, tableDry, tableVapor)
	for i, h := range climate.Hours {
		fmt.Fprintf(out, "%d,%s,%s\n", i, cell(float64(h.T)), cell(float64(h.Vapor)))
	}
	return out.Flush()
}

// cell prints a number so that it reads back the same, nothing for NaN.
func cell(value float64) string {
	if math.IsNaN(value) {
		return ""
	}
	return strconv.FormatFloat(value, 'g', -1, 64)
}
