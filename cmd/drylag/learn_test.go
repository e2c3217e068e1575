package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The check tables; their README names the source and the tolerance of each
// value: R 4.2.2 with survival, npsurv and numDeriv.
const learningChecks = "../../testdata/check/learning"

func check(name string) string { return filepath.Join(learningChecks, name) }

// readLearn is a said answer as any reader of the JSON sees it.
type readLearn struct {
	N, Wet, Buildings, Iterations int
	K                             float64
	KSD                           float64 `json:"k_sd"`
	Beta                          map[string]struct{ Mean, SD float64 }
	Effects                       map[string]float64 `json:"building_effects"`
	EffectsSD                     map[string]float64 `json:"building_effects_sd"`
	SigmaB                        *float64           `json:"sigma_b"`
	LogLik                        float64
	Predictions                   []struct {
		ID           any
		U, P, Lo, Hi float64
	}
	Steps       json.RawMessage
	Calibration map[string]any
	LeftOut     []string `json:"left_out"`
	Rejected    []rejectedRow
	Notes       []string
}

// learnFrom runs the command and reads what it printed.
func learnFrom(t *testing.T, args ...string) readLearn {
	t.Helper()
	code, out, errOut := drylag(t, append([]string{"learn"}, args...)...)
	require.Equal(t, exitDone, code, errOut)
	require.Empty(t, errOut)
	var r readLearn
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	return r
}

// expected reads one part of expected.json.
func expected(t *testing.T, into any, path ...string) {
	t.Helper()
	text, err := os.ReadFile(check("expected.json"))
	require.NoError(t, err)
	for _, key := range path {
		var part map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(text, &part))
		require.Contains(t, part, key)
		text = part[key]
	}
	require.NoError(t, json.Unmarshal(text, into))
}

// near holds a value to tol, relative where it is above 1.
func near(t *testing.T, want, got, tol float64, what string) {
	t.Helper()
	require.InDelta(t, want, got, tol*math.Max(1, math.Abs(want)), what)
}

// oneOrMore is a JSON list; R writes one of length 1 as a plain value.
type oneOrMore []float64

func (l *oneOrMore) UnmarshalJSON(text []byte) error {
	if text[0] != '[' {
		text = []byte("[" + string(text) + "]")
	}
	return json.Unmarshal(text, (*[]float64)(l))
}

// fitted is one MAP fit in expected.json; se is in the order of prior.csv, then
// k, then the buildings.
type fitted struct {
	Beta   map[string]float64
	K      float64
	B, SE  oneOrMore
	LogLik *float64
	SigmaB *float64 `json:"sigma_b"`
}

func (w fitted) agrees(t *testing.T, got readLearn) {
	t.Helper()
	text, err := os.ReadFile(check("prior.csv"))
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	require.Len(t, lines, len(w.Beta))
	for j, line := range lines {
		name, _, _ := strings.Cut(line, ",")
		near(t, w.Beta[name], got.Beta[name].Mean, 1e-6, name)
		require.InEpsilon(t, w.SE[j], got.Beta[name].SD, 1e-5, name)
	}
	near(t, w.K, got.K, 1e-6, "k")
	require.InEpsilon(t, w.SE[len(lines)], got.KSD, 1e-5)
	require.Len(t, got.Effects, len(w.B))
	for g, b := range w.B {
		name := fmt.Sprint(g + 1)
		near(t, b, got.Effects[name], 1e-6, "building "+name)
		require.InEpsilon(t, w.SE[len(lines)+1+g], got.EffectsSD[name], 1e-5)
	}
	if w.LogLik != nil {
		near(t, *w.LogLik, got.LogLik, 1e-6, "loglik")
	}
	if w.SigmaB != nil {
		require.InEpsilon(t, *w.SigmaB, *got.SigmaB, 1e-5)
	}
}

// foretold is one prediction in expected.json.
type foretold struct {
	Cover  any
	X      string
	U      float64
	PMean  float64 `json:"p_mean"`
	Lo, Hi float64
}

// foretold checks the predictions, in the order of cover and age.
func (got readLearn) foretold(t *testing.T, want []foretold, tol float64) {
	t.Helper()
	require.Len(t, got.Predictions, len(want))
	for i, w := range want {
		p := got.Predictions[i]
		require.Equal(t, w.Cover, p.ID)
		require.Equal(t, w.U, p.U)
		near(t, w.PMean, p.P, tol, "p")
		near(t, w.Lo, p.Lo, tol, "lo")
		near(t, w.Hi, p.Hi, tol, "hi")
	}
}

// stepped is one NPMLE in expected.json.
type stepped struct {
	LL   float64
	Mass []mass
}

