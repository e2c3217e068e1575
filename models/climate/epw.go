package climate

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"drylag/models/air"
	"drylag/models/unit"
)

// Columns of an EPW data row, counted from 0, and the codes that mean missing
// (a value at or above the code). Source: EnergyPlus Auxiliary Programs, EPW
// data dictionary.
const (
	epwMonth, epwDay, epwHour = 1, 2, 3

	epwDryBulb, epwDewPoint, epwPressure = 6, 7, 9

	missingTemp     = 99.9
	missingPressure = 999999
)

// saturatedSlack is how far a dew point may lie above the dry bulb and still
// count as saturated air: both are rounded on their own (a judgement of this
// project).
const saturatedSlack = 0.5

// ReadEPW reads an hourly weather file in EnergyPlus weather format. The dew
// point is used, never the column of relative humidity, which disagrees with it
// in real files. Hour 1 covers 00:00 to 01:00; the year of a row is ignored;
// several records in an hour are averaged. Gaps of at most six hours are
// interpolated; anything else that keeps the file from being a whole year is a
// *FileError with code CLIMATE_ROWS and a fault for each line or gap.
func ReadEPW(r io.Reader) (Hourly, error) {
	lines, err := readLines(r)
	if err != nil {
		return Hourly{}, err
	}
	if len(lines) == 0 || !strings.EqualFold(firstField(lines[0].text), "LOCATION") {
		return Hourly{}, whole(CodeRows, "file", "the first line does not start with LOCATION: not an EPW file")
	}
	head, rows := splitEPW(lines)
	climate, perHour, faults := readEPWHead(head)
	if len(faults) > 0 {
		return Hourly{}, &FileError{Code: CodeRows, Faults: faults}
	}
	hours, err := yearLength(len(rows), perHour)
	if err != nil {
		return Hourly{}, err
	}
	sums := newHourSums(hours)
	for _, row := range rows {
		faults = append(faults, sums.addEPW(row, perHour)...)
	}
	if len(faults) > 0 {
		return Hourly{}, &FileError{Code: CodeRows, Faults: faults}
	}
	climate.Hours = sums.hours()
	climate.Pressure = sums.meanPressure(climate.Elevation)
	return wholeYear(climate)
}

// splitEPW parts header records from data rows: data begin with a number.
func splitEPW(lines []line) (head, rows []line) {
	for i, l := range lines {
		if _, err := strconv.Atoi(firstField(l.text)); err == nil {
			return lines[:i], lines[i:]
		}
	}
	return lines, nil
}

// readEPWHead reads place, zone and elevation from LOCATION and the records per
// hour from DATA PERIODS.
func readEPWHead(head []line) (climate Hourly, perHour int, faults []Fault) {
	perHour = 1
	for _, l := range head {
		fields := splitComma(l.text)
		switch strings.ToUpper(fields[0]) {
		case "LOCATION":
			faults = append(faults, readLocation(&climate, fields, l.number)...)
		case "DATA PERIODS":
			if len(fields) < 3 {
				continue
			}
			n, err := strconv.Atoi(fields[2])
			if err != nil || n < 1 || n > 60 {
				faults = append(faults, Fault{l.number, "records per hour", fields[2], "must be a whole number from 1 to 60"})
				continue
			}
			perHour = n
		}
	}
	return climate, perHour, faults
}

// readLocation reads LOCATION,city,state,country,source,WMO,lat,long,zone,elevation.
func readLocation(climate *Hourly, fields []string, number int) []Fault {
	if len(fields) < 10 {
		return []Fault{{number, "LOCATION", "", fmt.Sprintf("has %d fields, needs 10", len(fields))}}
	}
	var faults []Fault
	climate.Name = joinWords(fields[1], fields[2], fields[3])
	climate.Source = joinWords(fields[4], fields[5])
	zone, ok := number64(fields[8])
	if !ok || math.Abs(zone) > 14 {
		faults = append(faults, Fault{number, "time zone", fields[8], "must be hours from -14 to 14"})
	}
	elevation, ok := number64(fields[9])
	if !ok || math.IsNaN(float64(air.PressureAtAltitude(unit.Meter(elevation)))) {
		faults = append(faults, Fault{number, "elevation", fields[9], "must be -500 to 11000 m"})
	}
	climate.Zone = time.Duration(zone * float64(time.Hour))
	climate.Elevation = unit.Meter(elevation)
	return faults
}

