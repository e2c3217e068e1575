package seal

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// wanted is one fit in expected.json.
type wanted struct {
	Beta   map[string]float64
	K      float64
	B      list
	SE     list
	LogLik float64
	SigmaB float64 `json:"sigma_b"`
}

// list is a JSON list; R writes one of length 1 as a plain number.
type list []float64

func (l *list) UnmarshalJSON(text []byte) error {
	if text[0] != '[' {
		text = append(append([]byte{'['}, text...), ']')
	}
	return json.Unmarshal(text, (*[]float64)(l))
}

// agrees holds a fit to the README: beta, k, b 1e-6; se 1e-5 relative; sigma_b
// 1e-5. se is in the order of columns of prior.csv, k, buildings.
func (w wanted) agrees(t *testing.T, f Fit, buildings []string) {
	t.Helper()
	require.NotEmpty(t, w.Beta)
	p, err := ParsePrior(checkTable(t, "prior.csv"), Prior{})
	require.NoError(t, err)
	at := map[string]int{}
	for j, name := range f.Names {
		at[name] = j
	}
	for i, name := range p.names() {
		j := at[name]
		near(t, w.Beta[name], f.Theta[j], 1e-6, name)
		relative(t, w.SE[i], f.SD(j), 1e-5, "se of %s", name)
	}
	n := len(p.Columns)
	near(t, w.K, f.K(), 1e-6, "k")
	relative(t, w.SE[n], f.SD(len(f.Names)), 1e-5, "se of k")
	require.Len(t, f.Buildings, len(w.B))
	for g, name := range buildings {
		near(t, w.B[g], f.Buildings[name].B, 1e-6, "building %s", name)
		relative(t, w.SE[n+1+g], f.Buildings[name].SD, 1e-5, "se of building %s", name)
	}
}

// numbers are the names "1".."n" that the simulated fleets give buildings.
func numbers(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = strconv.Itoa(i + 1)
	}
	return names
}

func TestFleetsAgreeWithR(t *testing.T) {
	for _, name := range []string{"sim30", "sim300", "sim3000"} {
		t.Run(name, func(t *testing.T) {
			var all map[string]json.RawMessage
			readJSON(t, "expected.json", &all)
			var want struct {
				N, Wet, Buildings int
				Fixed             wanted `json:"fixed_sigma_0.4"`
				EB                wanted
				Predictions       []prediction
			}
			require.NoError(t, json.Unmarshal(all[name], &want))
			episodes := episodesOf(t, name+".csv", Layout{})
			kept, rejected := Sift(episodes)
			require.Empty(t, rejected)

			fixed, err := Learn(Default(), kept, Options{SigmaB: 0.4})
			require.NoError(t, err)
			want.Fixed.agrees(t, fixed, numbers(want.Buildings))
			near(t, want.Fixed.LogLik, fixed.LogLik, 1e-6, "loglik")
			require.Equal(t, 0.4, fixed.SigmaB)

			f, err := Learn(Default(), kept, Options{})
			require.NoError(t, err)
			want.EB.agrees(t, f, numbers(want.Buildings))
			near(t, want.EB.LogLik, f.LogLik, 1e-6, "loglik")
			relative(t, want.EB.SigmaB, f.SigmaB, 1e-5, "sigma_b")
			require.Equal(t, want.N, f.N)
			require.Equal(t, want.Wet, f.Wet)

			covers := coversByID(t)
			require.Len(t, want.Predictions, 24)
			for _, w := range want.Predictions {
				w.agrees(t, f.Predict(covers[w.Cover.String()], w.U), 1e-5)
			}
		})
	}
}

