package seal

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// degenerate are fleets that break a fit without a prior.
func degenerate(t *testing.T) map[string][]Episode {
	sets := map[string][]Episode{
		"none":                             nil,
		"one day, one building, all alike": {{Wet: 1}, {Wet: 1}, {Dry: 1, Wet: math.Inf(1)}},
		"very young and very old":          {{Wet: minAge}, {Dry: maxAge, Wet: math.Inf(1)}},
		"a hair's breadth":                 {{Dry: 1, Wet: math.Nextafter(1, 2)}},
		"extreme covariates":               {{Wet: 2, Covariates: Covariates{Drive: ptr(0), ServiceC: ptr(-273), AgeYears: ptr(1e9), Openings: 1e6, Building: "x"}}},
	}
	for _, name := range []string{"alldry", "allwet", "separation", "onegroup", "onerow"} {
		sets[name] = episodesOf(t, "fail_"+name+".csv", Layout{})
	}
	return sets
}

// The data leave most open, so the intervals of what they have not seen stay as
// wide as the expert's, and of what they have seen wider than any large fleet's.
func TestLittleDataIsFiniteAndWide(t *testing.T) {
	expert := Expert(Default())
	covers := coversByID(t)
	for name, episodes := range degenerate(t) {
		t.Run(name, func(t *testing.T) {
			f, err := Learn(Default(), episodes, Options{})
			require.NoError(t, err)
			for _, c := range f.Coefficients() {
				for _, x := range []float64{c.Mean, c.SD, c.Times, c.Lo, c.Hi} {
					require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s", c.Name)
				}
				require.LessOrEqual(t, c.SD, expert.SD(indexOf(f.Names, c.Name))*1.0001, "data never widen a coefficient")
				require.Greater(t, c.Times, 0.0)
			}
			for id, c := range covers {
				for _, u := range []float64{minAge, 1, 40} {
					p := f.Predict(c, u)
					require.True(t, 0 <= p.Lo && p.Lo <= p.Hi && p.Hi <= 1 && 0 <= p.P && p.P <= 1, "cover %s at %v: %+v", id, u, p)
				}
				require.Greater(t, f.Predict(c, 1).SD, 0.45, "cover %s: a factor of 2 either way at the least", id)
			}
			far := Covariates{Building: "never seen", Drive: ptr(8), Seal: Poor, Method: Mechanical, ServiceC: ptr(-5), Dual: true, PrevWet: true, Kind: Pump}
			require.Greater(t, f.Predict(far, 1).SD, 0.7*expert.Predict(far, 1).SD, "of a cover unlike any of them little is learned")
			for _, w := range f.Factors(far, nil) {
				require.False(t, math.IsNaN(w.Times) || math.IsInf(w.Hi, 0), w.Name)
			}
			u, ok := f.Outlook(covers["1"]).DueAge(f.Outlook(covers["1"].NextClosing()), 1, 2)
			require.True(t, !ok || u > 0)
		})
	}
}

func indexOf(names []string, name string) int {
	for j, n := range names {
		if n == name {
			return j
		}
	}
	return -1
}

// A building without episodes is as uncertain as the spread between buildings.
func TestUnseenBuilding(t *testing.T) {
	f, err := Learn(Default(), episodesOf(t, "sim300.csv", Layout{}), Options{})
	require.NoError(t, err)
	c := Covariates{Building: "never seen", Kind: Valve}
	unseen := f.Predict(c, 1)
	c.Building = ""
	require.Equal(t, f.Predict(c, 1), unseen)
	for name := range f.Buildings {
		c.Building = name
		require.Less(t, f.Predict(c, 1).SD, unseen.SD, name)
	}
	for _, w := range f.Factors(Covariates{Building: "never seen"}, nil) {
		require.False(t, w.Learned)
		require.InDelta(t, math.Exp(z90*f.SigmaB), w.Hi, 1e-12)
	}
}

// A fit is kept as JSON: read back it says the same to the last digit.
func TestFitSurvivesJSON(t *testing.T) {
	learned, err := Learn(Default(), episodesOf(t, "sim300.csv", Layout{}), Options{})
	require.NoError(t, err)
	likely, err := MaxLikelihood(ForGroups(nil), episodesOf(t, "turbine.csv", Layout{Counts: counted}))
	require.NoError(t, err)
	for name, f := range map[string]Fit{"learned": learned, "expert": Expert(Default()), "likely": likely} {
		text, err := json.Marshal(f)
		require.NoError(t, err, name)
		var read Fit
		require.NoError(t, json.Unmarshal(text, &read))
		require.Equal(t, f, read, name)
		for id, c := range coversByID(t) {
			require.Equal(t, f.Outlook(c), read.Outlook(c), "%s, cover %s", name, id)
			require.Equal(t, f.Factors(c, nil), read.Factors(c, nil))
		}
		require.Equal(t, f.Coefficients(), read.Coefficients())
		again, err := Learn(Default(), episodesOf(t, "sim300.csv", Layout{}), Options{Start: &read})
		require.NoError(t, err)
		require.InDelta(t, learned.K(), again.K(), 1e-7, "it serves as a start")
	}
}

func TestOutlooksAreOutlook(t *testing.T) {
	f, err := Learn(Default(), episodesOf(t, "sim300.csv", Layout{}), Options{})
	require.NoError(t, err)
	var covers []Covariates
	for _, c := range coversByID(t) {
		covers = append(covers, c)
	}
	for i, o := range f.Outlooks(covers) {
		require.Equal(t, f.Outlook(covers[i]), o)
	}
}
