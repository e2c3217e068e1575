package reports

import (
	"cmp"
	"slices"
)

// run is a stretch of the ring, clock hours, to over from.
type run struct{ from, to float64 }

// narrowestGap is the least that is drawn of a broken place, clock hours: a
// pinhole would not be seen.
const narrowestGap = 0.55

func sectionGap(m SealMark) float64 { return max(m.Width, narrowestGap) }

// wholeRuns returns the stretches of the ring outside all places that are
// broken or absent.
func wholeRuns(marks []SealMark) []run {
	var gaps []run
	for _, m := range marks {
		if m.State == SealWhole {
			continue
		}
		half := sectionGap(m) / 2
		if half >= 6 {
			return nil
		}
		gaps = append(gaps, onRing(run{m.Clock - half, m.Clock + half})...)
	}
	if len(gaps) == 0 {
		return []run{{0, 12}}
	}
	slices.SortFunc(gaps, func(a, b run) int { return cmp.Compare(a.from, b.from) })
	var runs []run
	end := 0.0
	for _, g := range gaps {
		if g.from > end {
			runs = append(runs, run{end, g.from})
		}
		end = max(end, g.to)
	}
	if end < 12 {
		runs = append(runs, run{end, 12})
	}
	return joinAtTop(runs)
}

// onRing cuts a stretch that runs over 12 o'clock in two.
func onRing(r run) []run {
	switch {
	case r.from < 0:
		return []run{{r.from + 12, 12}, {0, r.to}}
	case r.to > 12:
		return []run{{r.from, 12}, {0, r.to - 12}}
	}
	return []run{r}
}

// joinAtTop makes one stretch of the two that meet at 12 o'clock.
func joinAtTop(runs []run) []run {
	n := len(runs)
	if n < 2 || runs[0].from > 0 || runs[n-1].to < 12 {
		return runs
	}
	runs[n-1].to = 12 + runs[0].to
	return runs[1:]
}