func TestFailureCasesAgreeWithR(t *testing.T) {
	var all struct{ Fail map[string]json.RawMessage }
	readJSON(t, "expected.json", &all)
	for _, name := range []string{"alldry", "allwet", "separation", "onegroup", "onerow"} {
		t.Run(name, func(t *testing.T) {
			var want wanted
			require.NoError(t, json.Unmarshal(all.Fail[name], &want))
			var at struct {
				Pred prediction `json:"pred_cover1_u1"`
			}
			require.NoError(t, json.Unmarshal(all.Fail[name], &at))
			f, err := Learn(Default(), episodesOf(t, "fail_"+name+".csv", Layout{}), Options{SigmaB: 0.4})
			require.NoError(t, err)
			want.agrees(t, f, numbers(1))
			at.Pred.agrees(t, f.Predict(coversByID(t)["1"], 1), 1e-6)

			free, err := Learn(Default(), episodesOf(t, "fail_"+name+".csv", Layout{}), Options{})
			require.NoError(t, err, "the spread settles too")
			require.InDelta(t, 0.4, free.SigmaB, 0.1, "one building says little about the spread")
		})
	}
}

func TestNoEpisodesIsTheExpert(t *testing.T) {
	f, err := Learn(Default(), nil, Options{})
	require.NoError(t, err)
	e := Expert(Default())
	require.Equal(t, e.Version, f.Version)
	require.Equal(t, 0, f.N)
	require.InDeltaSlice(t, e.Theta, f.Theta, 1e-12)
	for i := range e.Cov {
		require.InDeltaSlice(t, e.Cov[i], f.Cov[i], 1e-12)
	}
	require.InDelta(t, e.SigmaB, f.SigmaB, 1e-12)
}

// generic is a fit of plain L,R data in expected.json.
type generic struct {
	PriorMean list `json:"prior_mean"`
	PriorSD   list `json:"prior_sd"`
	Beta      list
	K         float64
	SE        list
	Cov       [][]float64
	LogLik    float64
	LogPost   float64 `json:"logpost_no_const"`
	Pred      []struct {
		X string
		prediction
	}
}

func (w generic) agrees(t *testing.T, p Prior, episodes []Episode, covers map[string]Covariates) {
	t.Helper()
	for j, c := range p.Columns {
		require.InDelta(t, w.PriorMean[j], c.Mean, 1e-11, c.Name)
		require.InDelta(t, w.PriorSD[j], c.SD, 1e-11, c.Name)
	}
	f, err := Learn(p, episodes, Options{})
	require.NoError(t, err)
	for j, b := range w.Beta {
		near(t, b, f.Theta[j], 1e-6, f.Names[j])
	}
	near(t, w.K, f.K(), 1e-6, "k")
	for i, line := range w.Cov {
		relative(t, w.SE[i], f.SD(i), 1e-5, "se %d", i)
		for j, v := range line {
			require.InDelta(t, v, f.Cov[i][j], 1e-6)
		}
	}
	near(t, w.LogLik, f.LogLik, 1e-6, "loglik")
	for _, at := range w.Pred {
		at.agrees(t, f.Predict(covers[at.X], at.U), 1e-5)
	}
}

func TestPublishedSetsAgreeWithR(t *testing.T) {
	var want struct {
		Turbine struct {
			Map generic `json:"map_tau10"`
		}
		Cosmesis struct {
			Map generic `json:"map_tau12"`
		}
	}
	readJSON(t, "expected.json", &want)

	turbine := episodesOf(t, "turbine.csv", Layout{TimeScale: 10, Counts: counted})
	want.Turbine.Map.agrees(t, ForGroups(nil), turbine, map[string]Covariates{"1": {}})

	cosmesis := episodesOf(t, "cosmesis.csv", Layout{Group: "group", TimeScale: 12})
	want.Cosmesis.Map.agrees(t, ForGroups(Groups(cosmesis)), cosmesis,
		map[string]Covariates{"1 1 0": {Group: "RT"}, "1 0 1": {Group: "RCT"}})
}

// survreg is a maximum likelihood fit in expected.json.
type survreg struct {
	K, B0  float64
	B      json.RawMessage
	LogLik float64
	Scale  float64
	SE     map[string]float64
}

