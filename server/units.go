package server

import (
	"errors"
	"math"
	"reflect"
	"strconv"

	"drylag/models/unit"
)

// measure is how a field of models counts a quantity: its kind, and how many
// of the field's unit make one SI unit.
type measure struct {
	kind  unit.Kind
	perSI float64
}

// The measures of models' fields; the field's unit stands behind each.
var (
	asTemp     = measure{unit.Temperature, 1}    // °C
	asTempDiff = measure{unit.TempDifference, 1} // K
	asThick    = measure{unit.Thickness, 1e3}    // mm
	asFilm     = measure{unit.Film, 1e6}         // µm
	asLength   = measure{unit.Length, 1}         // m
	asArea     = measure{unit.Area, 1}           // m²
	asVolume   = measure{unit.Volume, 1e6}       // mL
	asPressure = measure{unit.Pressure, 1e-5}    // bar
	asRate     = measure{unit.Rate, 1e3 * 8760 * 3600}
)

// systemOf is the system of units that a person chose.
func systemOf(units string) unit.System {
	if units == "SI" {
		return unit.SI
	}
	return unit.IP
}

// notRecorded is what a missing value is called.
const notRecorded = "not recorded"

// show says a value in the person's units: "44 °F"; nil is "not recorded". v is
// a number of any float type or a pointer to one.
func (m measure) show(units string, v any) string {
	r := reflect.ValueOf(v)
	if r.Kind() == reflect.Pointer {
		if r.IsNil() {
			return notRecorded
		}
		r = r.Elem()
	}
	if !r.CanFloat() || math.IsNaN(r.Float()) {
		return notRecorded
	}
	return tight(m.kind.Show(systemOf(units), r.Float()/m.perSI))
}

// Temp says a temperature in °C, TempDiff a difference in K, Thick a thickness
// in mm, Film a coating in µm, Length a length in m, Area an area in m²,
// Volume a volume in mL, Pressure a pressure in bar, Rate a loss in mm a year,
// each in the person's units.
func (sh *shell) Temp(c any) string       { return asTemp.show(sh.Actor.Units, c) }
func (sh *shell) TempDiff(k any) string   { return asTempDiff.show(sh.Actor.Units, k) }
func (sh *shell) Thick(mm any) string     { return asThick.show(sh.Actor.Units, mm) }
func (sh *shell) Film(um any) string      { return asFilm.show(sh.Actor.Units, um) }
func (sh *shell) Length(m any) string     { return asLength.show(sh.Actor.Units, m) }
func (sh *shell) Area(m2 any) string      { return asArea.show(sh.Actor.Units, m2) }
func (sh *shell) Volume(mL any) string    { return asVolume.show(sh.Actor.Units, mL) }
func (sh *shell) Pressure(bar any) string { return asPressure.show(sh.Actor.Units, bar) }
func (sh *shell) Rate(mmY any) string     { return asRate.show(sh.Actor.Units, mmY) }

// The units in which a bare number is read, to stand behind an input.
func (sh *shell) TempUnit() string     { return asTemp.unit(sh.Actor.Units) }
func (sh *shell) ThickUnit() string    { return asThick.unit(sh.Actor.Units) }
func (sh *shell) FilmUnit() string     { return asFilm.unit(sh.Actor.Units) }
func (sh *shell) LengthUnit() string   { return asLength.unit(sh.Actor.Units) }
func (sh *shell) AreaUnit() string     { return asArea.unit(sh.Actor.Units) }
func (sh *shell) PressureUnit() string { return asPressure.unit(sh.Actor.Units) }

func (m measure) unit(units string) string { return unit.Symbol(m.kind.Unit(systemOf(units))) }

// measured reads a quantity as people type it, "42F" or "3/4 in"; a bare number
// is in the person's units. It is nil where nothing was typed.
func (f *form) measured(name string, m measure, units string) *float64 {
	r, err := unit.ParseOptional(name, f.text(name), m.kind, systemOf(units))
	var entry *unit.EntryError
	switch {
	case errors.As(err, &entry):
		f.Faults.Add(name, "%q %s", entry.Text, entry.Msg)
	case r != nil:
		return new(r.SI() * m.perSI)
	}
	return nil
}

// temp is in °C, thick in mm, film in µm, length in m.
func (f *form) temp(name, units string) *float64   { return f.measured(name, asTemp, units) }
func (f *form) thick(name, units string) *float64  { return f.measured(name, asThick, units) }
func (f *form) film(name, units string) *float64   { return f.measured(name, asFilm, units) }
func (f *form) length(name, units string) *float64 { return f.measured(name, asLength, units) }

// setMeasured fills a field with a value in the person's units, without its
// unit and precise enough to come back as the value it was.
func (f *form) setMeasured(name string, v *float64, m measure, units string) {
	if v == nil {
		return
	}
	shown := m.kind.In(systemOf(units), *v/m.perSI)
	f.set(name, strconv.FormatFloat(round(shown, 6), 'f', -1, 64))
}

func (f *form) setTemp(name string, c *float64, units string) { f.setMeasured(name, c, asTemp, units) }

// round keeps so many significant figures.
func round(v float64, figures int) float64 {
	if v == 0 {
		return 0
	}
	step := math.Pow(10, float64(figures-1)-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*step) / step
}
