package seal

import (
	"flag"
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// The comparison of DEVELOPERS.md:
//
//	go test ./models/seal -run TestFleetComparison -fleets 20 -timeout 2h -v
var simFleets = flag.Int("fleets", 0, "fleets per setting of the full comparison of opening policies")

// simSetting is one kind of fleet and budget.
type simSetting struct {
	name              string
	law               simLaw
	rate              float64 // openings a year per cover
	covers, buildings int
}

// simResult is one fleet under one policy, from year 3 on.
type simResult struct{ foundWet, share, perOpening, unseen float64 }

const simSeed = 20260701

// compare runs every policy on the same fleets: result[policy][fleet].
func (c simSetting) compare(t *testing.T, fleets int) [][]simResult {
	t.Helper()
	out, errs := make([][]simResult, len(policies)), make([]error, len(policies)*fleets)
	var wait sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for p := range policies {
		out[p] = make([]simResult, fleets)
		for i := range fleets {
			free <- struct{}{}
			wait.Go(func() {
				s := newSimFleet(c.law, c.covers, c.buildings, simSeed+uint64(i))
				errs[p*fleets+i] = s.run(c.rate, policies[p].rank)
				out[p][i] = simResult{100 * float64(s.wet) / float64(s.opened), 100 * s.unseen / float64(c.covers) / (simYears - countedFrom),
					s.unseen / float64(s.opened), s.unseen}
				<-free
			})
		}
	}
	wait.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	return out
}

// paired is the mean of a policy's wet time over that of the yardstick on the
// same fleet, with its standard error.
func paired(result, yard []simResult) (m, se float64) {
	n := float64(len(result))
	for i := range result {
		m += result[i].unseen / yard[i].unseen / n
	}
	for i := range result {
		d := result[i].unseen/yard[i].unseen - m
		se += d * d / n / (n - 1)
	}
	return m, math.Sqrt(se)
}

// TestFleetComparison holds in a small fleet what the full comparison shows:
// learning beats the fixed interval and knowing everything beats learning.
func TestFleetComparison(t *testing.T) {
	if *simFleets > 0 {
		compareAll(t, *simFleets)
		return
	}
	c := simSetting{"small, 50 %/yr, expert right", expertRight, 0.5, 200, 5}
	results := c.compare(t, 5)
	ratio := map[string]float64{}
	for p, policy := range policies {
		m, se := paired(results[p], results[0])
		ratio[policy.name] = m + 2*se
		t.Logf("%s: %.3f +- %.3f", policy.name, m, se)
	}
	require.Less(t, ratio["learned W"], 1.0, "less wet time than the fixed interval by two standard errors")
	require.Less(t, ratio["learned W-after"], 1.0)
	require.Less(t, ratio["oracle W-after"], 1.0)
}

// compareAll prints the table of DEVELOPERS.md.
func compareAll(t *testing.T, fleets int) {
	var b strings.Builder
	for _, c := range []simSetting{
		{"25 %/yr, expert right", expertRight, 0.25, 2000, 20}, {"50 %/yr, expert right", expertRight, 0.5, 2000, 20},
		{"25 %/yr, expert wrong", expertWrong, 0.25, 2000, 20}, {"50 %/yr, expert wrong", expertWrong, 0.5, 2000, 20},
	} {
		results := c.compare(t, fleets)
		fmt.Fprintf(&b, "\n| %s | found wet per 100 | wet unseen, %% of time | wet years per opening | wet time over fixed |\n|---|---|---|---|---|\n", c.name)
		for p, policy := range policies {
			var sum simResult
			for _, r := range results[p] {
				n := float64(fleets)
				sum = simResult{sum.foundWet + r.foundWet/n, sum.share + r.share/n, sum.perOpening + r.perOpening/n, 0}
			}
			m, se := paired(results[p], results[0])
			fmt.Fprintf(&b, "| %s | %.1f | %.1f | %.3f | %.3f ± %.3f |\n", policy.name, sum.foundWet, sum.share, sum.perOpening, m, se)
		}
	}
	t.Logf("seed %d, %d fleets\n%s", simSeed, fleets, b.String())
}
