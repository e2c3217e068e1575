package unit

import (
	"math"
	"strconv"
	"strings"
)

// System is the set of units that a person reads and types.
type System int

const (
	SI System = iota
	IP        // inch-pound, as in the United States
)

// Kind is what a number measures; it decides the unit of a bare number and how
// a value is shown.
type Kind int

const (
	Temperature    Kind = iota + 1 // °C, °F
	TempDifference                 // K, °F
	Thickness                      // of walls and insulation: mm, in
	Length                         // of pipe and tape: m, ft
	Film                           // of coatings: µm, mil
	Pressure                       // of water and air: kPa, psi
	VaporPressure                  // Pa, inHg
	VaporDrive                     // kPa h, inHg h
	Share                          // %
	HumidityRatio                  // g/kg, gr/lb
	Permeance                      // ng/(m² s Pa), perm
	Permeability                   // ng/(m s Pa), perm in
	Conductivity                   // W/(m K), Btu in/(h ft² °F)
	HeatTransfer                   // W/(m² K), Btu/(h ft² °F)
	HeatPerArea                    // W/m², Btu/(h ft²)
	HeatPerLength                  // W/m, Btu/(h ft)
	Power                          // W, Btu/h
	LatentHeat                     // kJ/kg, Btu/lb
	Area                           // m², ft²
	Volume                         // L, gal
	Mass                           // kg, lb
	Density                        // kg/m³, lb/ft³
	Speed                          // of air: m/s, ft/min
	Rate                           // of metal loss: mm/yr, mpy
	Time                           // h
	SmallVolume                    // of sealant: mL, fl oz (US)
	VaporFlow                      // kg/yr, lb/yr
	VaporPerLength                 // kg/(m yr), lb/(ft yr)
	VaporPerArea                   // g/(m² d), gr/(ft² h)
)

// display says how a kind is shown: its name, and for SI and IP the unit and
// the decimals. With figures set the decimals are significant figures.
type display struct {
	name     string
	units    [2]string
	decimals [2]int
	figures  bool
	trim     bool // trailing zeros are dropped
}