func TestMaxLikelihoodAgreesWithSurvreg(t *testing.T) {
	var want struct {
		Turbine struct {
			MLE survreg
			GLM struct{ B0, K float64 }  `json:"glm_cloglog"`
			FAt []struct{ U, F float64 } `json:"F_at"`
		}
		Cosmesis struct{ MLE0, MLE1 survreg }
	}
	readJSON(t, "expected.json", &want)
	mle := func(episodes []Episode, groups []string) Fit {
		f, err := MaxLikelihood(ForGroups(groups), episodes)
		require.NoError(t, err)
		return f
	}
	agrees := func(w survreg, f Fit) {
		relative(t, w.K, f.K(), 1e-6, "k")
		relative(t, w.B0, f.Theta[0], 1e-6, "b0")
		near(t, w.LogLik, f.LogLik, 1e-6, "loglik")
		relative(t, w.SE["Log(scale)"], f.SD(len(f.Names))/f.K(), 1e-5, "se of ln k")
	}

	turbine := episodesOf(t, "turbine.csv", Layout{Counts: counted})
	f := mle(turbine, nil)
	agrees(want.Turbine.MLE, f)
	relative(t, want.Turbine.GLM.B0, f.Theta[0], 1e-6, "b0 by glm; its se uses expected information, ours observed")
	relative(t, want.Turbine.GLM.K, f.K(), 1e-6, "k by glm")
	v, k := f.Cov, f.K() // mu = -b0/k
	db, dk := -1/k, f.Theta[0]/(k*k)
	muSD := math.Sqrt(db*db*v[0][0] + 2*db*dk*v[0][1] + dk*dk*v[1][1])
	relative(t, want.Turbine.MLE.SE["(Intercept)"], muSD, 1e-5, "se of mu")
	require.Equal(t, 432, f.N)
	require.Equal(t, 106, f.Wet)
	for _, w := range want.Turbine.FAt {
		relative(t, w.F, wetAt(f.Predict(Covariates{}, w.U).Eta), 1e-6, "F at %v", w.U)
	}

	cosmesis := episodesOf(t, "cosmesis.csv", Layout{Group: "group"})
	agrees(want.Cosmesis.MLE0, mle(cosmesis, nil))
	f = mle(cosmesis, Groups(cosmesis))
	agrees(want.Cosmesis.MLE1, f)
	require.Equal(t, []string{"intercept", "group_RCT"}, f.Names, "the first group is the reference")
	var b map[string]float64
	require.NoError(t, json.Unmarshal(want.Cosmesis.MLE1.B, &b))
	require.Len(t, b, 1)
	for _, v := range b {
		relative(t, v, f.Theta[1], 1e-6, "group")
	}
}

func TestMaxLikelihoodWithoutMaximum(t *testing.T) {
	for _, name := range []string{"fail_alldry.csv", "fail_onegroup.csv", "fail_onerow.csv", "fail_separation.csv"} {
		_, err := MaxLikelihood(Default(), episodesOf(t, name, Layout{}))
		require.ErrorContains(t, err, "do not determine", name)
	}
}

// The order of rows, weights for copies and where the search starts do not matter.
func TestLearnLaws(t *testing.T) {
	episodes := episodesOf(t, "sim300.csv", Layout{})
	f, err := Learn(Default(), episodes, Options{})
	require.NoError(t, err)

	back := make([]Episode, 0, len(episodes))
	for i := range episodes {
		back = append(back, episodes[len(episodes)-1-i])
	}
	same := func(g Fit, err error, tol float64) {
		t.Helper()
		require.NoError(t, err)
		require.InDeltaSlice(t, f.Theta, g.Theta, tol)
		require.InDelta(t, f.SigmaB, g.SigmaB, tol)
		require.InDelta(t, f.Buildings["7"].B, g.Buildings["7"].B, tol)
	}
	g, err := Learn(Default(), back, Options{})
	same(g, err, 1e-8)
	g, err = Learn(Default(), episodes, Options{Start: &f})
	same(g, err, 1e-7)
	require.Less(t, g.Steps, f.Steps, "a warm start is a shorter way")
	require.Equal(t, f.Version, g.Version)

	twice := append(append([]Episode(nil), episodes...), episodes...)
	doubled := append([]Episode(nil), episodes...)
	for i := range doubled {
		doubled[i].Weight = 2
	}
	a, err := Learn(Default(), twice, Options{})
	require.NoError(t, err)
	b, err := Learn(Default(), doubled, Options{})
	require.NoError(t, err)
	require.InDeltaSlice(t, a.Theta, b.Theta, 1e-8)
	require.Equal(t, a.N, b.N)
	require.NotEqual(t, f.Version, a.Version)

	// A fit that was stored and read back predicts the same.
	text, err := json.Marshal(f)
	require.NoError(t, err)
	var read Fit
	require.NoError(t, json.Unmarshal(text, &read))
	require.Equal(t, f, read)
}

