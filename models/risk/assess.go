package risk

import (
	"encoding/json"
	"math"

	"drylag/models"
)

// Assess makes the score of one cover on the day in.Today. It is a pure
// function: same inputs, same score. A NaN or an infinity that reaches its edge
// becomes an Invalid error naming the input, never a stored number.
func Assess(in Input) (models.Score, error) {
	if in.Fit == nil {
		return models.Score{}, models.Errorf(models.Invalid, "The wetness model is missing.")
	}
	if in.Air.Hours == 0 {
		assumed, err := AirAssumed(in.Sheet)
		if err != nil {
			return models.Score{}, err
		}
		in.Air = assumed
	}
	t := lifeOf(in)
	wet := wetnessOf(in, t)
	wall := assessWall(in, t, wetShareOf(in))
	s := scoreOf(in, t, wet, wall)
	settle(&s, in, t, dueDates(in, t, wall, worthDate(in, t, wet)))
	s.Benefit = benefit(s, in)
	s.Sentences = sentences(in, t, wet, wall)
	s.Why = why(in, t, wet, wall, s)
	if err := checkNumbers(s, wet, wall); err != nil {
		return models.Score{}, err
	}
	inputs, err := json.Marshal(keptInputs(in, t, wet))
	if err != nil {
		return models.Score{}, err
	}
	s.Inputs = string(inputs)
	return s, nil
}

// scoreOf fills in what the parts found.
func scoreOf(in Input, t timeline, wet wetness, wall wall) models.Score {
	worst, _ := consequence(in.Sheet.Component)
	l := likelihood(in, t, wall)
	s := models.Score{
		Cover: in.Sheet.Cover.ID, Building: in.Sheet.Building.ID, Room: in.Sheet.Room.ID,
		On: in.Today, Method: Method, Fit: in.Fit.Version, Condition: t.condition,
		PWet: wet.now, PWetYear: wet.year, AgeYears: wet.age, ExpertFit: in.Fit.N == 0,
		HoursBelow: in.Air.Below, YearHours: in.Air.Hours,
		DriveIndex: in.Air.Drive / in.Policy.DriveRef, NetDriveUp: in.Air.Net > 0,
		Driver: string(wall.driver), ScoredPart: wall.part,
		RequiredMM: wall.required, LastMM: wall.lastMM, RemainingLife: wall.life,
		Likelihood: l, Consequence: worst, Risk: int(math.Round(4 * l * float64(worst))),
		W: wet.w, Minutes: Minutes(in.Sheet, ownMinutes(in)), FollowUps: len(in.FollowUps),
	}
	for i, m := range in.Air.Months {
		if m.Hours > 0 {
			s.DryHoursShare[i] = m.Dry / m.Hours
		}
		s.SweatMonths[i] = s.DryHoursShare[i] < 0.5
	}
	setRate(&s, wall)
	return s
}

// setRate says which rate was used: measured where readings show one.
func setRate(s *models.Score, w wall) {
	table := w.tableRate
	s.TableRateMMY, s.RateMMY, s.RateFrom = &table, &table, "table"
	if w.measured != nil {
		rate := w.measured.Rate
		s.RateMMY, s.RateFrom = &rate, "measured"
	}
}

func ownMinutes(in Input) []float64 {
	var own []float64
	for _, o := range in.Openings {
		if o.Outcome == "opened" && o.Materials.Minutes != nil {
			own = append(own, *o.Materials.Minutes)
		}
	}
	return own
}

// benefit is what opening the cover in the coming round is worth, in percent
// of one standard opening's cost (risk.md 7). What is due by a measured life
// or by the owner's limit within the round is worth at least one opening.
func benefit(s models.Score, in Input) float64 {
	b := math.Round(1000*s.W) / 10
	end := in.RoundEnd
	if end == "" {
		end = in.Today.AddDays(in.Policy.RoundDays)
	}
	for _, d := range append([]models.DueDate{s.Due}, s.Others...) {
		if (d.Rule == models.RuleThickness || d.Rule == models.RuleLimit) && d.On <= end {
			return max(b, 100)
		}
	}
	return b
}

// checkNumbers keeps NaN and infinities out of the record.
func checkNumbers(s models.Score, wet wetness, w wall) error {
	for _, n := range []struct {
		name string
		v    float64
	}{
		{"hours below dew point", s.HoursBelow}, {"vapor drive", s.DriveIndex},
		{"chance wet", s.PWet.Mid}, {"chance wet, low", s.PWet.Lo}, {"chance wet, high", s.PWet.Hi},
		{"chance wet within a year", s.PWetYear.Mid}, {"index", s.W},
		{"rate", w.tableRate}, {"loss", w.lossMM}, {"likelihood", s.Likelihood}, {"age", wet.age},
	} {
		if math.IsNaN(n.v) || math.IsInf(n.v, 0) {
			return models.Errorf(models.Invalid, "The %s could not be worked out from what is recorded.", n.name)
		}
	}
	return nil
}

// kept is what a score stores of its inputs, so that it can be made again.
type kept struct {
	Service        float64       `json:"service_c"`
	ServiceAssumed bool          `json:"service_assumed,omitempty"`
	Air            Air           `json:"air"`
	Start          models.Date   `json:"clock_from"`
	Flagged        bool          `json:"clock_from_import,omitempty"`
	Seal           string        `json:"seal_left"`
	Method         string        `json:"closure,omitempty"`
	Openings       int           `json:"openings"`
	PrevWet        bool          `json:"last_wet,omitempty"`
	Readings       int           `json:"readings"`
	Policy         models.Policy `json:"policy"`
	Records        []models.ID   `json:"records,omitempty"`
	RoundEnd       models.Date   `json:"round_end,omitempty"`
	Rank           float64       `json:"first_look_rank,omitempty"`
	OldestFirst    *float64      `json:"oldest_first_years,omitempty"`
}

func keptInputs(in Input, t timeline, wet wetness) kept {
	service, assumed := in.Sheet.ServiceC()
	k := kept{Service: service, ServiceAssumed: assumed, Air: in.Air, Start: max(t.start, t.lastOpen),
		Flagged: t.flagged && !t.seen, Seal: string(wet.cov.Seal), Method: string(wet.cov.Method),
		Openings: wet.cov.Openings, PrevWet: wet.cov.PrevWet, Readings: len(in.Readings),
		Policy: in.Policy, RoundEnd: in.RoundEnd, Rank: in.FirstLookRank, OldestFirst: in.OldestFirst}
	for _, o := range in.Openings {
		k.Records = append(k.Records, o.ID)
	}
	return k
}
