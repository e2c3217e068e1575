package seal

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Layout says how a table of episodes is to be read.
type Layout struct {
	Weight    string  // column with the number of episodes alike; "" is one each
	Group     string  // column with the group; "" is none
	TimeScale float64 // times are divided by it; 0 counts as 1
}

// table reads cells by line and column name and keeps every fault.
type table struct {
	column map[string]int
	rows   [][]string
	line   int // being read; the header is line 1
	faults []error
}

// maxFaults are told at once; a wrong file would tell one per line.
const maxFaults = 20

// newTable takes the header off cells and checks that needed columns are there.
func newTable(cells [][]string, needed ...string) (*table, error) {
	if len(cells) == 0 {
		return nil, errors.New("line 1: no header; the first line names the columns")
	}
	t := &table{column: map[string]int{}, rows: cells[1:], line: 1}
	for i, name := range cells[0] {
		t.column[strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))] = i
	}
	for _, name := range needed {
		if _, ok := t.column[name]; !ok {
			return nil, fmt.Errorf("line 1: no column %q", name)
		}
	}
	return t, nil
}

// cell is the trimmed text in a column of the line being read; "" if there is none.
func (t *table) cell(column string) string {
	i, ok := t.column[column]
	if row := t.rows[t.line-2]; ok && i < len(row) {
		return strings.TrimSpace(row[i])
	}
	return ""
}

func (t *table) fault(column, format string, args ...any) {
	t.faults = append(t.faults, fmt.Errorf("line %d, column %s: %s", t.line, column, fmt.Sprintf(format, args...)))
}

// number reads a cell; nil if it is blank or at fault.
func (t *table) number(column string) *float64 {
	s := t.cell(column)
	if s == "" {
		return nil
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		t.fault(column, "%q is not a number; type one like 1.25 or leave it blank", s)
		return nil
	}
	return &x
}

// numberOr reads a cell, with a value for a blank one.
func (t *table) numberOr(column string, blank float64) float64 {
	if x := t.number(column); x != nil {
		return *x
	}
	return blank
}

// flag reads 0 or 1; blank is 0.
func (t *table) flag(column string) bool {
	switch s := strings.ToLower(t.cell(column)); s {
	case "", "0", "no", "false":
		return false
	case "1", "yes", "true":
		return true
	default:
		t.fault(column, "%q is neither 0 nor 1", s)
		return false
	}
}

// each reads every line with read and returns the faults together.
func (t *table) each(read func()) error {
	for i := range t.rows {
		t.line = i + 2
		read()
	}
	if extra := len(t.faults) - maxFaults; extra > 0 {
		t.faults = append(t.faults[:maxFaults], fmt.Errorf("and %d more faults", extra))
	}
	return errors.Join(t.faults...)
}

// covariates reads the columns of a cover, all of them optional: building,
// drive, seal, method, service_c, dual, age_y, n_open, prev_wet, kind.
func (t *table) covariates(group string) Covariates {
	c := Covariates{
		Building: t.cell("building"), Drive: t.number("drive"), Seal: State(t.cell("seal")),
		Method: Method(t.cell("method")), ServiceC: t.number("service_c"), Dual: t.flag("dual"),
		AgeYears: t.number("age_y"), PrevWet: t.flag("prev_wet"), Kind: Kind(t.cell("kind")),
	}
	if group != "" {
		c.Group = t.cell(group)
	}
	n := t.numberOr("n_open", 0)
	if n != math.Trunc(n) || n < 0 || n > 1e6 {
		t.fault("n_open", "%v is not a count of openings", n)
	}
	c.Openings = int(n)
	if err := c.Validate(); err != nil {
		t.fault("cover", "%v", err)
	}
	return c
}

