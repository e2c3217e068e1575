package main

import (
	"math"
	"strconv"

	"drylag/models/seal"
)

// learned is what the learn command prints. A number that is not defined is null.
type learned struct {
	N                 int                 `json:"n"`
	Wet               int                 `json:"wet"`
	Buildings         int                 `json:"buildings"`
	Iterations        int                 `json:"iterations"`
	K                 *float64            `json:"k"`
	KSD               *float64            `json:"k_sd"`
	Beta              map[string]meanSD   `json:"beta"`
	BuildingEffects   map[string]*float64 `json:"building_effects"`
	BuildingEffectsSD map[string]*float64 `json:"building_effects_sd"`
	SigmaB            *float64            `json:"sigma_b"`
	LogLik            *float64            `json:"loglik"`
	Predictions       []predicted         `json:"predictions"`
	Steps             any                 `json:"steps"` // steps, or by group where asked
	Calibration       *calibrated         `json:"calibration"`
	LeftOut           []string            `json:"left_out"`
	Rejected          []rejectedRow       `json:"rejected"`
	Notes             []string            `json:"notes"`
}

type meanSD struct {
	Mean *float64 `json:"mean"`
	SD   *float64 `json:"sd"`
}

type predicted struct {
	ID any      `json:"id"` // a number where all ids are whole numbers
	U  float64  `json:"u"`
	P  *float64 `json:"p"`
	Lo *float64 `json:"lo"`
	Hi *float64 `json:"hi"`
}

type steps struct {
	LogLik *float64 `json:"loglik"`
	Mass   []mass   `json:"mass"`
}

type mass struct {
	Left  float64  `json:"left"`
	Right *float64 `json:"right"` // null: beyond all looks
	P     float64  `json:"p"`
}

type calibrated struct {
	N         int      `json:"n"`
	Wet       int      `json:"wet"`
	Brier     *float64 `json:"brier"`
	BrierBase *float64 `json:"brier_base"`
	Skill     *float64 `json:"skill"`
	LogScore  *float64 `json:"logscore"`
	AUC       *float64 `json:"auc"`
	OverE     *float64 `json:"o_over_e"`
	Intercept *float64 `json:"cal_intercept"`
	Slope     *float64 `json:"cal_slope"`
	Bins      []bin    `json:"bins"`
}

type bin struct {
	From  float64  `json:"from"`
	To    float64  `json:"to"`
	N     int      `json:"n"`
	Wet   int      `json:"wet"`
	MeanP *float64 `json:"mean_p"`
	Obs   *float64 `json:"obs"`
	Lo    *float64 `json:"lo"`
	Hi    *float64 `json:"hi"`
}

type rejectedRow struct {
	Line   int    `json:"line"`
	ID     string `json:"id"`
	Reason string `json:"reason"`
}

// finite is null for NaN and infinities, which JSON has no word for.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func sayLearned(found seal.Findings, s seal.Study) learned {
	f := found.Fit
	out := learned{
		N: f.N, Wet: f.Wet, Buildings: found.Buildings, Iterations: f.Steps, K: finite(f.K()), KSD: finite(f.SD(len(f.Names))),
		Beta: map[string]meanSD{}, BuildingEffects: map[string]*float64{}, BuildingEffectsSD: map[string]*float64{},
		LogLik: finite(f.LogLik), Predictions: sayPredictions(found.Predictions), Steps: saySteps(found.Steps, s.Layout.Group != ""),
		LeftOut: orNone(found.LeftOut), Rejected: []rejectedRow{}, Notes: orNone(found.Notes),
	}
	for _, c := range f.Coefficients() {
		out.Beta[c.Name] = meanSD{finite(c.Mean), finite(c.SD)}
	}
	for name, e := range f.Buildings {
		out.BuildingEffects[name], out.BuildingEffectsSD[name] = finite(e.B), finite(e.SD)
	}
	if f.Prior.Spread > 0 {
		out.SigmaB = finite(f.SigmaB)
	}
	if found.Calibration != nil {
		out.Calibration = sayCalibration(*found.Calibration)
	}
	for _, r := range found.Rejected {
		out.Rejected = append(out.Rejected, rejectedRow{r.Line, r.ID, r.Reason.Error()})
	}
	return out
}

func orNone(texts []string) []string {
	if texts == nil {
		return []string{}
	}
	return texts
}

func sayPredictions(at []seal.CoverAt) []predicted {
	whole := true
	for _, p := range at {
		n, err := strconv.ParseInt(p.ID, 10, 53)
		whole = whole && err == nil && strconv.FormatInt(n, 10) == p.ID
	}
	out := make([]predicted, len(at))
	for i, p := range at {
		out[i] = predicted{p.ID, p.Age, finite(p.P), finite(p.Lo), finite(p.Hi)}
		if whole {
			n, _ := strconv.ParseInt(p.ID, 10, 53) // tried above
			out[i].ID = n
		}
	}
	return out
}

func saySteps(groups []seal.GroupSteps, byGroup bool) any {
	all := map[string]steps{}
	for _, g := range groups {
		s := steps{LogLik: finite(g.LogLik), Mass: []mass{}}
		for _, m := range g.Mass {
			s.Mass = append(s.Mass, mass{m.Left, finite(m.Right), m.P})
		}
		if !byGroup {
			return s
		}
		all[g.Group] = s
	}
	return all
}

func sayCalibration(c seal.Calibration) *calibrated {
	out := &calibrated{N: c.N, Wet: c.Wet, Skill: c.Skill, LogScore: c.LogScore, AUC: c.AUC, OverE: c.OverE,
		Intercept: c.Intercept, Slope: c.Slope, Bins: []bin{}}
	if c.N > 0 {
		out.Brier, out.BrierBase = &c.Brier, &c.BrierBase
	}
	for _, b := range c.Bins {
		said := bin{From: b.From, To: b.To, N: b.N, Wet: b.Wet}
		if b.Found != nil {
			said.MeanP, said.Obs, said.Lo, said.Hi = &b.MeanP, &b.Found.P, &b.Found.Lo, &b.Found.Hi
		}
		out.Bins = append(out.Bins, said)
	}
	return out
}
