package vapor

import (
	"math"

	"drylag/models/air"
	"drylag/models/unit"
)

// StillAir is the permeability of still air at 23 °C. Source: ISO 12572 (from memory).
const StillAir unit.KgPerMSPa = 195e-12

const (
	zeroC         = 273.15
	vaporConstant = 461.524 // gas constant of water vapor, J/(kg K)
)

// AirPermeability returns the vapor permeability of still air at t and station
// pressure p:
//
//	δ = 0.083/3600/(R_v·T) · (101325/p) · (T/273.15)^1.81
//
// with R_v = 461.524 J/(kg K). 1.83e-10 kg/(m s Pa) at 0 °C, 1.95e-10 at 23 °C.
// -100 to 200 °C, p above 0, else NaN. Source: Schirmer, as in DIN 52615 (from
// memory); a trade note gives 658 µg m/(N h) at 0 °C (read).
func AirPermeability(t unit.Celsius, p unit.Pascal) unit.KgPerMSPa {
	if !ofAir(t, p) {
		return unit.KgPerMSPa(math.NaN())
	}
	T := float64(t) + zeroC
	return unit.KgPerMSPa(0.083 / 3600 / (vaporConstant * T) * (101325 / float64(p)) * math.Pow(T/zeroC, 1.81))
}

// AirPermeabilityPower is the alternative to AirPermeability:
//
//	δ = 2.0e-7 · T^0.81 / p
//
// 1.86e-10 kg/(m s Pa) at 0 °C, 1.98e-10 at 23 °C. Range as AirPermeability.
// Source: textbook of building physics (read).
func AirPermeabilityPower(t unit.Celsius, p unit.Pascal) unit.KgPerMSPa {
	if !ofAir(t, p) {
		return unit.KgPerMSPa(math.NaN())
	}
	return unit.KgPerMSPa(2.0e-7 * math.Pow(float64(t)+zeroC, 0.81) / float64(p))
}

func ofAir(t unit.Celsius, p unit.Pascal) bool {
	return t >= air.MinTemp && t <= air.MaxTemp && positive(float64(p))
}

// Source names where a number comes from, with its tag: see unit.Source.
type Source = unit.Source

// Sources of the tables.
var (
	handbookSource = unit.Read.Source("TIASA handbook (2001), section 4.5, generic values")
	stillAirSource = unit.Memory.Source("no published value: still air as upper bound, ISO 12572")
	foamSource     = unit.Read.Source("TIASA handbook (2001), section 4.5: the larger of PUR and PIR")
	classSource    = unit.Read.Source("vapor retarder classes at 0.1, 1 and 10 perm")
)

// Insulation is a filling with its vapor permeability.
type Insulation struct {
	Code         string // the record's word where it has one
	Name         string
	Permeability unit.KgPerMSPa
	UpperBound   bool // the true value is lower, and how much is not published
	Source       Source
}

// Insulations lists what is published about fillings. Polyethylene is missing:
// no value was found; nor XPS, whose handbook figure is some fifty times below
// the usual.
func Insulations() []Insulation {
	return []Insulation{
		{"fibrous", "glass or mineral fiber", StillAir, true, stillAirSource},
		{"nitrile", "nitrile rubber", 6.9e-14, false, handbookSource},
		{"cellular_glass", "cellular glass", 0, false, handbookSource},
		{"foam", "PUR or PIR foam, not known which", 8.3e-12, false, foamSource},
		{"pur", "PUR foam", 5.6e-12, false, handbookSource},
		{"pir", "PIR foam", 8.3e-12, false, handbookSource},
		{"phenolic", "phenolic foam", 2.8e-12, false, handbookSource},
		{"eps", "expanded polystyrene", 6.9e-12, false, handbookSource},
	}
}

// InsulationOf finds a filling by its code. It reports false for one without a
// published value; take StillAir then, as an upper bound, and say so.
func InsulationOf(code string) (Insulation, bool) {
	for _, i := range Insulations() {
		if i.Code == code {
			return i, true
		}
	}
	return Insulation{}, false
}

// Perm is the US perm, gr/(ft² h inHg) with inches of mercury at 0 °C.
// Source: BS 2972, table 57.19 (read); handbooks round to 57.2 or 57.4 ng (from memory).
const Perm unit.KgPerM2SPa = 5.72135e-11

// Facing is a facing, or a class of facings, with its permeance.
type Facing struct {
	Name      string
	Permeance unit.KgPerM2SPa // of a class: at most
	Class     bool
	Source    Source
}

// Facings lists a usual facing and the classes worth showing, tightest first.
func Facings() []Facing {
	return []Facing{
		{"foil-faced composite", 1e-12, false, handbookSource},
		{"at most 0.1 perm", 0.1 * Perm, true, classSource},
		{"at most 1 perm", 1 * Perm, true, classSource},
		{"at most 10 perm", 10 * Perm, true, classSource},
	}
}

// FacingClass finds the tightest class that a permeance keeps within. It
// reports false above 10 perm, where a facing holds nothing back worth naming,
// and for a permeance below 0 or NaN.
func FacingClass(permeance unit.KgPerM2SPa) (Facing, bool) {
	for _, f := range Facings() {
		if f.Class && permeance >= 0 && permeance <= f.Permeance {
			return f, true
		}
	}
	return Facing{}, false
}
