package climate

import (
	"math"
	"strings"
)

// Range of a logger's temperature in a plant room or outdoors, in °C (a
// judgement of this project); beyond it the sensor is at fault.
const (
	coldestLoggedC = -60
	hottestLoggedC = 100
)

// wettestSensor is how far a humidity sensor may read above 100 % and still
// mean saturated air (a judgement of this project).
const wettestSensor = 105

// readAll reads every row, or says why it is left out.
func (h *loggerHead) readAll(rows []line) (readings []reading, bad []Fault) {
	for _, row := range rows {
		r, fault := h.read(row)
		if fault != nil {
			bad = append(bad, *fault)
			continue
		}
		readings = append(readings, r)
	}
	return readings, bad
}

// read reads one row.
func (h *loggerHead) read(row line) (reading, *Fault) {
	cells := splitQuoted(row.text, h.delim)
	cell := func(field string) string {
		if column, ok := h.at[field]; ok && column < len(cells) {
			return cells[column]
		}
		return ""
	}
	r := reading{line: row.number, text: strings.TrimSpace(cell(FieldTime) + " " + cell(FieldClock)), rhPercent: math.NaN()}
	var msg string
	if r.stamp, msg = parseStamp(r.text); msg != "" {
		return reading{}, &Fault{row.number, FieldTime, r.text, msg}
	}
	if r.dryC, msg = h.temperature(FieldTemp, cell(FieldTemp)); msg != "" {
		return reading{}, &Fault{row.number, FieldTemp, cell(FieldTemp), msg}
	}
	if msg = h.moistureOf(&r, cell(h.moisture)); msg != "" {
		return reading{}, &Fault{row.number, h.moisture, cell(h.moisture), msg}
	}
	return r, nil
}

// temperature reads a cell in the column's unit, which the cell itself may repeat.
func (h *loggerHead) temperature(field, text string) (tempC float64, msg string) {
	unit := h.unit[field]
	switch bare := strings.TrimRight(text, "CFcf"); {
	case strings.HasSuffix(strings.ToLower(text), "c") && bare != "":
		unit, text = "degC", bare
	case strings.HasSuffix(strings.ToLower(text), "f") && bare != "":
		unit, text = "degF", bare
	}
	tempC, msg = h.number(strings.TrimRight(text, "°º \u00a0"))
	if msg != "" {
		return tempC, msg
	}
	if unit == "degF" {
		tempC = (tempC - 32) / 1.8
	}
	if tempC < coldestLoggedC || tempC > hottestLoggedC {
		return math.NaN(), "is outside -60 to 100 °C (-76 to 212 °F)"
	}
	return tempC, ""
}

// moistureOf reads the moisture cell into r.
func (h *loggerHead) moistureOf(r *reading, text string) (msg string) {
	var value float64
	kind := tableRH
	switch h.moisture {
	case FieldDew:
		kind = tableDew
		value, msg = h.temperature(FieldDew, text)
	case FieldVapor:
		kind = tableVapor
		value, msg = h.number(text)
	default:
		value, msg = h.number(strings.TrimRight(text, "% "))
		if value > 100 && value <= wettestSensor {
			value = 100
		}
		r.rhPercent = value
	}
	if msg != "" {
		return msg
	}
	r.vapor, msg = moisture(kind, r.dryC, value)
	return msg
}

// number reads a decimal number; a comma is refused unless it was said to be one.
func (h *loggerHead) number(text string) (value float64, msg string) {
	if text == "" {
		return math.NaN(), "is empty"
	}
	if strings.Contains(text, ",") {
		if !h.comma {
			return math.NaN(), "has a comma: say that this file has decimal commas"
		}
		text = strings.Replace(text, ",", ".", 1)
	}
	value, ok := number64(text)
	if !ok {
		return math.NaN(), "is not a number"
	}
	return value, ""
}