// The derivatives of every kind of row agree with central differences.
func TestScoreDerivatives(t *testing.T) {
	rows := map[string]Episode{
		"dry": {Dry: 1.7, Wet: math.Inf(1)}, "wet": {Wet: 0.6}, "between": {Dry: 0.4, Wet: 1.9},
		"close together": {Dry: 1.5, Wet: 1.5001},
	}
	for name, e := range rows {
		r := newRow(&e)
		for _, eta := range []float64{-14, -3, 0.2, 2} {
			const k, h = 1.3, 1e-5
			s := r.score(eta, k)
			diff := func(f func(score) float64, de, dk float64) float64 {
				return (f(r.score(eta+de, k+dk)) - f(r.score(eta-de, k-dk))) / (2 * h)
			}
			value, se, sk := func(s score) float64 { return s.value }, func(s score) float64 { return s.s }, func(s score) float64 { return s.sk }
			near(t, diff(value, h, 0), s.s, 1e-5, "%s at %v: s", name, eta)
			near(t, diff(value, 0, h), s.sk, 1e-5, "%s at %v: sk", name, eta)
			near(t, -diff(se, h, 0), s.h, 1e-5, "%s at %v: h", name, eta)
			near(t, -diff(se, 0, h), s.hk, 1e-5, "%s at %v: hk", name, eta)
			near(t, -diff(sk, 0, h), s.hkk, 1e-5, "%s at %v: hkk", name, eta)
		}
	}
}

func TestLearnRefuses(t *testing.T) {
	good := Episode{Wet: 1}
	for name, c := range map[string]struct {
		prior    Prior
		episodes []Episode
		text     string
	}{
		"reversed":  {Default(), []Episode{good, {ID: "a7", Dry: 2, Wet: 1}}, "episode 2 a7: found wet at 1, not after it was last known dry at 2"},
		"no number": {Default(), []Episode{{Dry: math.NaN(), Wet: 1}}, "an age must be a number"},
		"no look":   {Default(), []Episode{{Wet: math.Inf(1)}}, "neither a dry nor a wet look"},
		"weight":    {Default(), []Episode{{Wet: 1, Weight: -1}}, "the weight must be above 0"},
		"no prior":  {Prior{}, nil, "no columns"},
		"flat":      {Default().With(Column{"seal_poor", 0, 0}), nil, "seal_poor needs a mean and a standard deviation above 0"},
		"no k":      {Prior{Columns: Default().Columns}, nil, "KShape above 1"},
	} {
		_, err := Learn(c.prior, c.episodes, Options{})
		require.ErrorContains(t, err, c.text, name)
	}
}

func TestLearnedMark(t *testing.T) {
	f, err := Learn(Default(), episodesOf(t, "sim3000.csv", Layout{}), Options{})
	require.NoError(t, err)
	learned := map[string]bool{}
	for _, c := range f.Coefficients() {
		learned[c.Name] = c.Learned
		require.Less(t, c.Lo, c.Times)
		require.Less(t, c.Times, c.Hi)
	}
	require.True(t, learned["drive_log2"])
	require.True(t, learned["seal_poor"])
	require.False(t, learned["seal_unknown"], "no episode here had an unknown seal")
	for _, w := range f.Factors(Covariates{Building: "7", Seal: Unknown}, nil) {
		require.Equal(t, w.Name == "building", w.Learned, w.Name)
	}
	require.Equal(t, 0.5, math.Round(10*f.SigmaB)/10, "the simulator's buildings spread by 0.5")
}
