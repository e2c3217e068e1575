package metal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models/metal"
)

// inches gives readings five years apart from walls in inches, as the worked
// examples print them.
func inches(walls ...float64) []metal.Reading {
	readings := make([]metal.Reading, len(walls))
	for i, w := range walls {
		readings[i] = metal.Reading{Year: 2001 + 5*float64(i), MM: w * 25.4}
	}
	return readings
}

func TestMeasuredRateWorked(t *testing.T) {
	for _, c := range []struct {
		readings                     []metal.Reading
		required                     float64 // in
		long, short, life, readAgain float64 // mpy, mpy, y, y
		source                       string
	}{
		{inches(.475, .450, .400), .300, 7.5, 10, 10, 5, "API 570 7.1.1, published practice exam"},
		{inches(.575, .550, .500), .350, 7.5, 10, 15, 7.5, "API 570 7.1, worked values"},
	} {
		m, ok := metal.MeasuredRate(c.readings, metal.DefaultGaugeErrorMM)
		require.True(t, ok)
		require.InDelta(t, c.long, metal.Mpy(*m.LongTerm), 1e-9, c.source)
		require.InDelta(t, c.short, metal.Mpy(*m.ShortTerm), 1e-9, c.source)
		require.Equal(t, *m.ShortTerm, m.Rate, "the larger of the two")
		last := c.readings[2]
		life := metal.RemainingLife(last.MM, c.required*25.4, m.Rate)
		require.InDelta(t, c.life, life, 1e-9, c.source)
		require.InDelta(t, c.readAgain, metal.ThicknessInterval(life, nil), 1e-9, c.source)
		require.InDelta(t, 2011+c.life, metal.CrossingYear(last, c.required*25.4, m.Rate), 1e-9, "arithmetic")
	}
}

func TestGaugeErrorHidesTheRate(t *testing.T) {
	const limit = 1.645 * math.Sqrt2 * 0.13 // 0.3024 mm, by the rule
	first := metal.Reading{Year: 2015, MM: 7.00}
	just := func(loss float64) []metal.Reading { return []metal.Reading{first, {Year: 2020, MM: 7 - loss}} }
	_, ok := metal.MeasuredRate(just(limit-0.001), 0.13)
	require.False(t, ok)
	m, ok := metal.MeasuredRate(just(limit+0.001), 0.13)
	require.True(t, ok)
	require.InDelta(t, (limit+0.001)/5, m.Rate, 1e-9)
	require.Nil(t, m.Line)
	require.InDelta(t, m.Rate-limit/5, m.Low, 1e-9, "two readings: rate ± 1.645 sqrt 2 gauge error / years")
	require.InDelta(t, m.Rate+limit/5, m.High, 1e-9)
	require.False(t, metal.Lost(first, metal.Reading{Year: 2020, MM: 7.5}, 0.13), "a wall that grew is no loss")
	require.True(t, metal.Lost(metal.Reading{Year: 2020, MM: 7.5}, first, 0.13), "but it can be told")
}

func TestOnlyOneRateShows(t *testing.T) {
	m, ok := metal.MeasuredRate([]metal.Reading{{2010, 7.1}, {2019, 6.6}, {2020, 6.5}}, 0.13)
	require.True(t, ok)
	require.Nil(t, m.ShortTerm, "0.1 mm in the last year is within gauge error")
	require.InDelta(t, 0.06, m.Rate, 1e-9)
	m, ok = metal.MeasuredRate([]metal.Reading{{2010, 6.5}, {2015, 7.1}, {2020, 6.5}}, 0.13)
	require.True(t, ok)
	require.Nil(t, m.LongTerm)
	require.InDelta(t, 0.12, m.Rate, 1e-9)
	m, ok = metal.MeasuredRate([]metal.Reading{{2010, 7.1}, {2020, 6.5}, {2020, 6.6}}, 0.13)
	require.True(t, ok, "two readings of one day give no short-term rate and no line")
	require.Nil(t, m.ShortTerm)
	require.Nil(t, m.Line)
}

func TestMeasuredRateRefuses(t *testing.T) {
	good := []metal.Reading{{2010, 7}, {2020, 6}}
	for name, c := range map[string]struct {
		readings []metal.Reading
		gauge    float64
	}{
		"none":           {nil, 0.13},
		"one":            {good[:1], 0.13},
		"one day":        {[]metal.Reading{{2020, 7}, {2020, 6}}, 0.13},
		"thicker":        {[]metal.Reading{{2010, 6}, {2020, 7}}, 0.13},
		"no wall":        {[]metal.Reading{{2010, 7}, {2020, math.NaN()}}, 0.13},
		"zero wall":      {[]metal.Reading{{2010, 7}, {2020, 0}}, 0.13},
		"endless wall":   {[]metal.Reading{{2010, math.Inf(1)}, {2020, 6}}, 0.13},
		"no date":        {[]metal.Reading{{math.NaN(), 7}, {2020, 6}}, 0.13},
		"gauge missing":  {good, math.NaN()},
		"gauge negative": {good, -0.1},
	} {
		_, ok := metal.MeasuredRate(c.readings, c.gauge)
		require.False(t, ok, name)
	}
	require.True(t, math.IsNaN(metal.LossRate(good[1], good[0])))
}

