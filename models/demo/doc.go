// Package demo makes an invented campus with six years of openings, so that
// every page has something true to show. No place, person or number in it is
// real.
//
// The truth behind the record is not the model that drylag fits:
//
//   - a closed seal breaches after a Weibull time of shape 1.5; its scale is
//     under four years for a tight closure, less for straps and lacing and for a
//     seal left patched or poor, and poor seals on mechanical closures fail
//     faster than the two facts alone would say;
//   - every cover has a hidden quality of its own (lognormal, 0.6) and every
//     building another (lognormal, 0.5); neither is recorded;
//   - after the breach the metal turns wet after a lognormal lag of half a
//     year, shorter where the vapor drive is higher, but no shorter beyond
//     twice the reference drive;
//   - inspectors miss 3 % of the wet covers and call 1 % of the dry ones damp;
//   - covers are left sound, patched or poor by the crew of the year, not by
//     plan: 80, 13 and 7 in a hundred at first, better in one building and
//     worse in another as the years go by;
//   - wet metal loses 0.08 mm a year and its rusted area grows with the wet
//     time; dry metal keeps what it has.
//
// Everything is drawn from one seed in a fixed order: the same day gives the
// same campus.
package demo

import (
	"math/rand/v2"
	"time"

	"drylag/models"
)

// seed of every draw.
const seed = 20_260_217

// years of openings before today.
const years = 6

// Person is somebody with an account in the demo. The password works only
// because the demo listens to its own machine.
type Person struct{ Login, Password, Say string }

// clock is the day on which the demo is acting.
type clock struct{ now time.Time }

func (c *clock) Now() time.Time { return c.now }

// chance is one stream of random numbers.
type chance struct{ *rand.Rand }

func newChance(stream uint64) chance { return chance{rand.New(rand.NewPCG(seed, stream))} }

// yes is true with probability p.
func (c chance) yes(p float64) bool { return c.Float64() < p }

// pick draws one of several.
func pick[T any](c chance, of ...T) T { return of[c.IntN(len(of))] }

// weighted draws an index by weights that add up to one.
func (c chance) weighted(weights ...float64) int {
	u := c.Float64()
	for i, w := range weights {
		if u -= w; u < 0 {
			return i
		}
	}
	return len(weights) - 1
}

func ref[T any](v T) *T { return &v }

// daysAgo is the day n days before the demo's today.
func daysAgo(today models.Date, n int) models.Date { return today.AddDays(-n) }
