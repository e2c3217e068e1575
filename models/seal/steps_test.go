package seal

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// wantedMass is one mass in expected.json; Right is null for infinity.
type wantedMass struct {
	Left  float64
	Right *float64
	P     float64
}

func agree(t *testing.T, want []wantedMass, got Steps) {
	t.Helper()
	require.NotEmpty(t, want)
	require.Len(t, got.Mass, len(want))
	total := 0.0
	for i, w := range want {
		m := got.Mass[i]
		require.Equal(t, w.Left, m.Left)
		if w.Right == nil {
			require.True(t, math.IsInf(m.Right, 1))
		} else {
			require.Equal(t, *w.Right, m.Right)
		}
		require.InDelta(t, w.P, m.P, 1e-6, "(%v, %v]", m.Left, m.Right)
		total += m.P
	}
	require.InDelta(t, 1, total, 1e-9)
}

func TestStepsOfTurbineAgreeWithR(t *testing.T) {
	var want struct {
		Turbine struct {
			NPMLE  []struct{ U, F float64 } `json:"npmle"`
			NPSurv []wantedMass             `json:"npmle_npsurv"`
			LL     float64                  `json:"npmle_ll"`
		}
	}
	readJSON(t, "expected.json", &want)
	episodes := episodesOf(t, "turbine.csv", Layout{Counts: counted})
	s, err := NewSteps(episodes)
	require.NoError(t, err)
	agree(t, want.Turbine.NPSurv, s)
	near(t, want.Turbine.LL, s.LogLik, 1e-7, "loglik")
	require.Equal(t, 432, s.N)
	require.Equal(t, 106, s.Wet)
	require.Len(t, want.Turbine.NPMLE, 11)
	for _, w := range want.Turbine.NPMLE {
		least, most := s.WetBy(w.U)
		require.InDelta(t, w.F, least, 1e-9, "F at %v", w.U)
		require.InDelta(t, w.F, most, 1e-9, "at an inspection nothing is open")
	}
	least, most := s.WetBy(7)
	require.Equal(t, 0.0, least)
	require.InDelta(t, s.Mass[0].P, most, 1e-12, "inside (4, 10] the step may lie anywhere")

	searched, err := turnbull(episodes)
	require.NoError(t, err)
	agree(t, want.Turbine.NPSurv, searched)
}

func TestStepsOfCosmesisAgreeWithR(t *testing.T) {
	type fitted struct {
		Mass []wantedMass
		LL   float64
	}
	var want struct {
		Cosmesis struct {
			Turnbull map[string]fitted
			All      fitted `json:"turnbull_all"`
		}
	}
	readJSON(t, "expected.json", &want)
	all := episodesOf(t, "cosmesis.csv", Layout{Group: "group"})
	sets := map[string][]Episode{"": all}
	for _, e := range all {
		sets[e.Covariates.Group] = append(sets[e.Covariates.Group], e)
	}
	want.Cosmesis.Turnbull[""] = want.Cosmesis.All
	require.Len(t, want.Cosmesis.Turnbull, 3)
	for group, w := range want.Cosmesis.Turnbull {
		s, err := NewSteps(sets[group])
		require.NoError(t, err)
		agree(t, w.Mass, s)
		near(t, w.LL, s.LogLik, 1e-7, "loglik of %q", group)
	}
}

func TestStepsOfFleetsAgreeWithR(t *testing.T) {
	for _, name := range []string{"sim30", "sim300", "sim3000"} {
		var all map[string]json.RawMessage
		readJSON(t, "expected.json", &all)
		var want struct {
			NPMLE struct {
				LL   float64
				Mass []wantedMass
			}
		}
		require.NoError(t, json.Unmarshal(all[name], &want))
		s, err := NewSteps(episodesOf(t, name+".csv", Layout{}))
		require.NoError(t, err)
		near(t, want.NPMLE.LL, s.LogLik, 1e-7, name)
		agree(t, want.NPMLE.Mass, s)
		require.Less(t, s.Rounds, 100, name)
	}
}

func TestStepsOfLittle(t *testing.T) {
	for name, c := range map[string]struct {
		episodes []Episode
		want     []Mass
	}{
		"none":        {nil, nil},
		"one wet":     {[]Episode{{Wet: 2}}, []Mass{{0, 2, 1}}},
		"one dry":     {[]Episode{{Dry: 2, Wet: math.Inf(1)}}, []Mass{{2, math.Inf(1), 1}}},
		"one between": {[]Episode{{Dry: 1, Wet: 2}}, []Mass{{1, 2, 1}}},
		"all wet":     {[]Episode{{Wet: 1}, {Wet: 3}}, []Mass{{0, 1, 1}}},
		"a tie of dry and wet": {[]Episode{{Wet: 1}, {Dry: 1, Wet: math.Inf(1)}},
			[]Mass{{0, 1, 0.5}, {1, math.Inf(1), 0.5}}},
	} {
		s, err := NewSteps(c.episodes)
		require.NoError(t, err, name)
		require.Equal(t, c.want, s.Mass, name)
	}
	_, err := NewSteps([]Episode{{Dry: 2, Wet: 1}})
	require.ErrorContains(t, err, "not after it was last known dry")
}

func TestAgeBins(t *testing.T) {
	bins := AgeBins([]Episode{{Wet: 0.3}, {Dry: 0.26, Wet: math.Inf(1)}, {Dry: 0.1, Wet: 0.49}, {Dry: 1.1, Wet: math.Inf(1)}}, 0.25)
	require.Len(t, bins, 2)
	require.Equal(t, AgeBin{0.25, 0.5, 3, 2, Wilson(2, 3)}, bins[0])
	require.Equal(t, AgeBin{1, 1.25, 1, 0, Wilson(0, 1)}, bins[1])
}

func TestStepsBy(t *testing.T) {
	all := episodesOf(t, "cosmesis.csv", Layout{Group: "group"})
	groups, err := StepsBy(all, func(e *Episode) string { return e.Covariates.Group })
	require.NoError(t, err)
	require.Len(t, groups, 2)
	n := 0
	for i, name := range []string{"RT", "RCT"} {
		require.Equal(t, name, groups[i].Group, "in the order of the rows")
		var own []Episode
		for _, e := range all {
			if e.Covariates.Group == name {
				own = append(own, e)
			}
		}
		s, err := NewSteps(own)
		require.NoError(t, err)
		require.Equal(t, s, groups[i].Steps)
		n += s.N
	}
	require.Equal(t, len(all), n)

	none, err := StepsBy(nil, func(*Episode) string { return "" })
	require.NoError(t, err)
	require.Equal(t, []GroupSteps{{}}, none)
	_, err = StepsBy([]Episode{{Dry: 2, Wet: 1}}, func(*Episode) string { return "" })
	require.Error(t, err)
}
