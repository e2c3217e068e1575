package seal

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// fleet invents n episodes in so many buildings from the law of the model, one
// in five with an earlier look.
func fleet(n, buildings int) []Episode {
	w := truth{design: newDesign(Default().names()), k: 1.5, spread: 0.5, effect: map[string]float64{}}
	for _, c := range Default().Columns {
		w.theta = append(w.theta, c.Mean)
	}
	return w.openings(n, buildings, rand.New(rand.NewPCG(7, uint64(n))))
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

// A million covers: their chance within 12 months of closing with its interval.
func BenchmarkPredict1000000(b *testing.B) {
	f, err := Learn(Default(), fleet(3000, 40), Options{})
	require.NoError(b, err)
	r := rand.New(rand.NewPCG(7, 7))
	covers := make([]Covariates, 1_000_000)
	for i := range covers {
		covers[i] = anyCover(50, r)
	}
	for b.Loop() {
		sum := 0.0
		for _, o := range f.Outlooks(covers) {
			sum += o.At(1).P
		}
		require.InDelta(b, 0.4, sum/float64(len(covers)), 0.2)
	}
}

// A refit after a month's openings starts at the last fit.
func BenchmarkRefit1000000(b *testing.B) {
	episodes := fleet(1_000_000, 2000)
	last, err := Learn(Default(), episodes[:990_000], Options{})
	require.NoError(b, err)
	for b.Loop() {
		_, err := Learn(Default(), episodes, Options{Start: &last})
		require.NoError(b, err)
	}
}
