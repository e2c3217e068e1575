package register

import (
	"context"
	"math"

	"drylag/models"
	"drylag/models/seal"
)

// TaughtGroup is when covers of one group got wet, as the openings alone say.
type TaughtGroup struct {
	Seal   string // as left: sound, repaired, poor, unknown
	N, Wet int
	Mass   []TaughtMass  // in order, together 1; empty where no answer was found
	Bins   []seal.AgeBin // by age at the opening
}

// TaughtMass is chance of getting wet at an age after Left and up to Right
// years; Right is nil for what lies beyond all openings.
type TaughtMass struct {
	Left  float64
	Right *float64
	P     float64
}

// ageBin is the width of a bin of ages: half a year.
const ageBin = 0.5

// groupsOf counts by the seal as left, in the order of models.Seals.
func groupsOf(episodes []seal.Episode) []TaughtGroup {
	var out []TaughtGroup
	for _, state := range []seal.State{seal.Sound, seal.Repaired, seal.Poor, seal.Unknown} {
		var of []seal.Episode
		for _, e := range episodes {
			if e.Covariates.Seal == state {
				of = append(of, e)
			}
		}
		if len(of) == 0 {
			continue
		}
		s, err := seal.NewSteps(of)
		g := TaughtGroup{Seal: string(state), N: s.N, Wet: s.Wet, Bins: seal.AgeBins(of, ageBin)}
		if err == nil { // else the bins stand alone
			g.Mass = massOf(s)
		}
		out = append(out, g)
	}
	return out
}

func massOf(s seal.Steps) []TaughtMass {
	out := make([]TaughtMass, len(s.Mass))
	for i, m := range s.Mass {
		out[i] = TaughtMass{Left: m.Left, P: m.P}
		if !math.IsInf(m.Right, 1) {
			out[i].Right = &m.Right
		}
	}
	return out
}

// LearnedFile is what the openings have taught and whether to trust it. Records
// and buildings are those of the actor; the fit is of the whole fleet.
type LearnedFile struct {
	FitFile
	InForce   bool // the fit is the one by which covers are scored
	Doing     Doing
	Judgment  seal.Judgment // of the predictions since From
	From      models.Date
	Walked    int     // of them, how many a walk month by month made
	Months    float64 // between openings where the predictions do not hold
	Intervals []CostInterval
	Policy    models.Policy
	Versions  []models.LearnedFit // newest first
}

// FitFile is one version of the fit.
type FitFile struct {
	Kept    models.LearnedFit // without Body
	Fit     seal.Fit          // Buildings are the actor's
	Names   map[string]string // of the actor's buildings, by ID
	LeftOut []LeftOut         // in the actor's buildings, newest first, at most 500
	Groups  []TaughtGroup
}

// CostInterval is the interval of least cost of a kind of cover.
type CostInterval struct {
	Family, Word string // "", "" the reference cover; "seal", "poor"; "method", "tape" ...
	seal.Optimum
	Year seal.Probability // wet within 12 months of closing
}

// Learned is the page of what was learned.
func (r *Register) Learned(ctx context.Context, a models.Actor) (LearnedFile, error) {
	var f LearnedFile
	if err := a.May(models.ActTrend); err != nil {
		return f, err
	}
	t, err := r.inForce(ctx)
	if err != nil {
		return f, err
	}
	if f.FitFile, err = r.fitFile(ctx, a, t); err != nil {
		return f, err
	}
	if f.Policy, err = r.store.Policy(ctx); err != nil {
		return f, err
	}
	f.InForce, f.Intervals = true, intervalsOf(t.body.Fit, f.Policy)
	if f.Versions, err = r.store.Fits(ctx); err != nil {
		return f, err
	}
	if err := r.fillTrust(ctx, &f); err != nil {
		return f, err
	}
	r.fleet.mu.Lock()
	defer r.fleet.mu.Unlock()
	f.Doing = r.fleet.doing
	return f, nil
}