// ParseEpisodes reads a table whose first line names the columns: L and R in
// years (event in L..R; L blank or 0 is never seen dry, R blank is still dry),
// and as far as they are there id and the columns of a cover. Faults name line
// and column.
func ParseEpisodes(cells [][]string, lay Layout) ([]Episode, error) {
	needed := []string{"L", "R"}
	for _, c := range []string{lay.Weight, lay.Group} {
		if c != "" {
			needed = append(needed, c)
		}
	}
	t, err := newTable(cells, needed...)
	if err != nil {
		return nil, err
	}
	unit := timeUnit(lay.TimeScale)
	episodes := make([]Episode, 0, len(t.rows))
	err = t.each(func() {
		e := Episode{ID: t.cell("id"), Covariates: t.covariates(lay.Group)}
		e.Dry, e.Wet = t.numberOr("L", 0)/unit, t.numberOr("R", math.Inf(1))/unit
		if lay.Weight != "" {
			if e.Weight = t.numberOr(lay.Weight, 1); e.Weight == 0 {
				return // none alike: no episode
			}
		}
		if err := e.check(); err != nil {
			t.fault("L,R", "%v", err)
		}
		episodes = append(episodes, e)
	})
	return episodes, err
}

func timeUnit(scale float64) float64 {
	if scale == 0 {
		return 1
	}
	return scale
}

// ParseCounts reads current status counts: at age u so many were inspected and
// so many of them found wet, in columns of the given names. group may be "".
func ParseCounts(cells [][]string, u, inspected, wet string, lay Layout) ([]Episode, error) {
	t, err := newTable(cells, u, inspected, wet)
	if err != nil {
		return nil, err
	}
	unit := timeUnit(lay.TimeScale)
	var episodes []Episode
	err = t.each(func() {
		age, n, w := t.numberOr(u, 0)/unit, t.numberOr(inspected, 0), t.numberOr(wet, 0)
		if age <= 0 || w < 0 || w > n {
			t.fault(wet, "needs an age above 0 and 0 <= wet <= inspected")
			return
		}
		c := t.covariates(lay.Group)
		if w > 0 {
			episodes = append(episodes, Episode{Covariates: c, Wet: age, Weight: w})
		}
		if n > w {
			episodes = append(episodes, Episode{Covariates: c, Dry: age, Wet: math.Inf(1), Weight: n - w})
		}
	})
	return episodes, err
}

// ParseCovers reads the columns of covers to predict, with their id.
func ParseCovers(cells [][]string, lay Layout) (ids []string, covers []Covariates, err error) {
	t, err := newTable(cells, "id")
	if err != nil {
		return nil, nil, err
	}
	err = t.each(func() {
		ids = append(ids, t.cell("id"))
		covers = append(covers, t.covariates(lay.Group))
	})
	return ids, covers, err
}

// ParsePrior reads name, mean, sd over base: a known name replaces its row, a
// new seal, method, kind or group adds one, rows of base not named stay.
func ParsePrior(cells [][]string, base Prior) (Prior, error) {
	t, err := newTable(cells, "name", "mean", "sd")
	if err != nil {
		return Prior{}, err
	}
	err = t.each(func() {
		c := Column{t.cell("name"), t.numberOr("mean", 0), t.numberOr("sd", 0)}
		_, numeric := codeOf(c.Name)
		if _, _, word := familyOf(c.Name); !word && !numeric {
			t.fault("name", "%q is no column of the model; new ones start with seal_, method_, kind_ or group_", c.Name)
		}
		if !(c.SD > 0) {
			t.fault("sd", "must be above 0")
		}
		base = base.With(c)
	})
	return base, err
}

// ParseScored reads stored predictions: p and y, 1 if found wet.
func ParseScored(cells [][]string) ([]Scored, error) {
	t, err := newTable(cells, "p", "y")
	if err != nil {
		return nil, err
	}
	scored := make([]Scored, 0, len(t.rows))
	err = t.each(func() {
		p := t.numberOr("p", math.NaN())
		if !(0 <= p && p <= 1) {
			t.fault("p", "must be a probability from 0 to 1")
		}
		scored = append(scored, Scored{P: p, Wet: t.flag("y")})
	})
	return scored, err
}
