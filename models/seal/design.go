// Package seal learns how long a closed cover stays dry.
//
// An episode starts when a cover is closed dry and ends at the next opening,
// found wet or dry. From episodes and a prior of expert judgement the package
// makes a Fit; a Fit says for a cover how likely it is wet at an age, within
// which 90 % interval, why, and when it is worth opening.
//
// The model is a Weibull law on the hazard scale,
//
//	H(u|x) = exp(x'b + b_g + k ln u), P(wet by u) = 1 - exp(-H)
//
// with u in years since closing, x the coded covariates of Covariates, b_g a
// normal effect of building g and k the shape. For one look per episode it is
// a complementary-log-log regression with ln u as a column; see McCullagh &
// Nelder, Generalized Linear Models, 2nd ed. 1989, section 4.3 (from memory).
//
// Everything here is a pure function of its arguments.
package seal

import (
	"math"
	"strings"
)

// State is the vapor seal as left at a closing. The empty word is the
// reference state, sound; Unknown is a state of its own: unknown is not sound.
type State string

// The states of a seal as left.
const (
	Sound    State = "sound"
	Repaired State = "repaired"
	Poor     State = "poor"
	Unknown  State = "unknown"
)

// Method is how the seal is made; "" is not known.
type Method string

// The ways to make a seal.
const (
	Tape           Method = "tape"
	Sealant        Method = "sealant"
	TapeAndSealant Method = "tape_sealant"
	Mechanical     Method = "mechanical" // straps, lacing or hooks only
)

// Kind is the kind of component under the cover; "" is not known.
type Kind string

// The kinds of component that have an effect of their own.
const (
	Valve    Kind = "valve"
	Strainer Kind = "strainer"
	Flange   Kind = "flange"
	Pump     Kind = "pump"
	Flex     Kind = "flex"
	Fitting  Kind = "fitting"
)

// Covariates are what is known of a cover at its closing. A nil pointer or an
// empty word is "not known" and counts as the reference cover: drive ratio 1,
// seal sound, service 7 °C, age 0, never opened, last opening dry.
type Covariates struct {
	Building string   // "" belongs to no building
	Drive    *float64 // annual vapor drive over the reference drive, >= 0
	Seal     State
	Method   Method
	ServiceC *float64 // °C
	Dual     bool     // dual-temperature loop
	AgeYears *float64 // age of the cover, >= 0
	Openings int      // earlier openings, >= 0
	PrevWet  bool     // found wet at the last opening
	Kind     Kind
	Group    string // any grouping of data of other origin
}

// NextClosing is the cover as the next closing leaves it: seal made sound and
// one more opening behind it. Every other covariate stays.
func (c Covariates) NextClosing() Covariates {
	c.Seal = Sound
	c.Openings++
	return c
}

// The names of the numeric columns; word columns are named by their family
// and the word: seal_poor, method_tape, kind_valve, group_A.
const (
	colIntercept = "intercept"
	colDrive     = "drive_log2"
	colCold      = "cold_5K"
	colDual      = "dual_temp"
	colAge       = "age_10y"
	colOpenings  = "openings_log2"
	colPrevWet   = "prev_wet"
)

// families are the columns that code a word, one column per word.
var families = [...]string{"seal", "method", "kind", "group"}

// familyOf splits seal_poor into seal and poor; ok is false for other columns.
func familyOf(column string) (family, word string, ok bool) {
	family, word, ok = strings.Cut(column, "_")
	if !ok || word == "" {
		return "", "", false
	}
	for _, f := range families {
		if f == family {
			return family, word, true
		}
	}
	return "", "", false
}

// factorOf names the factor a column belongs to, as a why-list shows it.
func factorOf(column string) string {
	if family, _, ok := familyOf(column); ok {
		return family
	}
	switch column {
	case colDrive:
		return "drive"
	case colCold:
		return "cold"
	case colDual:
		return "dual"
	case colAge:
		return "age"
	case colOpenings:
		return "openings"
	}
	return column
}

// design turns Covariates into the numbers of a fixed list of columns.
type design struct {
	columns int
	number  map[string]int // numeric column -> position
	word    [len(families)]map[string]int
}

// newDesign reads the coding of each column from its name.
func newDesign(columns []string) design {
	d := design{columns: len(columns), number: map[string]int{}}
	for i := range d.word {
		d.word[i] = map[string]int{}
	}
	for j, name := range columns {
		family, word, ok := familyOf(name)
		if !ok {
			d.number[name] = j
			continue
		}
		for i, f := range families {
			if f == family {
				d.word[i][word] = j
			}
		}
	}
	return d
}

// codes are the numeric columns with their coding. It is fixed, never
// re-scaled by the data, so that a coefficient keeps its meaning; what is not
// known is 0.
var codes = [...]struct {
	column string
	code   func(c *Covariates) float64
}{
	{colIntercept, func(*Covariates) float64 { return 1 }},
	{colDrive, func(c *Covariates) float64 {
		if c.Drive == nil {
			return 0
		}
		return clip(math.Log2(*c.Drive), -4, 4)
	}},
	{colCold, func(c *Covariates) float64 {
		if c.ServiceC == nil {
			return 0
		}
		return clip((7-*c.ServiceC)/5, -4, 6)
	}},
	{colDual, func(c *Covariates) float64 { return oneIf(c.Dual) }},
	{colAge, func(c *Covariates) float64 {
		if c.AgeYears == nil {
			return 0
		}
		return clip(*c.AgeYears, 0, 40) / 10
	}},
	{colOpenings, func(c *Covariates) float64 { return math.Log2(1 + float64(c.Openings)) }},
	{colPrevWet, func(c *Covariates) float64 { return oneIf(c.PrevWet) }},
}

// codeOf finds the coding of a numeric column.
func codeOf(column string) (code func(c *Covariates) float64, ok bool) {
	for i := range codes {
		if codes[i].column == column {
			return codes[i].code, true
		}
	}
	return nil, false
}

// each calls do for every column that is not 0, in no particular order.
func (d design) each(c *Covariates, do func(column int, x float64)) {
	for i := range codes {
		if j, ok := d.number[codes[i].column]; ok {
			if x := codes[i].code(c); x != 0 {
				do(j, x)
			}
		}
	}
	for i, word := range c.words() {
		if j, ok := d.word[i][word]; ok {
			do(j, 1)
		}
	}
}

// vector writes the design vector of c.
func (d design) vector(c Covariates) []float64 {
	x := make([]float64, d.columns)
	d.each(&c, func(j int, v float64) { x[j] = v })
	return x
}

// clip holds x within lo..hi; NaN stays NaN.
func clip(x, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, x)) }

func oneIf(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
