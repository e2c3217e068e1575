package seal

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// fleet invents n episodes in so many buildings from the law of the model, one
// in five with an earlier dry look.
func fleet(n, buildings int) []Episode {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	effect := make([]float64, buildings)
	for g := range effect {
		effect[g] = 0.5 * r.NormFloat64()
	}
	o := newDesign(Default().names())
	episodes := make([]Episode, n)
	for i := range episodes {
		g := r.IntN(buildings)
		c := Covariates{
			Building: strconv.Itoa(g), Drive: ptr(math.Exp(0.5 * r.NormFloat64())), ServiceC: ptr(4 + 10*r.Float64()),
			AgeYears: ptr(25 * r.Float64()), Openings: r.IntN(4), Dual: r.IntN(5) == 0, PrevWet: r.IntN(4) == 0,
			Seal:   State(pick("sound", "sound", "sound", "repaired", "poor")),
			Method: Method(pick("tape", "sealant", "tape_sealant", "mechanical")),
			Kind:   Kind(pick("valve", "strainer", "flange", "pump", "flex", "fitting")),
		}
		eta := effect[g]
		o.each(&c, func(j int, x float64) { eta += x * Default().Columns[j].Mean })
		event, u := math.Exp((math.Log(r.ExpFloat64())-eta)/1.5), 0.25+3.75*r.Float64()
		e := Episode{Covariates: c, Dry: u, Wet: math.Inf(1)}
		if event <= u {
			e.Dry, e.Wet = 0, u
			if v := u * (0.2 + 0.6*r.Float64()); r.IntN(5) == 0 && event > v {
				e.Dry = v
			}
		}
		episodes[i] = e
	}
	return episodes
}

func benchmarkLearn(b *testing.B, n, buildings int) {
	episodes := fleet(n, buildings)
	for b.Loop() {
		f, err := Learn(Default(), episodes, Options{})
		require.NoError(b, err)
		require.InDelta(b, 0.5, f.SigmaB, 0.15)
	}
}

func BenchmarkLearn3000(b *testing.B)    { benchmarkLearn(b, 3000, 40) }
func BenchmarkLearn100000(b *testing.B)  { benchmarkLearn(b, 100_000, 200) }
func BenchmarkLearn1000000(b *testing.B) { benchmarkLearn(b, 1_000_000, 2000) }

func BenchmarkSteps100000(b *testing.B) {
	episodes := fleet(100_000, 200)
	for b.Loop() {
		_, err := NewSteps(episodes)
		require.NoError(b, err)
	}
}
