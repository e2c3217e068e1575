package seal

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCalibrationAgreesWithR(t *testing.T) {
	var want struct {
		Calib struct {
			N, Wet                      int
			Brier, Skill, LogScore, AUC float64
			BrierBase                   float64 `json:"brier_base"`
			OverE                       float64 `json:"o_over_e"`
			Intercept                   float64 `json:"cal_intercept"`
			Slope                       float64 `json:"cal_slope"`
			Bins                        []struct {
				N           int
				MeanP       float64 `json:"mean_p"`
				Obs, Lo, Hi float64
			}
		}
	}
	readJSON(t, "expected.json", &want)
	w := want.Calib
	scored, err := ParseScored(checkTable(t, "calib.csv"))
	require.NoError(t, err)
	c := Calibrate(scored)
	require.Equal(t, w.N, c.N)
	require.Equal(t, w.Wet, c.Wet)
	require.InDelta(t, w.Brier, c.Brier, 1e-9)
	require.InDelta(t, w.BrierBase, c.BrierBase, 1e-9)
	require.InDelta(t, w.Skill, *c.Skill, 1e-9)
	require.InDelta(t, w.LogScore, *c.LogScore, 1e-9)
	require.InDelta(t, w.AUC, *c.AUC, 1e-9)
	require.InDelta(t, w.OverE, *c.OverE, 1e-9)
	require.InDelta(t, w.Intercept, *c.Intercept, 1e-6)
	require.InDelta(t, w.Slope, *c.Slope, 1e-6)
	require.Len(t, c.Bins, 7)
	for i, b := range w.Bins {
		got := c.Bins[i]
		require.Equal(t, b.N, got.N)
		require.InDelta(t, b.MeanP, got.MeanP, 1e-9)
		require.InDelta(t, b.Obs, got.Found.P, 1e-9)
		require.InDelta(t, b.Lo, got.Found.Lo, 1e-9)
		require.InDelta(t, b.Hi, got.Found.Hi, 1e-9)
	}
}

func TestCalibrationOfLittle(t *testing.T) {
	require.Equal(t, Calibration{}, Calibrate(nil))

	wet := Calibrate([]Scored{{P: 0.3, Wet: true}, {P: 0.05, Wet: true}})
	require.Nil(t, wet.AUC, "no dry one to rank against")
	require.Nil(t, wet.Skill)
	require.Nil(t, wet.Slope)
	require.InDelta(t, 2/0.35, *wet.OverE, 1e-12)
	require.Equal(t, 1, wet.Bins[0].N, "an edge belongs below")
	require.Nil(t, wet.Bins[6].Found)

	wrong := Calibrate([]Scored{{P: 1}, {P: 0.5, Wet: true}})
	require.Nil(t, wrong.LogScore, "certain and wrong")
	require.Equal(t, 0.0, *wrong.AUC)
	sure := Calibrate([]Scored{{P: 1, Wet: true}, {P: 0}})
	require.Equal(t, 0.0, *sure.LogScore)
	require.Equal(t, 1.0, *sure.AUC)
	tied := Calibrate([]Scored{{P: 0.4, Wet: true}, {P: 0.4}})
	require.Equal(t, 0.5, *tied.AUC)
}

// history invents openings whose predictions are off by shift and slope on
// the scale of the log hazard.
func history(n int, shift, slope float64) ([]Scored, func(int) int) {
	r := rand.New(rand.NewPCG(3, uint64(n)))
	scored := make([]Scored, n)
	for i := range scored {
		eta := r.NormFloat64() - 1
		base := wetAt(-1)
		scored[i] = Scored{P: wetAt(shift + slope*eta), Wet: r.Float64() < wetAt(eta), Base: &base,
			Round: string(rune('a' + i%8)), Building: string(rune('A' + i%5))}
	}
	return scored, r.IntN
}

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		name         string
		n            int
		shift, slope float64
		want         Verdict
	}{
		{"few", 60, 0, 1, TooFew},
		{"true to the law", 800, 0, 1, Holds},
		{"twice too wet", 800, 0.9, 1, Fails},
		{"too bold", 800, 0.8, 2, Fails},
		{"upside down", 800, -2, -1, Fails},
	} {
		scored, pick := history(c.n, c.shift, c.slope)
		j := Judge(scored, pick)
		require.Equal(t, c.want, j.Verdict, "%s: O/E %v slope %v", c.name, *j.OverE, *j.Slope)
		require.Nil(t, j.OverAge, "no such yardstick was stored")
		if c.want == Holds {
			require.Less(t, 0.0, *j.BaseLow)
			require.Less(t, *j.BaseLow, *j.OverBase)
		}
	}
	scored, pick := history(800, -2, -1)
	require.InDelta(t, -1, *Judge(scored, pick).Slope, 0.25, "a slope below 0 is found, not hidden")
	for i := range scored {
		scored[i].Base = nil
	}
	require.Nil(t, Judge(scored, pick).OverBase)
}

func TestWilson(t *testing.T) {
	for k := range 11 {
		s := Wilson(k, 10)
		m := Wilson(10-k, 10)
		require.InDelta(t, s.Lo, 1-m.Hi, 1e-12, "wet and dry mirror each other")
		require.True(t, 0 <= s.Lo && s.Lo <= s.P && s.P <= s.Hi && s.Hi <= 1)
		for _, edge := range []float64{s.Lo, s.Hi} { // where the score test just rejects
			if edge > 1e-12 && edge < 1-1e-12 {
				require.InDelta(t, z90, math.Abs(s.P-edge)/math.Sqrt(edge*(1-edge)/10), 1e-9)
			}
		}
	}
}
