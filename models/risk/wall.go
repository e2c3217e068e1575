package risk

import (
	"math"
	"strconv"

	"drylag/models"
	"drylag/models/metal"
)

// wall is what the readings, the rate and the required thickness say of the
// steel that is scored.
type wall struct {
	part      string   // which steel is scored, in words
	lastMM    *float64 // thinnest last reading; nil: not measured
	lastOn    models.Date
	startMM   *float64 // wall at the start of the loss: reading, else least new wall
	assumed   bool     // startMM is from the pipe table, not from the record
	required  *float64
	basis     string
	measured  *metal.Measured
	life      *models.Range // years, measured rates only
	tableRate float64       // mm per year with the running episode's driver
	driver    metal.Driver
	wetShare  float64
	lossMM    float64
	u         float64 // share of the margin used by the end of the horizon; NaN: no wall known
	factors   metal.Applied
}

// scoredPart names the steel that carries the score (risk.md 3).
func scoredPart(c models.Component) string {
	switch {
	case c.Material == "copper" || c.Material == "bronze":
		return "the adjoining steel and bolts"
	case c.Kind == "elbow" || c.Kind == "fitting":
		return "the pipe wall"
	case c.Kind == "flange_pair":
		return "the bolts, then the hub"
	case c.Kind == "flexible_connector":
		return "the end flanges"
	}
	return "the adjoining steel stub and bolts"
}

// assessWall works out rate, loss and margin.
func assessWall(in Input, t timeline, wetShare func(episode, float64, float64) float64) wall {
	w := wall{part: scoredPart(in.Sheet.Component)}
	w.readWall(in)
	w.setRequired(in.Sheet.Component)
	w.setLoss(in, t, wetShare)
	w.setLife()
	w.u = math.NaN()
	if w.startMM != nil && w.required != nil {
		w.u = share(w.lossMM, *w.startMM-*w.required)
	}
	return w
}

// share is loss over margin; a wall at or below what is required is used up.
func share(loss, margin float64) float64 {
	if margin <= 0 {
		return 1
	}
	return loss / margin
}

// readWall takes the point with the thinnest last reading, and the measured
// rate of the point that loses fastest.
func (w *wall) readWall(in Input) {
	points := map[string][]metal.Reading{}
	for _, r := range in.Readings {
		points[r.Point] = append(points[r.Point], metal.Reading{Year: yearOf(r.On), MM: r.MM()})
		w.lastOn = max(w.lastOn, r.On)
	}
	for _, rs := range points {
		last := rs[0]
		for _, r := range rs {
			if r.Year >= last.Year {
				last = r
			}
		}
		if w.lastMM == nil || last.MM < *w.lastMM {
			w.lastMM = &last.MM
		}
		if m, ok := metal.MeasuredRate(rs, in.Policy.GaugeErrorMM); ok && (w.measured == nil || m.Rate > w.measured.Rate) {
			w.measured = &m
		}
	}
	w.startMM = w.lastMM
	if w.startMM == nil {
		w.newWall(in.Sheet.Component)
	}
}

// newWall takes the least wall the part may have had when new.
func (w *wall) newWall(c models.Component) {
	nominal := c.NominalWallMM
	if nominal == nil && c.NPS != nil {
		schedule := c.Schedule
		if schedule == "" {
			schedule = "STD"
		}
		if pipe, ok := metal.PipeOf(*c.NPS, schedule); ok {
			nominal, w.assumed = &pipe.WallMM, true
		}
	}
	if nominal != nil {
		least := metal.LeastNewWall(*nominal, metal.DefaultMillTolerance)
		w.startMM = &least
	}
}

// setRequired takes the greater of pressure and structural minimum.
func (w *wall) setRequired(c models.Component) {
	var needs metal.Needs
	if c.NPS == nil {
		return
	}
	if st, ok := metal.StructuralMinimum(*c.NPS); ok {
		needs.StructuralMM = &st.MinimumMM
	}
	if pipe, ok := metal.PipeOf(*c.NPS, "STD"); ok && c.PressureBar != nil {
		t := metal.PressureDesign{PressureMPa: *c.PressureBar / 10, ODMM: pipe.ODMM,
			StressMPa: metal.StressERWB, E: 1, W: 1, Y: metal.FerriticY}.Thickness()
		needs.PressureMM = &t
	}
	if depth, ok := metal.ThreadDepth(*c.NPS); ok && c.Connection == "threaded" {
		needs.ThreadMM = depth
	}
	if mm, basis, ok := needs.Required(); ok {
		w.required, w.basis = &mm, string(basis)
	}
}

