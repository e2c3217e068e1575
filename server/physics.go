package server

import (
	"math"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/unit"
	"drylag/reports"
)

// physicsView is the part of a cover's page that says what air, heat and water
// do there.
type physicsView struct {
	models.Physics
	Refused   string // why it cannot be worked out, "" it can
	Plot      picture
	ChartSays string
	sheet     models.CoverSheet
	units     string
	actor     models.Actor
}

// physicsOf is that part, nil for a cover that no longer stands. What the record
// does not allow is said on the page; it does not hide the rest of it.
func (s *Server) physicsOf(c *gin.Context, sheet models.CoverSheet) (*physicsView, error) {
	if st := sheet.Cover.State; st == models.Replaced || st == models.Retired {
		return nil, nil
	}
	who := actor(c)
	v := &physicsView{sheet: sheet, units: who.Units, actor: who}
	var err error
	v.Physics, err = s.register.Physics(c.Request.Context(), who, sheet.Cover.ID)
	if models.KindOf(err) == models.Invalid {
		_, v.Refused, _ = told(err)
		return v, nil
	}
	if err != nil {
		return nil, err
	}
	v.ChartSays = sweatSays(v.Months)
	plot := airPlot(v.Months, v.units)
	plot.Frame = reports.Frame{ID: "air-year", Title: "Metal against the dew point of the room's air", Desc: v.ChartSays}
	v.Plot, err = drawn(&plot.Frame, func() reports.Plot { return plot })
	return v, err
}

// airPlot fills the chart of a year, in the reader's units.
func airPlot(months [12]models.PhysicsMonth, units string) reports.AirYear {
	in := func(r models.Range) reports.Spread {
		t := func(c float64) float64 { return asTemp.kind.In(systemOf(units), c) }
		lo, hi := t(r.Lo), t(r.Hi)
		return reports.Spread{Min: lo, Mean: min(max(t(r.Mid), lo), hi), Max: hi}
	}
	out := reports.AirYear{Unit: asTemp.unit(units)}
	for i, m := range months {
		out.Months[i] = reports.AirMonth{Dew: in(m.DewC), Metal: in(m.MetalC)}
	}
	return out
}

// physicsMonth is one row of the year's table.
type physicsMonth struct {
	Name, Dew, Metal, Below, Damp, Says string
}

// Rows are the months as a table.
func (v *physicsView) Rows() []physicsMonth {
	var out []physicsMonth
	span := func(r models.Range) string {
		if r.Lo == r.Hi {
			return asTemp.show(v.units, r.Mid)
		}
		return asTemp.show(v.units, r.Lo) + ", " + asTemp.show(v.units, r.Mid) + ", " + asTemp.show(v.units, r.Hi)
	}
	for i, m := range v.Months {
		out = append(out, physicsMonth{Name: time.Month(i + 1).String(), Dew: span(m.DewC), Metal: span(m.MetalC),
			Below: num(m.Below, 0), Damp: num(m.Damp, 0), Says: monthSays(m)})
	}
	return out
}

// closingLine is one material of a re-closing.
type closingLine struct {
	Name, Amount, Note string
	Assumed            []string
}

// Closings are the materials of the next re-closing.
func (v *physicsView) Closings() []closingLine {
	r := v.Closing
	line := func(name, amount, note string, a models.Amount) closingLine {
		return closingLine{name, tight(amount), note, v.assumed(a.Assumed)}
	}
	out := []closingLine{
		line("Stretch-out", asLength.show(v.units, r.StretchOutM.Value), "around the body of the finished cover", r.StretchOutM),
		line("Blanket", asArea.show(v.units, r.BlanketM2.Value), "if the cover is made anew", r.BlanketM2),
	}
	if r.TapeM.Value > 0 {
		out = append(out, line("Tape", asLength.show(v.units, r.TapeM.Value), plural(int(r.Rolls), "roll", "rolls"), r.TapeM))
	}
	if r.SealantML.Value > 0 {
		out = append(out, line("Sealant", v.shown(unit.Milliliter(r.SealantML.Value)), plural(int(r.Cartridges), "cartridge", "cartridges")+" of 300 mL", r.SealantML))
	}
	coat := v.shown(unit.Liter(r.CoatingML.Value / 1000))
	if r.CoatingML.Value < 2000 {
		coat = v.shown(unit.Milliliter(r.CoatingML.Value))
	}
	return append(out, line("Coating", coat, "if the whole part is coated; wet film "+v.shown(unit.Micrometer(r.WetFilmUM.Value))+" a coat", r.CoatingML))
}

// Assumptions are what the numbers above rest on that nobody entered, each once.
func (v *physicsView) Assumptions() []string {
	var list []models.Assumption
	if v.MetalAssumed {
		list = append(list, models.Assumption{What: "service temperature", Value: unit.Celsius(v.MetalC), Why: "nobody entered one"})
	}
	if v.Part != nil {
		list = append(list, v.Part.Assumed...)
	}
	if v.Cover != nil {
		list = append(list, v.Cover.Assumed...)
	}
	if v.Water != nil {
		list = append(list, v.Water.Assumed...)
	}
	if v.Heat != nil {
		list = append(list, v.Heat.Assumed...)
	}
	return v.assumed(list)
}

// assumed says assumptions in the reader's units, each once.
func (v *physicsView) assumed(list []models.Assumption) []string {
	var out []string
	seen := map[string]bool{}
	for _, a := range list {
		says := a.What
		if a.Value != nil {
			says += " " + tight(assumedSays(a, systemOf(v.units)))
		}
		if says += " (" + a.Why + ")"; !seen[says] {
			seen[says], out = true, append(out, says)
		}
	}
	return out
}

func (v *physicsView) shown(q unit.Quantity) string { return tight(unit.Show(systemOf(v.units), q)) }

// Edit is where a gap can be filled, "" where the reader may not.
func (v *physicsView) Edit(g models.Gap) string {
	at := ""
	switch {
	case g.Field == "":
		return ""
	case g.Of == "cover" && v.actor.May(models.ActRegister) == nil:
		at = "/covers/" + string(v.sheet.Cover.ID)
	case g.Of == "building" && v.actor.May(models.ActBuildings) == nil:
		at = "/buildings/" + string(v.sheet.Building.ID)
	default:
		return ""
	}
	return at + "/edit#" + fieldID(g.Field)
}

// AirTaken is the air that is assumed where none is known.
func (v *physicsView) AirTaken() string {
	return asTemp.show(v.units, models.AssumedRoomC) + " and " + v.shown(unit.Fraction(models.AssumedRH))
}

// MayImport tells whether the reader may bring in air where it is assumed.
func (v *physicsView) MayImport() bool { return v.AirAssumed && v.actor.May(models.ActImport) == nil }

// roughly rounds an estimate to two figures.
func roughly(v float64) float64 {
	if v == 0 || math.Abs(v) < 1e-9 {
		return 0
	}
	return round(v, 2)
}
