package seal

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Layout says how a table of episodes is to be read.
type Layout struct {
	Weight    string  // column with the number of episodes alike; "" is one each
	Group     string  // column with the group; "" is none
	TimeScale float64 // times are divided by it; 0 counts as 1
	Counts    Counts  // the columns of a table of counts; zero for L and R
}

// Counts names the columns of current status counts: at age Age so many were
// Inspected and so many of them found Wet.
type Counts struct{ Age, Inspected, Wet string }

func (l Layout) unit() float64 {
	if l.TimeScale == 0 {
		return 1
	}
	return l.TimeScale
}

// Rows are episodes with the line on which each stands in its table.
type Rows struct {
	Episodes []Episode
	Lines    []int
}

func (r *Rows) add(e Episode, line int) {
	r.Episodes = append(r.Episodes, e)
	r.Lines = append(r.Lines, line)
}

// coverColumns are the columns of a cover, all of them optional.
var coverColumns = []string{"building", "drive", "seal", "method", "service_c", "dual", "age_y", "n_open", "prev_wet", "kind"}

// OfCovers tells whether the table has a column of a cover apart from those the
// layout uses: then it is a fleet's, in years. Else it is of any origin.
func (t *Table) OfCovers(lay Layout) bool {
	return slices.ContainsFunc(coverColumns, func(c string) bool {
		return t.Has(c) && !strings.EqualFold(c, lay.Group) && !strings.EqualFold(c, lay.Weight)
	})
}

// covariates reads the columns of a cover.
func (r *reader) covariates(group string) Covariates {
	c := Covariates{
		Building: r.name("building"), Drive: r.number("drive"), Seal: State(r.cell("seal")),
		Method: Method(r.cell("method")), ServiceC: r.number("service_c"), Dual: r.flag("dual"),
		AgeYears: r.number("age_y"), PrevWet: r.flag("prev_wet"), Kind: Kind(r.cell("kind")),
	}
	if group != "" {
		c.Group = r.name(group)
	}
	if n := r.numberOr("n_open", 0); n == math.Trunc(n) && math.Abs(n) < 1e6 {
		c.Openings = int(n)
	} else {
		r.fault("n_open", "%v is not a count of openings", n)
	}
	if column, err := c.checkNumbers(); err != nil {
		r.fault(column, "%v", err)
	}
	return c
}

// ParseEpisodes reads episodes: L and R in years (event in L..R; L blank or 0
// is never seen dry, R blank or Inf is still dry), or the columns of
// lay.Counts; and as far as they are there id and the columns of a cover.
// Faults are what cannot be read, with line and column. What can be read and
// yet teaches nothing is left to Sift.
func ParseEpisodes(t *Table, lay Layout) (Rows, error) {
	needed := []string{"L", "R"}
	if lay.Counts != (Counts{}) {
		needed = []string{lay.Counts.Age, lay.Counts.Inspected, lay.Counts.Wet}
	}
	for _, c := range []string{lay.Weight, lay.Group} {
		if c != "" {
			needed = append(needed, c)
		}
	}
	r, err := newReader(t, needed...)
	if err != nil {
		return Rows{}, err
	}
	var rows Rows
	err = r.each(func() {
		if lay.Counts != (Counts{}) {
			r.counts(&rows, lay)
			return
		}
		r.episode(&rows, lay)
	})
	return rows, err
}

// episode reads one row of L and R. A weight of 0 is no episode.
func (r *reader) episode(to *Rows, lay Layout) {
	e := Episode{ID: r.name("id"), Covariates: r.covariates(lay.Group)}
	e.Dry, e.Wet = r.numberOr("L", 0)/lay.unit(), math.Inf(1)
	if !strings.EqualFold(strings.TrimPrefix(r.cell("R"), "+"), "inf") {
		e.Wet = r.numberOr("R", math.Inf(1)) / lay.unit()
	}
	if lay.Weight != "" {
		e.Weight = r.numberOr(lay.Weight, 1)
		if e.Weight < 0 {
			r.fault(lay.Weight, "%v is below 0", e.Weight)
		}
		if e.Weight == 0 {
			return
		}
	}
	to.add(e, r.line(r.row))
}

// counts reads one row of current status counts.
func (r *reader) counts(to *Rows, lay Layout) {
	age, n, w := r.needed(lay.Counts.Age)/lay.unit(), r.needed(lay.Counts.Inspected), r.needed(lay.Counts.Wet)
	c := r.covariates(lay.Group)
	if math.IsNaN(age) || math.IsNaN(n) || math.IsNaN(w) {
		return
	}
	if w < 0 || w > n {
		r.fault(lay.Counts.Wet, "%v wet of %v inspected cannot be", w, n)
		return
	}
	if w > 0 {
		to.add(Episode{Covariates: c, Wet: age, Weight: w}, r.line(r.row))
	}
	if n > w {
		to.add(Episode{Covariates: c, Dry: age, Wet: math.Inf(1), Weight: n - w}, r.line(r.row))
	}
}

// ParseCovers reads the columns of covers to predict, with their id. Without a
// column id they are numbered from 1.
func ParseCovers(t *Table, lay Layout) (ids []string, covers []Covariates, err error) {
	var needed []string
	if lay.Group != "" {
		needed = append(needed, lay.Group)
	}
	r, err := newReader(t, needed...)
	if err != nil {
		return nil, nil, err
	}
	err = r.each(func() {
		id := r.name("id")
		if !t.Has("id") {
			id = strconv.Itoa(r.row + 1)
		}
		ids = append(ids, id)
		covers = append(covers, r.covariates(lay.Group))
	})
	return ids, covers, err
}

// ParsePrior reads name, mean, sd over base: a known name replaces its row, a
// new seal, method, kind or group adds one, rows of base not named stay. A group
// of base may be named by its word alone.
func ParsePrior(t *Table, base Prior) (Prior, error) {
	r, err := newReader(t, "name", "mean", "sd")
	if err != nil {
		return Prior{}, err
	}
	err = r.each(func() {
		c := Column{r.name("name"), r.needed("mean"), r.needed("sd")}
		if group := "group_" + c.Name; len(base.Only(group).Columns) == 1 {
			c.Name = group
		}
		_, numeric := codeOf(c.Name)
		if _, _, word := familyOf(c.Name); !word && !numeric {
			r.fault("name", "%q is no column of the model; new ones start with seal_, method_, kind_ or group_", c.Name)
		}
		if c.SD <= 0 {
			r.fault("sd", "must be above 0")
		}
		base = base.With(c)
	})
	return base, err
}

// ParseScored reads stored predictions: p and y, 1 if found wet.
func ParseScored(t *Table) ([]Scored, error) {
	r, err := newReader(t, "p", "y")
	if err != nil {
		return nil, err
	}
	scored := make([]Scored, 0, len(t.Rows))
	err = r.each(func() {
		p := r.needed("p")
		if p < 0 || p > 1 {
			r.fault("p", "%v is not a probability from 0 to 1", p)
		}
		if r.cell("y") == "" {
			r.fault("y", "it must not be blank")
		}
		scored = append(scored, Scored{P: p, Wet: r.flag("y")})
	})
	return scored, err
}
