package climate

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
)

// Fields of a logger file, as LoggerOptions.Columns may name them.
const (
	FieldTime  = "time"           // date, or date and time of day
	FieldClock = "clock"          // time of day in a column of its own
	FieldTemp  = "temp"           // air temperature
	FieldRH    = "rh"             // relative humidity, %
	FieldDew   = "dew_point"      // dew or frost point
	FieldVapor = "vapor_pressure" // Pa
)

// LoggerColumn says how a column was understood.
type LoggerColumn struct {
	Heading string // as it stands in the file
	Field   string // FieldTime and its kind
	Unit    string // "degC", "degF", "%", "Pa"; "" for times
}

var loggerFields = []string{FieldTime, FieldClock, FieldTemp, FieldRH, FieldDew, FieldVapor}

// headLines is how far down a heading is looked for.
const headLines = 100

// loggerHead says where the columns stand and how to read them.
type loggerHead struct {
	delim    rune
	at       map[string]int // field -> column
	unit     map[string]string
	moisture string // FieldVapor, FieldDew or FieldRH
	columns  []LoggerColumn
	fixed    *time.Location // named in the heading of the time
	comma    bool
	again    map[string]string // field -> heading of a second column that is the same field
}

// findHead finds the first line that names time, temperature and moisture.
func findHead(lines []line, o LoggerOptions) (*loggerHead, []line, error) {
	if len(lines) == 0 {
		return nil, nil, whole(CodeLogger, "file", "is empty")
	}
	for i, l := range lines[:min(headLines, len(lines))] {
		if strings.ContainsRune(l.text, 0) {
			return nil, nil, whole(CodeLogger, "file", "is no plain text: export it as CSV in UTF-8")
		}
		for _, delim := range []rune{',', ';', '\t'} {
			head := readHead(splitQuoted(l.text, delim), o)
			if head == nil {
				continue
			}
			head.delim = delim
			if err := head.oneEach(l.number); err != nil {
				return nil, nil, err
			}
			if err := head.settleUnits(l.number, o); err != nil {
				return nil, nil, err
			}
			return head, lines[i+1:], nil
		}
	}
	return nil, nil, whole(CodeLogger, "heading",
		"no line names columns for time, temperature and humidity or dew point, such as: Time, Temp (°F), RH (%%)")
}

// readHead returns nil unless the cells name all that is needed.
func readHead(cells []string, o LoggerOptions) *loggerHead {
	h := &loggerHead{at: map[string]int{}, unit: map[string]string{}, comma: o.DecimalComma, again: map[string]string{}}
	fields := fieldsOf(cells, o)
	for i, field := range fields {
		if field == "" {
			continue
		}
		if _, taken := h.at[field]; taken {
			h.again[field] = cells[i]
			continue
		}
		h.at[field] = i
		h.unit[field] = unitOf(field, words(cells[i]))
		h.columns = append(h.columns, LoggerColumn{Heading: cells[i], Field: field})
	}
	for _, field := range []string{FieldRH, FieldDew, FieldVapor} {
		if _, ok := h.at[field]; ok {
			h.moisture = field
		}
	}
	column, timed := h.at[FieldTime]
	_, warm := h.at[FieldTemp]
	if !timed || !warm || h.moisture == "" {
		return nil
	}
	h.fixed = zoneIn(cells[column])
	return h
}

// oneEach refuses a second column for what is read: one of the two would be
// passed over without a word.
func (h *loggerHead) oneEach(number int) error {
	var faults []Fault
	for _, c := range h.columns {
		second, ok := h.again[c.Field]
		if !ok || (c.Field == FieldRH || c.Field == FieldDew || c.Field == FieldVapor) && c.Field != h.moisture {
			continue
		}
		faults = append(faults, Fault{number, c.Field, "",
			fmt.Sprintf("the columns %q and %q may both be it: say which one is %s, or delete the other", c.Heading, second, c.Field)})
	}
	if len(faults) > 0 {
		return &FileError{Code: CodeLogger, Faults: faults}
	}
	return nil
}

// fieldsOf returns the field of each cell, "" for none. What is stated goes
// before what a heading seems to be. Where no column is a date, the one named
// "Time" holds both.
func fieldsOf(cells []string, o LoggerOptions) []string {
	fields := make([]string, len(cells))
	for i, heading := range cells {
		field, stated := o.Columns[heading]
		if !stated {
			if field = fieldOf(words(heading)); statedElse(o.Columns, cells, field) {
				continue
			}
		}
		if slices.Contains(loggerFields, field) {
			fields[i] = field
		}
	}
	if clock := slices.Index(fields, FieldClock); clock >= 0 && !slices.Contains(fields, FieldTime) {
		fields[clock] = FieldTime
	}
	return fields
}

// statedElse tells whether another column of the file is stated to be the field.
func statedElse(columns map[string]string, cells []string, field string) bool {
	for heading, f := range columns {
		if f == field && slices.Contains(cells, heading) {
			return true
		}
	}
	return false
}

