package server

import (
	"fmt"
	"math"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/unit"
)

// physicsFact is one line of the facts, in the reader's units.
type physicsFact struct {
	Name  string
	Lines []string
}

// Facts are the numbers of the year. What is not known is left out: Gaps says
// what is missing.
func (v *physicsView) Facts() []physicsFact {
	share := shareSay(v.BareBelow, v.Hours)
	out := []physicsFact{
		{"Bare metal sweats", []string{hoursSay(v.BareBelow) + " a year, " + share + " of it; at " + asTemp.show(v.units, v.MetalC)}},
		{"Damp at the metal", []string{hoursSay(v.BareDamp) + " with air over 80\u00a0% at its surface, those hours included"}},
	}
	if v.Cover != nil {
		out = append(out, physicsFact{"Its cover’s surface sweats", []string{surfaceSays(v.Cover.Below)}})
	}
	if len(v.Dry) > 0 {
		out = append(out, physicsFact{"Thickness that stays dry", v.drySays()})
	}
	if v.Water != nil {
		out = append(out, physicsFact{"Water that gets in", v.waterSays()}, physicsFact{"Until the cover is 5\u00a0% water", v.soakSays()})
	}
	if v.Heat != nil {
		out = append(out, physicsFact{"Heat gain", v.heatSays()})
		if v.Heat.Bare.Money != nil {
			out = append(out, physicsFact{"Cost of that heat", v.costSays()})
		}
	}
	return out
}

func hoursSay(h float64) string { return num(h, 0) + "\u00a0h" }

func shareSay(part, whole float64) string {
	if whole == 0 {
		return "none"
	}
	return num(100*part/whole, 0) + "\u00a0%"
}

func surfaceSays(below float64) string {
	if below == 0 {
		return "in no hour of the year"
	}
	return hoursSay(below) + " a year"
}

// drySays sets the least thickness in each design air beside the fitted one.
func (v *physicsView) drySays() []string {
	var out []string
	if v.Cover != nil {
		out = append(out, asThick.show(v.units, v.Cover.ThicknessMM)+" is fitted")
	}
	for _, d := range v.Dry {
		air := "in the design air of insulation tables, " + asTemp.show(v.units, d.AirC) + " with a dew point of " + asTemp.show(v.units, d.DewC)
		switch {
		case d.Own && v.AirAssumed:
			air = "in the air assumed here, " + asTemp.show(v.units, d.AirC) + " with a dew point of " + asTemp.show(v.units, d.DewC)
		case d.Own:
			air = "in this room’s own damp air, " + asTemp.show(v.units, d.AirC) + " with a dew point of " + asTemp.show(v.units, d.DewC) + " (1\u00a0% of its hours with cold water are damper)"
		}
		out = append(out, v.leastSays(d)+" "+air+v.marginSays(d))
	}
	return out
}

func (v *physicsView) leastSays(d models.StayDry) string {
	switch {
	case d.Unattainable:
		return "No thickness is enough"
	case *d.LeastMM == 0:
		return "None is needed"
	}
	return v.thickUp(*d.LeastMM) + " is needed"
}

// thickUp rounds a least thickness up to what can be bought: whole millimeters
// or tenths of an inch.
func (v *physicsView) thickUp(mm float64) string {
	if systemOf(v.units) == unit.SI {
		return asThick.show(v.units, math.Ceil(mm-1e-9))
	}
	return asThick.show(v.units, math.Ceil(mm/2.54-1e-9)*2.54)
}

func (v *physicsView) marginSays(d models.StayDry) string {
	m := d.MarginK()
	switch {
	case m == nil:
		return ""
	case *m < 0:
		return ": the fitted cover sweats then"
	case *m < 1:
		return ": the fitted cover is dry, but only " + asTempDiff.show(v.units, *m) + " above the dew point"
	}
	return ": the fitted cover stays dry, " + asTempDiff.show(v.units, *m) + " above the dew point"
}

func (v *physicsView) waterSays() []string {
	w := v.Water
	if w.HighKg == 0 {
		return []string{"None by diffusion: " + v.noWater()}
	}
	return []string{
		"About " + v.mass(w.IntactKg) + " a year with facing and seams whole",
		fmt.Sprintf("%s to %s a year with its long seam open by %s, the least and the most", v.mass(w.LowKg), v.mass(w.HighKg), asThick.show(v.units, w.GapMM)),
		"By diffusion only: air pumped through a seam brings more",
	}
}

func (v *physicsView) noWater() string {
	if v.DrivePaH == 0 {
		return "no hour drives vapor to the metal"
	}
	return "the filling lets none through"
}

