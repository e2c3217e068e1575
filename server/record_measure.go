package server

import (
	"errors"
	"strconv"

	"drylag/models/unit"
)

// percent is a share in percent, nil where nothing was typed.
func (f *form) percent(name, units string) *float64 {
	r, err := unit.ParseOptional(name, f.text(name), unit.Share, systemOf(units))
	var entry *unit.EntryError
	if errors.As(err, &entry) {
		f.Faults.Add(name, "%q %s", entry.Text, entry.Msg)
	}
	if r == nil {
		return nil
	}
	v, err := r.In("%")
	if err != nil {
		f.Faults.Add(name, "%s", err)
		return nil
	}
	return &v
}

// share is a percentage as a fraction.
func (f *form) share(name, units string) *float64 {
	v := f.percent(name, units)
	if v == nil {
		return nil
	}
	return new(*v / 100)
}

func (f *form) setShare(name string, v *float64) {
	if v != nil {
		f.set(name, strconv.FormatFloat(round(*v*100, 12), 'f', -1, 64))
	}
}

// volume is in mL, and so is a bare number: liters and gallons are no measure
// for what closing one cover takes.
func (f *form) volume(name, units string) *float64 {
	if _, err := strconv.ParseFloat(f.text(name), 64); err == nil {
		return f.number(name)
	}
	return f.measured(name, asVolume, units)
}

// setExact fills a field so that reading it gives the very same value: in the
// person's units where a few decimals will do, else in the unit of the record.
func (f *form) setExact(name string, v *float64, m measure, units string) {
	if v == nil {
		return
	}
	shown := m.kind.In(systemOf(units), *v/m.perSI)
	for decimals := range 7 {
		text := strconv.FormatFloat(shown, 'f', decimals, 64)
		if again := m.reads(text, units); again != nil && *again == *v {
			f.set(name, text)
			return
		}
	}
	f.set(name, unit.Reading{Value: *v, Unit: keptIn[m.kind]}.String())
}

// reads is what a text would be read as.
func (m measure) reads(text, units string) *float64 {
	try := blank()
	try.set("v", text)
	return try.measured("v", m, units)
}

// keptIn is the unit of models' fields.
var keptIn = map[unit.Kind]string{unit.Temperature: "degC", unit.Thickness: "mm", unit.Film: "um", unit.Length: "m",
	unit.Area: "m2", unit.Volume: "mL", unit.Pressure: "bar", unit.Conductivity: "W/(m K)"}