// yearLength returns 8760 or 8784, whichever the rows fill.
func yearLength(rows, perHour int) (int, error) {
	switch rows {
	case CommonYear * perHour:
		return CommonYear, nil
	case LeapYear * perHour:
		return LeapYear, nil
	}
	return 0, whole(CodeRows, "rows", "%d rows at %d an hour; a whole year has %d or %d",
		rows, perHour, CommonYear*perHour, LeapYear*perHour)
}

// addEPW adds one data row to its hour.
func (s *hourSums) addEPW(row line, perHour int) []Fault {
	fields := splitComma(row.text)
	if len(fields) <= epwPressure {
		return []Fault{{row.number, "row", "", fmt.Sprintf("has %d fields, needs at least %d", len(fields), epwPressure+1)}}
	}
	i, ok := epwIndex(fields, len(s.n))
	if !ok {
		return []Fault{{row.number, "month, day, hour", strings.Join(fields[epwMonth:epwHour+1], " "),
			fmt.Sprintf("is no hour of a year of %d hours", len(s.n))}}
	}
	if s.rows[i]++; s.rows[i] > perHour {
		return []Fault{{row.number, "month, day, hour", strings.Join(fields[epwMonth:epwHour+1], " "), "appears more than once"}}
	}
	reading, faults := readEPWRow(fields, row.number)
	if len(faults) > 0 {
		return faults
	}
	s.addPressure(reading.pressurePa)
	s.add(i, unit.Celsius(reading.dryC), vaporAt(reading.dewC, reading.dryC))
	return nil
}

// epwReading is what is used of a row; NaN is missing.
type epwReading struct{ dryC, dewC, pressurePa float64 }

func readEPWRow(fields []string, number int) (epwReading, []Fault) {
	var reading epwReading
	var faults []Fault
	read := func(name string, column int, missing, low, high float64) float64 {
		value, msg := epwValue(fields[column], missing, low, high)
		if msg != "" {
			faults = append(faults, Fault{number, name, fields[column], msg})
		}
		return value
	}
	reading.dryC = read("dry bulb", epwDryBulb, missingTemp, -70, 70)
	reading.dewC = read("dew point", epwDewPoint, missingTemp, -70, 70)
	reading.pressurePa = read("station pressure", epwPressure, missingPressure, 31000, 120000)
	if reading.dewC > reading.dryC+saturatedSlack {
		faults = append(faults, Fault{number, "dew point", fields[epwDewPoint], "is above the dry bulb"})
	}
	return reading, faults
}

// epwIndex returns the hour of the year of a row; hour 1 to 24 is the hour ending then.
func epwIndex(fields []string, hours int) (int, bool) {
	month, errMonth := strconv.Atoi(fields[epwMonth])
	day, errDay := strconv.Atoi(fields[epwDay])
	hour, errHour := strconv.Atoi(fields[epwHour])
	if errMonth != nil || errDay != nil || errHour != nil {
		return 0, false
	}
	return HourOfYear(time.Month(month), day, hour-1, hours)
}

// epwValue reads one value, NaN where it is blank or coded missing. The message
// is empty unless the value is neither missing nor strictly between low and high.
func epwValue(text string, missing, low, high float64) (value float64, msg string) {
	if text == "" {
		return math.NaN(), ""
	}
	value, ok := number64(text)
	switch {
	case !ok:
		return math.NaN(), "is not a number"
	case value >= missing:
		return math.NaN(), ""
	case value <= low || value >= high:
		return math.NaN(), fmt.Sprintf("is outside %v to %v", low, high)
	}
	return value, ""
}

// vaporAt returns the vapor pressure of a dew point, at most saturation at dry.
func vaporAt(dewC, dryC float64) unit.Pascal {
	if math.IsNaN(dryC) {
		return air.SatPressure(unit.Celsius(dewC))
	}
	return air.SatPressure(unit.Celsius(math.Min(dewC, dryC)))
}
