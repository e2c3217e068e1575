package seal

import (
	"math"
	"slices"
)

// problem is the data of one fit in the shape its inner loop wants: the
// non-zero columns of every row side by side, ages as logarithms.
type problem struct {
	columns int // without k
	prior   Prior
	names   []string

	start  []int // row i has cells start[i]..start[i+1]
	column []uint16
	cell   []float64
	rows   []row

	building  map[string]int
	buildings []buildingCount
}

// row is one episode without its columns.
type row struct {
	look     look
	building int32 // -1 for none
	logDry   float64
	logWet   float64
	weight   float64
}

// look says what is known of an episode's event.
type look uint8

const (
	foundDry look = iota // (Dry, inf)
	foundWet             // (0, Wet]
	between              // (Dry, Wet]
)

// buildingCount counts the episodes of one building.
type buildingCount struct {
	name   string
	n, wet float64
}

// compile codes the episodes. names are the columns; a prior without columns
// means none, and no building effect.
func compile(names []string, p Prior, episodes []Episode) *problem {
	q := &problem{columns: len(names), prior: p, names: names, building: map[string]int{}}
	q.rows = make([]row, len(episodes))
	q.start = make([]int, 1, len(episodes)+1)
	d := newDesign(names)
	var cells []cellOf
	for i := range episodes {
		e := &episodes[i]
		cells = cells[:0]
		d.each(&e.Covariates, func(j int, x float64) { cells = append(cells, cellOf{uint16(j), x}) })
		slices.SortFunc(cells, func(a, b cellOf) int { return int(a.column) - int(b.column) })
		for _, c := range cells {
			q.column = append(q.column, c.column)
			q.cell = append(q.cell, c.x)
		}
		q.start = append(q.start, len(q.column))
		q.rows[i] = newRow(e)
		q.rows[i].building = q.enter(e)
	}
	return q
}

type cellOf struct {
	column uint16
	x      float64
}

// newRow takes the logarithms of the ages of e.
func newRow(e *Episode) row {
	r := row{weight: e.weight(), look: between}
	if e.Dry > 0 {
		r.logDry = math.Log(e.Dry)
	} else {
		r.look = foundWet
	}
	if e.endedWet() {
		r.logWet = math.Log(e.Wet)
	} else {
		r.look = foundDry
	}
	return r
}

// enter counts e in its building and gives the building's position, -1 where
// there is no building effect.
func (q *problem) enter(e *Episode) int32 {
	name := e.Covariates.Building
	if name == "" || q.prior.Spread == 0 {
		return -1
	}
	g, ok := q.building[name]
	if !ok {
		g = len(q.buildings)
		q.building[name] = g
		q.buildings = append(q.buildings, buildingCount{name: name})
	}
	q.buildings[g].n += e.weight()
	if e.endedWet() {
		q.buildings[g].wet += e.weight()
	}
	return int32(g)
}

// counts sums the episodes and those that ended wet.
func (q *problem) counts() (n, wet int) {
	sum, sumWet := 0.0, 0.0
	for i := range q.rows {
		sum += q.rows[i].weight
		if q.rows[i].look != foundDry {
			sumWet += q.rows[i].weight
		}
	}
	return int(math.Round(sum)), int(math.Round(sumWet))
}

// score is the log-likelihood of one row of weight 1 with its derivatives:
// s by eta, sk by k; the h are the negative second derivatives.
type score struct{ value, s, sk, h, hk, hkk float64 }

// tiny and huge hazards have their limits taken.
const (
	tinyHazard = 1e-5
	hugeHazard = 700
)

// score is the log-likelihood of row r,
//
//	l = -a + ln(1 - exp(-d)), a = H(Dry), c = H(Wet), d = c - a
//
// the second term 0 if found dry, a = 0 if never seen dry. With q = 1/(e^d - 1),
// D = c ln Wet - a ln Dry and E = c ln² Wet - a ln² Dry:
//
//	dl/deta = qd - a                 -d²l/deta²   = q(1+q)d² - qd + a
//	dl/dk   = qD - a ln Dry          -d²l/deta dk = q(1+q)dD - qD + a ln Dry
//	                                 -d²l/dk²     = q(1+q)D² - qE + a ln² Dry
//
// In (eta, k) it is concave: Burridge, J. R. Stat. Soc. B 43 (1981) 41 (from memory).
func (r *row) score(eta, k float64) score {
	switch r.look {
	case foundDry:
		a := math.Exp(eta + k*r.logDry)
		return along(-a, -a, a, r.logDry)
	case foundWet:
		return wetScore(eta+k*r.logWet, r.logWet)
	}
	a := math.Exp(eta + k*r.logDry)
	d := a * math.Expm1(k*(r.logWet-r.logDry))
	if d > hugeHazard {
		return along(-a, -a, a, r.logDry)
	}
	c, q := a+d, 1/math.Expm1(d)
	al, q1 := a*r.logDry, q*(1+q)
	dd := c*r.logWet - al
	ee := c*r.logWet*r.logWet - al*r.logDry
	return score{
		value: -a + log1mExp(d),
		s:     q*d - a, sk: q*dd - al,
		h: q1*d*d - q*d + a, hk: q1*d*dd - q*dd + al, hkk: q1*dd*dd - q*ee + al*r.logDry,
	}
}

// wetScore is the row found wet at its first look, hazard exp(t).
func wetScore(t, logWet float64) score {
	c := math.Exp(t)
	switch {
	case c < tinyHazard:
		return along(t-c/2, 1-c/2, c/2, logWet)
	case c > hugeHazard:
		return score{}
	}
	r := c / math.Expm1(c)
	return along(log1mExp(c), r, r*(r+c-1), logWet)
}

// along is the score of a row with one age: k enters as eta does, times ln age.
func along(value, s, h, logAge float64) score {
	return score{value, s, s * logAge, h, h * logAge, h * logAge * logAge}
}

// log1mExp is ln(1 - exp(-d)) for d > 0 without cancellation; Mächler,
// "Accurately computing log(1 - exp(-|a|))", R package Rmpfr 2012, equation 7.
func log1mExp(d float64) float64 {
	if d > math.Ln2 {
		return math.Log1p(-math.Exp(-d))
	}
	return math.Log(-math.Expm1(-d))
}
