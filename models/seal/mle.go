package seal

import "fmt"

// MaxLikelihood fits the columns of p without any prior and without building
// effect: interval-censored Weibull regression as a statistics package does it.
// Columns that the episodes cannot tell from others are left out (of a set of
// words that covers every row the first one, so it becomes the reference); Names
// says what stayed. An error means an impossible episode, or that no maximum
// exists, as when all are dry, all are wet at one age, or groups are separated.
func MaxLikelihood(p Prior, episodes []Episode) (Fit, error) {
	if err := checkAll(episodes); err != nil {
		return Fit{}, err
	}
	names := independent(p.names(), episodes)
	q := compile(names, Prior{}, episodes)
	at := newPoint(q.columns+1, 0)
	at.theta[q.columns] = 1
	for j, name := range names {
		if name == colIntercept { // hazard 1 at the middle of the looks
			at.theta[j] = -meanLogAge(q.rows)
		}
	}
	at, steps, err := q.climb(at, 0)
	if err != nil {
		return Fit{}, fmt.Errorf("maximum likelihood of %d episodes: %w", len(episodes), err)
	}
	f, err := q.fit(at, 0)
	if err != nil {
		return Fit{}, err
	}
	for j := range f.Theta {
		if f.SD(j) > runaway {
			return Fit{}, fmt.Errorf("maximum likelihood of %d episodes: %w", len(episodes), errNoMode)
		}
	}
	f.Steps, f.Version = steps, version(Prior{Columns: p.Columns}, episodes, 0)
	return f, nil
}

// runaway is a standard deviation that says a coefficient is on its way to
// infinity: the search stops where a step promises less than 1e-10, and on the
// flat tail of a likelihood the standard deviation there is near 1e5.
const runaway = 1e4

// meanLogAge is the weighted mean of the log ages of all looks.
func meanLogAge(rows []row) float64 {
	sum, weight := 0.0, 0.0
	for i := range rows {
		r := &rows[i]
		l := r.logWet
		if r.look == foundDry {
			l = r.logDry
		}
		sum += r.weight * l
		weight += r.weight
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}

// independent keeps the columns that are no linear combination of those kept
// before, the intercept first and then from the last to the first, in the order
// of names. It sweeps the cross products of the columns.
func independent(names []string, episodes []Episode) []string {
	a := crossProducts(names, episodes)
	scale := make([]float64, len(names))
	for j := range a {
		scale[j] = a[j][j]
	}
	kept := make([]bool, len(names))
	for _, j := range sweepOrder(names) {
		if !(a[j][j] > 1e-9*scale[j]) {
			continue // nothing left of it
		}
		kept[j] = true
		pivot := append([]float64(nil), a[j]...)
		for r := range a {
			f := pivot[r] / pivot[j]
			for c := range a {
				a[r][c] -= f * pivot[c]
			}
		}
	}
	var out []string
	for j, name := range names {
		if kept[j] {
			out = append(out, name)
		}
	}
	return out
}

// crossProducts is X'WX of the design.
func crossProducts(names []string, episodes []Episode) [][]float64 {
	d := newDesign(names)
	a := make([][]float64, len(names))
	for j := range a {
		a[j] = make([]float64, len(names))
	}
	for i := range episodes {
		x := d.vector(episodes[i].Covariates)
		for r, xr := range x {
			for c, xc := range x {
				a[r][c] += episodes[i].weight() * xr * xc
			}
		}
	}
	return a
}

// sweepOrder is the intercept, then the other columns from the last to the first.
func sweepOrder(names []string) []int {
	var order []int
	for j, name := range names {
		if name == colIntercept {
			order = append(order, j)
		}
	}
	for j := len(names) - 1; j >= 0; j-- {
		if names[j] != colIntercept {
			order = append(order, j)
		}
	}
	return order
}