var displays = map[Kind]display{
	Temperature:    {name: "a temperature", units: [2]string{"degC", "degF"}, decimals: [2]int{1, 0}},
	TempDifference: {name: "a temperature difference", units: [2]string{"K", "delta degF"}, decimals: [2]int{1, 1}},
	Thickness:      {name: "a thickness", units: [2]string{"mm", "in"}, decimals: [2]int{2, 3}, trim: true},
	Length:         {name: "a length", units: [2]string{"m", "ft"}, decimals: [2]int{2, 1}, trim: true},
	Film:           {name: "a film thickness", units: [2]string{"um", "mil"}, decimals: [2]int{0, 1}},
	Pressure:       {name: "a pressure", units: [2]string{"kPa", "psi"}, decimals: [2]int{1, 1}},
	VaporPressure:  {name: "a vapor pressure", units: [2]string{"Pa", "inHg"}, decimals: [2]int{0, 3}},
	VaporDrive:     {name: "a vapor drive", units: [2]string{"kPa h", "inHg h"}, decimals: [2]int{3, 3}, figures: true},
	Share:          {name: "a share", units: [2]string{"%", "%"}, decimals: [2]int{1, 1}, trim: true},
	HumidityRatio:  {name: "a humidity ratio", units: [2]string{"g/kg", "gr/lb"}, decimals: [2]int{1, 0}},
	Permeance:      {name: "a permeance", units: [2]string{"ng/(m2 s Pa)", "perm"}, decimals: [2]int{3, 3}, figures: true, trim: true},
	Permeability:   {name: "a permeability", units: [2]string{"ng/(m s Pa)", "perm in"}, decimals: [2]int{3, 3}, figures: true, trim: true},
	Conductivity:   {name: "a conductivity", units: [2]string{"W/(m K)", "Btu in/(h ft2 F)"}, decimals: [2]int{3, 3}},
	HeatTransfer:   {name: "a heat transfer coefficient", units: [2]string{"W/(m2 K)", "Btu/(h ft2 F)"}, decimals: [2]int{2, 2}},
	HeatPerArea:    {name: "a heat flow per area", units: [2]string{"W/m2", "Btu/(h ft2)"}, decimals: [2]int{1, 1}},
	HeatPerLength:  {name: "a heat flow per length", units: [2]string{"W/m", "Btu/(h ft)"}, decimals: [2]int{1, 1}},
	Power:          {name: "a heat flow", units: [2]string{"W", "Btu/h"}, decimals: [2]int{0, 0}},
	LatentHeat:     {name: "a latent heat", units: [2]string{"kJ/kg", "Btu/lb"}, decimals: [2]int{0, 0}},
	Area:           {name: "an area", units: [2]string{"m2", "ft2"}, decimals: [2]int{2, 1}},
	Volume:         {name: "a volume", units: [2]string{"L", "gal"}, decimals: [2]int{3, 3}, figures: true},
	Mass:           {name: "a mass", units: [2]string{"kg", "lb"}, decimals: [2]int{3, 3}, figures: true},
	Density:        {name: "a density", units: [2]string{"kg/m3", "lb/ft3"}, decimals: [2]int{3, 3}, figures: true},
	Speed:          {name: "a speed", units: [2]string{"m/s", "ft/min"}, decimals: [2]int{2, 0}},
	Rate:           {name: "a rate of loss", units: [2]string{"mm/yr", "mpy"}, decimals: [2]int{3, 1}},
	Time:           {name: "a time", units: [2]string{"h", "h"}, decimals: [2]int{0, 0}},
	SmallVolume:    {name: "a small volume", units: [2]string{"mL", "floz"}, decimals: [2]int{3, 3}, figures: true},
	VaporFlow:      {name: "a flow of vapor", units: [2]string{"kg/yr", "lb/yr"}, decimals: [2]int{3, 3}, figures: true},
	VaporPerLength: {name: "a flow of vapor per length", units: [2]string{"kg/(m yr)", "lb/(ft yr)"}, decimals: [2]int{3, 3}, figures: true},
	VaporPerArea:   {name: "a flow of vapor per area", units: [2]string{"g/(m2 d)", "gr/(ft2 h)"}, decimals: [2]int{3, 3}, figures: true},
}

// Name returns the kind with its article: "a thickness".
func (k Kind) Name() string { return displays[k].name }

// Unit returns the unit in which the kind is shown and a bare number is read,
// as Convert takes it.
func (k Kind) Unit(s System) string { return displays[k].units[s] }

// In returns an SI value in the unit of the system.
func (k Kind) In(s System, si float64) float64 {
	scale, _, _ := lookUp(k.Unit(s))
	return scale.fromSI(si)
}

// Show prints an SI value (°C, K, m, Pa, kg, s, 1 and their products) in the
// unit of the system, with that unit: "44 °F". What is not finite is "no value".
func (k Kind) Show(s System, si float64) string {
	value := k.In(s, si)
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return "no value"
	}
	d := displays[k]
	decimals := d.decimals[s]
	if d.figures {
		value, decimals = toFigures(value, decimals)
	}
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if d.trim && strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text + " " + Symbol(k.Unit(s))
}

// toFigures rounds a value to significant figures and says how many decimals
// show them. What is too small for any use is 0.
func toFigures(value float64, figures int) (rounded float64, decimals int) {
	if math.Abs(value) < 1e-12 {
		value = 0
	}
	text := strconv.FormatFloat(value, 'e', figures-1, 64)
	_, exponent, _ := strings.Cut(text, "e")
	tens, _ := strconv.Atoi(exponent)
	rounded, _ = strconv.ParseFloat(text, 64)
	return rounded, max(0, figures-1-tens)
}