// settleUnits asks for a temperature unit that neither heading nor options name.
func (h *loggerHead) settleUnits(number int, o LoggerOptions) error {
	for _, field := range []string{FieldTemp, FieldDew} {
		if _, ok := h.at[field]; ok && h.unit[field] == "" {
			h.unit[field] = o.TempUnit
		}
	}
	if h.unit[FieldTemp] == "" {
		h.unit[FieldTemp] = h.unit[FieldDew]
	}
	if h.unit[FieldDew] == "" {
		h.unit[FieldDew] = h.unit[FieldTemp]
	}
	if unit := h.unit[FieldTemp]; unit != "degC" && unit != "degF" {
		return &FileError{Code: CodeLogger, Faults: []Fault{{number, "temperature", "",
			"the heading names no unit: write Temp (°F) or Temp (°C)"}}}
	}
	for i, c := range h.columns {
		if c.Field == FieldTime || c.Field == FieldClock {
			continue
		}
		h.columns[i].Unit = h.unit[c.Field]
	}
	return nil
}

// zone returns the zone of times that carry none.
func (h *loggerHead) zone(o LoggerOptions) *time.Location {
	switch {
	case h.fixed != nil:
		return h.fixed
	case o.Location != nil:
		return o.Location
	}
	return time.UTC
}

// headingWords maps a word of a heading to its field. A heading with a word of
// otherWords is none of them.
var headingWords = map[string]string{
	"date": FieldTime, "datetime": FieldTime, "timestamp": FieldTime, "time": FieldClock, "clock": FieldClock,
	"temp": FieldTemp, "temperature": FieldTemp, "temps": FieldTemp, "t": FieldTemp, "dry": FieldTemp, "drybulb": FieldTemp,
	"tempc": FieldTemp, "tempf": FieldTemp,
	"rh": FieldRH, "humidity": FieldRH, "hum": FieldRH, "relhum": FieldRH,
	"dew": FieldDew, "dewpt": FieldDew, "dewpoint": FieldDew, "dp": FieldDew, "td": FieldDew, "frost": FieldDew,
	"vapor": FieldVapor, "vapour": FieldVapor,
}

var otherWords = []string{"absolute", "abs", "specific", "ratio", "mixing", "wet", "heat", "enthalpy", "alarm", "min",
	"max", "high", "low", "deficit", "zone", "battery", "status"}

// fieldOf returns the field that the words of a heading name, "" for none. Dew
// point and vapor pressure go before temperature and humidity, which the same
// heading may hold; a date goes before a time.
func fieldOf(words []string) string {
	named := map[string]bool{}
	for _, w := range words {
		if slices.Contains(otherWords, w) {
			return ""
		}
		if field, ok := headingWords[w]; ok {
			named[field] = true
		}
	}
	if slices.Equal(words, []string{"p", "w", "pa"}) {
		named[FieldVapor] = true
	}
	if !slices.Contains(words, "pa") { // kPa and the like are not read
		delete(named, FieldVapor)
	}
	for _, field := range []string{FieldTime, FieldClock, FieldDew, FieldVapor, FieldRH, FieldTemp} {
		if named[field] {
			return field
		}
	}
	return ""
}

// unitOf returns the unit that the words of a heading name.
func unitOf(field string, words []string) string {
	switch field {
	case FieldRH:
		return "%"
	case FieldVapor:
		return "Pa"
	case FieldTime, FieldClock:
		return ""
	}
	for _, w := range words {
		switch w {
		case "c", "degc", "celsius", "centigrade", "tempc":
			return "degC"
		case "f", "degf", "fahrenheit", "tempf":
			return "degF"
		}
	}
	return ""
}

// words splits a heading into lower-case words of letters; bytes that are not
// UTF-8, as a degree sign of an old code page, part words.
func words(heading string) []string {
	heading = strings.NewReplacer("℃", " C", "℉", " F").Replace(heading)
	return strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool { return !unicode.IsLetter(r) || r == 'º' })
}

var zoneRE = regexp.MustCompile(`(?i)(?:GMT|UTC)(?:\s*([+-])(\d{1,2})(?::?(\d{2}))?)?`)

// zoneIn returns the fixed zone named in a heading such as "Date Time, GMT-05:00".
func zoneIn(heading string) *time.Location {
	m := zoneRE.FindStringSubmatch(heading)
	if named := words(heading); m == nil || !slices.Contains(named, "gmt") && !slices.Contains(named, "utc") {
		return nil
	}
	seconds := atoi(m[2])*3600 + atoi(m[3])*60
	if seconds > 14*3600 {
		return nil
	}
	if m[1] == "-" {
		seconds = -seconds
	}
	return time.FixedZone(m[0], seconds)
}

// splitQuoted splits a line at delim outside double quotes and trims the cells.
func splitQuoted(text string, delim rune) []string {
	var cells []string
	var cell strings.Builder
	quoted := false
	for _, r := range text {
		switch {
		case r == '"':
			quoted = !quoted
		case r == delim && !quoted:
			cells = append(cells, strings.TrimSpace(cell.String()))
			cell.Reset()
		default:
			cell.WriteRune(r)
		}
	}
	return append(cells, strings.TrimSpace(cell.String()))
}