func (v *physicsView) mass(kg float64) string {
	if kg == 0 {
		return "nothing"
	}
	kind := unit.Mass
	shown := kind.In(systemOf(v.units), kg)
	decimals := max(0, 1-int(math.Floor(math.Log10(shown))))
	return num(roughly(shown), min(decimals, 5)) + "\u00a0" + unit.Symbol(kind.Unit(systemOf(v.units)))
}

func (v *physicsView) soakSays() []string {
	w := v.Water
	if v.NetPaH <= 0 {
		return []string{"Never: over the year more dries out than comes in"}
	}
	out := []string{"Never by diffusion with facing and seams whole"}
	if w.Intact != nil {
		out[0] = yearsSay(*w.Intact) + " with facing and seams whole"
	}
	if w.Early != nil && w.Late != nil {
		return append(out, yearsSay(*w.Early)+" to "+yearsSay(*w.Late)+" with that seam open")
	}
	return out
}

// yearsSay says a length of time without false precision.
func yearsSay(v float64) string {
	switch {
	case v < 0.1:
		return "under a month"
	case v < 1.5:
		return plural(int(math.Round(12*v)), "month", "months")
	case v < 10:
		return num(roughly(v), 1) + " years"
	case v > 1000:
		return "over 1,000 years"
	}
	return num(roughly(v), 0) + " years"
}

func (v *physicsView) heatSays() []string {
	out := []string{"Bare, about " + energy(v.Heat.Bare)}
	if v.Heat.Covered != nil {
		out = append(out, "Covered, about "+energy(*v.Heat.Covered))
	}
	return out
}

func energy(c models.HeatCost) string {
	says := num(roughly(c.KWh), 0) + "\u00a0kWh a year"
	if c.Electricity != nil {
		says += ", " + num(roughly(*c.Electricity), 0) + "\u00a0kWh of electricity"
	}
	return says + fmt.Sprintf(" (±%.0f\u00a0%%)", 100*c.Tolerance)
}

func (v *physicsView) costSays() []string {
	says := "Bare, about " + v.money(v.Heat.Bare.Money) + " a year"
	if c := v.Heat.Covered; c != nil && c.Money != nil {
		says += "; covered, about " + v.money(c.Money)
	}
	return []string{says, "For " + v.Heat.Price}
}

func (v *physicsView) money(amount *float64) string {
	return v.sheet.Building.Currency + num(roughly(*amount), cents(*amount))
}

// cents are the decimals of an amount of money.
func cents(amount float64) int {
	if amount < 10 {
		return 2
	}
	return 0
}

func monthSays(m models.PhysicsMonth) string {
	switch {
	case m.Stopped == m.Hours:
		return "loop stopped"
	case m.Sweats():
		return "sweats"
	case m.Below > 0:
		return "sweats at times"
	}
	return "stays dry"
}

// sweatSays says in which months bare metal sweats.
func sweatSays(months [12]models.PhysicsMonth) string {
	var wet [12]bool
	for i, m := range months {
		wet[i] = m.Sweats()
	}
	const half = "Bare metal is below the dew point of this room’s air for half of the month or more "
	switch runs := monthRuns(wet); {
	case len(runs) == 0:
		return "In no month is bare metal below the dew point of this room’s air for half of the time."
	case len(runs) == 1 && runs[0] == everyMonth:
		return half + "in every month."
	default:
		return half + "in " + strings.Join(runs, " and in ") + "."
	}
}

// everyMonth stands for all twelve.
const everyMonth = "January to December"

// monthRuns says which months are set, as runs that may pass New Year:
// "November to February".
func monthRuns(set [12]bool) []string {
	first := 0
	for first < 12 && set[first] {
		first++
	}
	if first == 12 {
		return []string{everyMonth}
	}
	var out []string
	for i := first; i < first+12; i++ {
		if !set[i%12] {
			continue
		}
		from := i
		for set[(i+1)%12] {
			i++
		}
		name := time.Month(from%12 + 1).String()
		if i > from {
			name += " to " + time.Month(i%12+1).String()
		}
		out = append(out, name)
	}
	return out
}

// assumedSays is the value of an assumption; a length in inches to two figures,
// an emissivity as the plain number that it is.
func assumedSays(a models.Assumption, system unit.System) string {
	switch v := a.Value.(type) {
	case unit.Fraction:
		if strings.HasPrefix(a.What, "emissivity") {
			return num(float64(v), 2)
		}
	case unit.Millimeter:
		if system == unit.IP {
			return unit.Show(system, unit.Millimeter(round(float64(v)/25.4, 2)*25.4))
		}
		return unit.Show(system, unit.Millimeter(round(float64(v), 3)))
	}
	return unit.Show(system, a.Value)
}