func (r *Register) fillTrust(ctx context.Context, f *LearnedFile) error {
	j, err := r.verdict(ctx)
	if err != nil {
		return err
	}
	f.Judgment, f.From, f.Walked, f.Months = j.Judgment, j.on.AddYears(-judgedYears), j.walked, j.interval(f.Policy)
	return nil
}

// LearnedVersion is one version of the fit as it was kept.
func (r *Register) LearnedVersion(ctx context.Context, a models.Actor, version string) (FitFile, error) {
	if err := a.May(models.ActTrend); err != nil {
		return FitFile{}, err
	}
	kept, err := r.store.Fit(ctx, version)
	if err != nil {
		return FitFile{}, err
	}
	t, err := read(kept)
	if err != nil {
		return FitFile{}, err
	}
	return r.fitFile(ctx, a, t)
}

// Fits are the versions of the fit, newest first.
func (r *Register) Fits(ctx context.Context, a models.Actor) ([]models.LearnedFit, error) {
	if err := a.May(models.ActTrend); err != nil {
		return nil, err
	}
	return r.store.Fits(ctx)
}

// fitFile leaves out what belongs to buildings that the actor does not see.
func (r *Register) fitFile(ctx context.Context, a models.Actor, t *taught) (FitFile, error) {
	f := FitFile{Kept: t.LearnedFit, Fit: t.body.Fit, Groups: t.body.Groups, Names: map[string]string{}}
	names, err := r.store.Buildings(ctx, scopeOf(a))
	if err != nil {
		return f, err
	}
	f.Fit.Buildings = map[string]seal.Effect{}
	for _, b := range names {
		f.Names[string(b.ID)] = b.Name
		if e, ok := t.body.Fit.Buildings[string(b.ID)]; ok {
			f.Fit.Buildings[string(b.ID)] = e
		}
	}
	for _, x := range t.body.LeftOut {
		if a.Sees(x.Building) {
			f.LeftOut = append(f.LeftOut, x)
		}
	}
	return f, nil
}

// intervalsOf prices the reference cover, and the same cover with one thing
// different.
func intervalsOf(fit seal.Fit, p models.Policy) []CostInterval {
	costs := fit.Costs(p.WetYearCost, p.FoundWetCost)
	costs.Spoil = p.SpoilChance
	out := []CostInterval{}
	add := func(family, word string, c seal.Covariates) {
		look := fit.Outlook(c)
		out = append(out, CostInterval{family, word, look.Interval(costs), look.At(1)})
	}
	add("", "", seal.Covariates{Seal: seal.Sound})
	for _, s := range []seal.State{seal.Repaired, seal.Poor, seal.Unknown} {
		add("seal", string(s), seal.Covariates{Seal: s})
	}
	for _, m := range []seal.Method{"tape", "sealant", "tape_sealant", "mechanical"} {
		add("method", string(m), seal.Covariates{Seal: seal.Sound, Method: m})
	}
	return out
}

// PredictionPage is a stretch of what was expected of openings, oldest first.
type PredictionPage struct {
	Rows []models.Prediction
	Next string // the ID of the last row where more follow, "" none
}

// predictionRows are on one page at most.
const predictionRows = 200

// Predictions are those after an opening's ID ("": from the oldest).
func (r *Register) Predictions(ctx context.Context, a models.Actor, after models.ID) (PredictionPage, error) {
	var page PredictionPage
	if err := a.May(models.ActTrend); err != nil {
		return page, err
	}
	day := models.Date("")
	if after != models.None {
		p, err := r.store.PredictionOf(ctx, after)
		if err != nil || !a.Sees(p.Building) {
			return page, orMissing(err, "prediction")
		}
		day = p.On
	}
	rows, err := r.store.PredictionPage(ctx, day, after, predictionRows+1, scopeOf(a))
	if len(rows) > predictionRows {
		rows = rows[:predictionRows]
		page.Next = string(rows[predictionRows-1].Opening)
	}
	page.Rows = rows
	return page, err
}
