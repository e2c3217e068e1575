package seal

import "math"

// Column is one column of the design with the expert's prior N(Mean, SD²) on
// its coefficient; exp(coefficient) reads "times as fast".
type Column struct {
	Name string
	Mean float64
	SD   float64 // > 0
}

// Prior is what is believed before any opening. All of it is expert judgement
// without a published source, and all of it can be changed.
type Prior struct {
	Columns []Column
	KShape  float64 // the Weibull shape k ~ Gamma(KShape, KRate); KShape > 1
	KRate   float64
	Spread  float64 // standard deviation between buildings, log scale; 0 is no building effect
	SeenAs  float64 // Spread counts as if so many buildings had shown it
}

// Default is the prior that ships. Its reference cover (sound seal, reference
// drive, service 7 °C) is wet within 12 months with 15 %; with the doubt about
// that figure itself a first prediction reads 22 % (2 to 70 %).
func Default() Prior {
	return Prior{
		Columns: []Column{
			{colIntercept, math.Log(-math.Log(0.85)), 1},
			{colDrive, 0.7, 0.35}, // x2.0 per doubling of the drive
			{"seal_repaired", 0.4, 0.4},
			{"seal_poor", 1.2, 0.5},
			{"seal_unknown", 0.5, 0.6},
			{"method_tape", 0, 0.5},
			{"method_sealant", -0.3, 0.5},
			{"method_tape_sealant", -0.5, 0.5},
			{"method_mechanical", 0.9, 0.5},
			{colCold, 0.15, 0.2}, // per 5 K colder, beyond the drive
			{colDual, 0.4, 0.4},
			{colAge, 0.2, 0.2},
			{colOpenings, 0.15, 0.15}, // opening wears the seal faces
			{colPrevWet, 0.6, 0.4},
			{"kind_valve", 0, 0.3},
			{"kind_strainer", 0.1, 0.3},
			{"kind_flange", 0, 0.3},
			{"kind_pump", 0.3, 0.3},
			{"kind_flex", 0.3, 0.3},
			{"kind_fitting", 0, 0.3},
		},
		KShape: 11, KRate: 8, // mode 1.25, sd 0.41
		Spread: 0.4, SeenAs: 4,
	}
}

// ForGroups is the prior for data without covariates of ours: an intercept
// and one column per group, N(0, 0.5²) each, without building effect.
func ForGroups(groups []string) Prior {
	p := Default().Only(colIntercept)
	p.Spread, p.SeenAs = 0, 0
	for _, g := range groups {
		p.Columns = append(p.Columns, Column{"group_" + g, 0, 0.5})
	}
	return p
}

// Only keeps the named columns. Default().Only("intercept") is the model that
// knows nothing but the age, a yardstick for every better one.
func (p Prior) Only(names ...string) Prior {
	kept := make([]Column, 0, len(names))
	for _, c := range p.Columns {
		for _, name := range names {
			if c.Name == name {
				kept = append(kept, c)
			}
		}
	}
	p.Columns = kept
	return p
}

// With replaces the column of that name or adds it at the end.
func (p Prior) With(c Column) Prior {
	columns := append([]Column(nil), p.Columns...)
	for i := range columns {
		if columns[i].Name == c.Name {
			columns[i] = c
			p.Columns = columns
			return p
		}
	}
	p.Columns = append(columns, c)
	return p
}

// names lists the columns in order.
func (p Prior) names() []string {
	names := make([]string, len(p.Columns))
	for j, c := range p.Columns {
		names[j] = c.Name
	}
	return names
}

// kMode is the mode of the prior of k.
func (p Prior) kMode() float64 { return (p.KShape - 1) / p.KRate }

// Expert is the fit before any opening: the mode of the prior, with the
// curvature there as its spread. It holds for every building alike.
func Expert(p Prior) Fit {
	n := len(p.Columns)
	f := Fit{Prior: p, Names: p.names(), SigmaB: p.Spread, Buildings: map[string]Effect{}}
	f.Theta = make([]float64, n+1)
	f.Cov = make([][]float64, n+1)
	for j := range f.Cov {
		f.Cov[j] = make([]float64, n+1)
	}
	for j, c := range p.Columns {
		f.Theta[j], f.Cov[j][j] = c.Mean, c.SD*c.SD
	}
	k := p.kMode()
	f.Theta[n], f.Cov[n][n] = k, k*k/(p.KShape-1)
	f.Version = version(p, nil, 0)
	return f
}