func (w stepped) agrees(t *testing.T, got json.RawMessage) {
	t.Helper()
	var s struct {
		LogLik float64
		Mass   []mass
	}
	require.NoError(t, json.Unmarshal(got, &s))
	near(t, w.LL, s.LogLik, 1e-7, "loglik of the steps")
	require.Len(t, s.Mass, len(w.Mass))
	for i, m := range w.Mass {
		require.Equal(t, m.Left, s.Mass[i].Left)
		require.Equal(t, m.Right, s.Mass[i].Right)
		require.InDelta(t, m.P, s.Mass[i].P, 1e-6)
	}
}

func TestLearnAgreesOnFleets(t *testing.T) {
	for _, name := range []string{"sim30", "sim300", "sim3000"} {
		data := check(name + ".csv")
		var want struct {
			N, Wet, Buildings int
			Fixed             fitted `json:"fixed_sigma_0.4"`
			EB                fitted
			Predictions       []foretold
			NPMLE             stepped
		}
		expected(t, &want, name)
		got := learnFrom(t, "--data", data, "--predict", check("covers.csv"), "--at", "0.5,1,2,5")
		require.Equal(t, []int{want.N, want.Wet, want.Buildings}, []int{got.N, got.Wet, got.Buildings})
		want.EB.agrees(t, got)
		got.foretold(t, want.Predictions, 1e-5)
		want.NPMLE.agrees(t, got.Steps)
		require.Empty(t, got.Rejected)
		require.Empty(t, got.Notes)

		got = learnFrom(t, "--data", data, "--sigma-b", "0.4", "--prior", check("prior.csv"))
		want.Fixed.agrees(t, got)
		require.Equal(t, 0.4, *got.SigmaB)
		require.Empty(t, got.Predictions)
		require.Nil(t, got.Calibration)
	}
}

func TestLearnAgreesOnFailureCases(t *testing.T) {
	for _, name := range []string{"alldry", "allwet", "separation", "onegroup", "onerow"} {
		var want struct {
			fitted
			Pred foretold `json:"pred_cover1_u1"`
		}
		expected(t, &want.fitted, "fail", name)
		expected(t, &want.Pred, "fail", name, "pred_cover1_u1")
		got := learnFrom(t, "--data", check("fail_"+name+".csv"), "--sigma-b", "0.4", "--predict", check("covers.csv"))
		want.fitted.agrees(t, got)
		first := got
		first.Predictions = got.Predictions[:1]
		want.Pred.Cover, want.Pred.U = 1.0, 1
		first.foretold(t, []foretold{want.Pred}, 1e-6)
		for _, p := range got.Predictions {
			require.True(t, 0 <= p.Lo && p.Lo <= p.Hi && p.Hi <= 1, "%+v", p)
		}
	}
	var want []foretold
	expected(t, &want, "fail", "zero", "predictions")
	header := written(t, "none.csv", "id,building,L,R\n")
	learnFrom(t, "--data", header, "--predict", check("covers.csv")).foretold(t, want, 1e-6)
	got := learnFrom(t, "--predict", check("covers.csv"))
	got.foretold(t, want, 1e-6)
	require.Equal(t, []int{0, 0, 0}, []int{got.N, got.Wet, got.Buildings})
}

// generic is a MAP fit of plain L,R data.
type generic struct {
	Beta, SE oneOrMore
	K        float64
	LogLik   float64
	Pred     []foretold
}

func (w generic) agrees(t *testing.T, got readLearn, names ...string) {
	t.Helper()
	require.Len(t, got.Beta, len(names))
	for j, name := range names {
		near(t, w.Beta[j], got.Beta[name].Mean, 1e-6, name)
		require.InEpsilon(t, w.SE[j], got.Beta[name].SD, 1e-5, name)
	}
	near(t, w.K, got.K, 1e-6, "k")
	require.InEpsilon(t, w.SE[len(names)], got.KSD, 1e-5)
	near(t, w.LogLik, got.LogLik, 1e-6, "loglik")
	require.Nil(t, got.SigmaB, "no building effect")
	require.Empty(t, got.Effects)
}