// setLoss adds the expected loss of the closed episodes since the last reading
// to that of the horizon, left unopened.
func (w *wall) setLoss(in Input, t timeline, wetShare func(episode, float64, float64) float64) {
	s := in.Sheet
	coated, credit := coatingOf(in)
	for i, e := range t.episodes {
		from := max(e.from, w.lastOn)
		last := i == len(t.episodes)-1
		to := e.to
		if last {
			to = in.Today.AddYears(in.Policy.HorizonYears)
		}
		if from >= to {
			continue
		}
		ws := wetShare(e, from.YearsSince(e.from), to.YearsSince(e.from))
		rate := w.rateFor(in, e.seal, ws, last)
		w.lossMM += rate * metal.BareYears(yearOf(from), yearOf(to), coated, credit)
	}
	if s.Cover.State == models.Off {
		share := in.Air.belowShare()
		rate := w.rateFor(in, models.SealPoor, share, true)
		w.lossMM += rate * in.Policy.HorizonYears
	}
}

// rateFor is the rate of one episode in mm per year: measured where the
// readings show one, else the table's.
func (w *wall) rateFor(in Input, left models.SealState, wetShare float64, running bool) float64 {
	driver := metal.DriverOf(wetShare, in.Air.Below > 0)
	applied := metal.DefaultFactors().At(metal.Surroundings{
		Insulation: metal.Insulation(in.Sheet.Cover.Insulation), Penetrations: in.Sheet.Cover.Penetrations,
		Seal: metal.SealLeft(left), Pools: in.Sheet.Component.Pools})
	table := metal.SeasonRate(in.Air.Seasons, driver) * applied.Product()
	if stainless(in.Sheet) {
		table = 0
	}
	if running {
		w.driver, w.factors, w.tableRate, w.wetShare = driver, applied, table, wetShare
	}
	if w.measured != nil {
		return w.measured.Rate
	}
	return table
}

// stainless tells whether the scored steel has no general loss: austenitic
// stainless below the cracking range.
func stainless(s models.CoverSheet) bool { return s.Component.Material == "stainless_steel" }

// setLife gives the remaining life from measured rates only.
func (w *wall) setLife() {
	if w.measured == nil || w.lastMM == nil || w.required == nil {
		return
	}
	short, long := w.measured.LifeRange(*w.lastMM, *w.required)
	mid := metal.RemainingLife(*w.lastMM, *w.required, w.measured.Rate)
	const noEnd = 200 // years; longer is "no end in sight"
	w.life = &models.Range{Mid: min(mid, noEnd), Lo: min(short, noEnd), Hi: min(long, noEnd)}
}

// coatingOf is the date of the last coating, in decimal years, and the years it
// protects; a coating is spent once the metal was found at Ri 3 or worse.
func coatingOf(in Input) (coated, credit float64) {
	on, quality := in.Sheet.Cover.CoatedOn, in.Sheet.Cover.CoatQuality
	for _, o := range in.Openings {
		if ri, ok := RiOf(o.Metal); ok && metal.CoatingSpent(ri) {
			on = ""
		}
		if o.Coated == "medium" || o.Coated == "high" {
			on, quality = o.On, o.Coated
		}
	}
	if on == "" {
		return math.Inf(-1), 0
	}
	return yearOf(on), metal.CoatingCredit(metal.CoatingQuality(quality))
}

// RiOf is the rust grade on ISO 4628-3 with whether it could be had: as
// recorded, or derived from the scale that the inspector used. ISO 8501-1
// grades uncoated steel and has no equal: pitting visible (D) counts as Ri 5,
// scale rusted away (C) as Ri 4, rust begun (B) as Ri 3 (judgement).
func RiOf(m models.MetalFinding) (metal.Ri, bool) {
	switch m.Scale {
	case "ri":
		if len(m.Grade) == 4 && m.Grade[3] >= '0' && m.Grade[3] <= '5' {
			return metal.Ri(m.Grade[3] - '0'), true
		}
	case "d610":
		for g := 0; g <= 10; g++ {
			if m.Grade == strconv.Itoa(g) {
				return metal.D610(g).Ri()
			}
		}
	case "area":
		if m.AreaPct != nil {
			return metal.RiOf(*m.AreaPct)
		}
	case "iso8501":
		ri, ok := map[string]metal.Ri{"A": 0, "B": 3, "C": 4, "D": 5}[m.Grade]
		return ri, ok
	}
	return 0, false
}

// yearOf is a day as a decimal year.
func yearOf(d models.Date) float64 {
	if d == "" {
		return math.NaN()
	}
	return 1970 + float64(d.DaysSince("1970-01-01"))/models.DaysPerYear
}