// TestLineInterval: 6.9, 6.4, 6.1 mm in 2010, 2015, 2020. By hand: slope
// -0.08, residuals 1/30, -1/15, 1/30, s² = 1/150, SE = sqrt(1/150/50); t(0.95, 1) = 6.3138.
func TestLineInterval(t *testing.T) {
	m, ok := metal.MeasuredRate([]metal.Reading{{2020, 6.1}, {2010, 6.9}, {2015, 6.4}}, 0.01)
	require.True(t, ok)
	require.NotNil(t, m.Line)
	require.InDelta(t, -0.08, m.Line.Slope, 1e-9)
	half := 6.3138 * math.Sqrt(1.0/150/50)
	require.InDelta(t, 0.08-half, m.Low, 1e-5)
	require.InDelta(t, 0.08+half, m.High, 1e-5)
	short, long := m.LifeRange(6.1, 2.8)
	require.InDelta(t, 3.3/(0.08+half), short, 1e-3)
	require.InDelta(t, 3.3/(0.08-half), long, 1)

	exact, _ := metal.MeasuredRate([]metal.Reading{{2010, 6.9}, {2015, 6.5}, {2020, 6.1}}, 0.13)
	require.InDelta(t, 0.08+1.645*0.13/math.Sqrt(50), exact.High, 1e-9, "three readings on a line are no better than the gauge")
}

func TestLifeRangeWithoutEnd(t *testing.T) {
	m, ok := metal.MeasuredRate([]metal.Reading{{2010, 7.1}, {2012, 7.1}, {2020, 6.7}}, 0.13)
	require.True(t, ok)
	require.Negative(t, m.Low)
	short, long := m.LifeRange(6.7, 2.8)
	require.Positive(t, short)
	require.True(t, math.IsInf(long, 1), "no end is shown")
}

func TestRemainingLifeLimits(t *testing.T) {
	require.Zero(t, metal.RemainingLife(2.8, 2.8, 0.1))
	require.Zero(t, metal.RemainingLife(2, 2.8, 0))
	for _, rate := range []float64{0, -0.1} {
		require.True(t, math.IsInf(metal.RemainingLife(7, 2.8, rate), 1))
	}
	for _, c := range [][3]float64{{math.NaN(), 1, 1}, {1, math.NaN(), 1}, {7, 2, math.NaN()}} {
		require.True(t, math.IsNaN(metal.RemainingLife(c[0], c[1], c[2])))
	}
	require.Equal(t, 5.0, metal.ThicknessInterval(math.Inf(1), new(5.0)), "the class maximum holds where no end is in sight")
	require.Equal(t, 3.0, metal.ThicknessInterval(6, new(5.0)))
	require.True(t, math.IsNaN(metal.WallLoss(0, 1)))
	require.InDelta(t, 0.63, metal.WallLoss(0.154*25.4, 0.0563*25.4), 0.005, "2 in Sch 40 at rupture, refrigeration coating presentation")
}

func TestWallLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		required := rapid.Float64Range(1, 5).Draw(t, "required")
		last := rapid.Float64Range(0.5, 20).Draw(t, "last")
		slow := rapid.Float64Range(-0.1, 2).Draw(t, "slow")
		fast := rapid.Float64Range(slow, 2).Draw(t, "fast")
		require.LessOrEqual(t, metal.RemainingLife(last, required, fast), metal.RemainingLife(last, required, slow), "faster, shorter")
		require.GreaterOrEqual(t, metal.RemainingLife(last+1, required, fast), metal.RemainingLife(last, required, fast), "thicker, longer")

		readings := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) metal.Reading {
			return metal.Reading{Year: rapid.Float64Range(2000, 2030).Draw(t, "year"), MM: rapid.Float64Range(1, 10).Draw(t, "mm")}
		}), 2, 8).Draw(t, "readings")
		m, ok := metal.MeasuredRate(readings, 0.13)
		if !ok {
			return
		}
		require.Positive(t, m.Rate)
		require.LessOrEqual(t, m.Low, m.Rate)
		require.LessOrEqual(t, m.Rate, m.High)
		short, long := m.LifeRange(last, required)
		mid := metal.RemainingLife(last, required, m.Rate)
		require.True(t, short <= mid && mid <= long, "the range holds the life of the rate: %g %g %g", short, mid, long)
		if worse, ok := metal.MeasuredRate(readings, 0.26); ok && worse.Rate == m.Rate {
			require.GreaterOrEqual(t, worse.High-worse.Low, m.High-m.Low-1e-9, "a worse gauge never narrows it")
		}
	})
}