func TestLearnAgreesOnTurbines(t *testing.T) {
	args := []string{"--data", check("turbine.csv"), "--current-status", "u,inspected,cracked"}
	var mle struct{ K, B0, LogLik float64 }
	expected(t, &mle, "turbine", "mle")
	got := learnFrom(t, append(args, "--mle")...)
	require.InEpsilon(t, mle.K, got.K, 1e-6)
	require.InEpsilon(t, mle.B0, got.Beta["intercept"].Mean, 1e-6)
	near(t, mle.LogLik, got.LogLik, 1e-6, "loglik")
	require.Equal(t, []int{432, 106}, []int{got.N, got.Wet})
	var steps stepped
	expected(t, &steps.Mass, "turbine", "npmle_npsurv")
	expected(t, &steps.LL, "turbine", "npmle_ll")
	steps.agrees(t, got.Steps)

	var want generic
	expected(t, &want, "turbine", "map_tau10")
	for i := range want.Pred {
		want.Pred[i].Cover = "any"
	}
	covers := written(t, "covers.csv", "id\nany\n")
	got = learnFrom(t, append(args, "--time-scale", "10", "--predict", covers, "--at", "0.25,0.5,1,2,4")...)
	want.agrees(t, got, "intercept")
	got.foretold(t, want.Pred, 1e-5)

	weighted := "age;R;w\r\n" // the same as weighted rows, in another order, as a spreadsheet may save them
	text, err := os.ReadFile(check("turbine.csv"))
	require.NoError(t, err)
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		var u, n, w int
		_, err := fmt.Sscanf(strings.ReplaceAll(strings.TrimSpace(line), ",", " "), "%d %d %d", &u, &n, &w)
		require.NoError(t, err)
		weighted = fmt.Sprintf("%s%d;;%d\r\n0;%d;%d\r\n", weighted, u, n-w, u, w)
	}
	data := written(t, "weighted.csv", "\ufeff"+strings.Replace(weighted, "age", "L", 1))
	again := learnFrom(t, "--data", data, "--weight", "w", "--time-scale", "10")
	want.agrees(t, again, "intercept")
	require.Equal(t, got.N, again.N)
}

func TestLearnAgreesOnCosmesis(t *testing.T) {
	data := check("cosmesis.csv")
	var mle struct {
		K, B0, LogLik float64
		B             any
	}
	expected(t, &mle, "cosmesis", "mle0")
	got := learnFrom(t, "--data", data, "--mle")
	require.InEpsilon(t, mle.K, got.K, 1e-6)
	require.InEpsilon(t, mle.B0, got.Beta["intercept"].Mean, 1e-6)
	var pooled stepped
	expected(t, &pooled, "cosmesis", "turnbull_all")
	pooled.agrees(t, got.Steps)

	expected(t, &mle, "cosmesis", "mle1")
	got = learnFrom(t, "--data", data, "--mle", "--group", "group")
	require.InEpsilon(t, mle.K, got.K, 1e-6)
	require.InEpsilon(t, mle.B0, got.Beta["intercept"].Mean, 1e-6)
	require.InEpsilon(t, mle.B.(map[string]any)[`I(group == "RCT")TRUE`], got.Beta["group_RCT"].Mean, 1e-6)
	require.Equal(t, []string{"group_RT"}, got.LeftOut, "the first group is the reference")
	var steps map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(got.Steps, &steps))
	for _, group := range []string{"RT", "RCT"} {
		var want stepped
		expected(t, &want, "cosmesis", "turnbull", group)
		want.agrees(t, steps[group])
	}

	var want generic
	expected(t, &want, "cosmesis", "map_tau12")
	covers := written(t, "covers.csv", "group,id\nRT,1 1 0\nRCT,1 0 1\n")
	var byCover []foretold // the command answers cover by cover, R age by age
	for _, x := range []string{"1 1 0", "1 0 1"} {
		for _, p := range want.Pred {
			if p.X == x {
				p.Cover = x
				byCover = append(byCover, p)
			}
		}
	}
	prior := written(t, "prior.csv", "name,mean,sd\nRT,0,0.5\ngroup_RCT,0,0.5\nintercept,-1.81696079477961,1\n")
	for _, extra := range [][]string{nil, {"--prior", prior}} {
		got = learnFrom(t, append(extra, "--data", data, "--group", "group", "--time-scale", "12", "--predict", covers, "--at", "0.25,0.5,1,2,4")...)
		want.agrees(t, got, "intercept", "group_RT", "group_RCT")
		got.foretold(t, byCover, 1e-5)
	}
}

func TestLearnAgreesOnCalibration(t *testing.T) {
	var want map[string]any
	expected(t, &want, "calib")
	got := learnFrom(t, "--calibrate", check("calib.csv")).Calibration
	for key, w := range want {
		if key == "bins" {
			continue
		}
		tol := 1e-9
		if strings.HasPrefix(key, "cal_") {
			tol = 1e-6
		}
		require.InDelta(t, w, got[key], tol, key)
	}
	bins := got["bins"].([]any)
	require.Len(t, bins, len(want["bins"].([]any)))
	for i, b := range want["bins"].([]any) {
		w, g := b.(map[string]any), bins[i].(map[string]any)
		for _, key := range []string{"n", "mean_p", "obs", "lo", "hi"} {
			require.InDelta(t, w[key], g[key], 1e-9, key)
		}
	}
}
