package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"

	"drylag/models/seal"
	"drylag/models/sheet"
)

// learnCommand fits the wetness model to a table of any origin. It needs no
// data folder.
type learnCommand struct {
	Data          string    `type:"existingfile" help:"Table of episodes (CSV or XLSX): L,R (event in L..R, R blank still dry) and the columns of a cover, in years; or L,R alone, in any unit."`
	Prior         string    `type:"existingfile" help:"Table of name,mean,sd over the expert's judgement."`
	Predict       string    `type:"existingfile" help:"Table of covers to predict, with their id."`
	At            []float64 `default:"1" help:"Ages to predict at, after --time-scale."`
	MLE           bool      `name:"mle" help:"Maximum likelihood: no priors, no building effect."`
	SigmaB        *float64  `name:"sigma-b" help:"Hold the spread between buildings; 0 is no building effect."`
	Weight        string    `help:"Column with the number of episodes alike."`
	Group         string    `help:"Column that parts the steps; in a table of L,R alone it is a factor of the model too."`
	TimeScale     float64   `default:"1" help:"Times are divided by it."`
	CurrentStatus []string  `placeholder:"AGE,INSPECTED,WET" help:"Read counts from these columns instead of L,R."`
	Calibrate     string    `type:"existingfile" help:"Table of predictions p and what was found y (1 wet)."`
}

// Validate tells which options do not go together.
func (c *learnCommand) Validate() error {
	n := len(c.CurrentStatus)
	switch {
	case c.Data == "" && c.Predict == "" && c.Calibrate == "":
		return errors.New("learn needs --data, --predict or --calibrate")
	case c.Data == "" && c.MLE:
		return errors.New("--mle needs --data")
	case !(c.TimeScale > 0) || math.IsInf(c.TimeScale, 0):
		return errors.New("--time-scale must be above 0")
	case c.SigmaB != nil && (!(*c.SigmaB >= 0) || math.IsInf(*c.SigmaB, 0)):
		return errors.New("--sigma-b must be 0 or more")
	case n != 0 && n != 3:
		return errors.New("--current-status names three columns: age,inspected,wet")
	case n != 0 && c.Weight != "":
		return errors.New("--current-status holds counts already, so it takes no --weight")
	}
	for _, u := range c.At {
		if !(u >= 0) || math.IsInf(u, 0) {
			return errors.New("--at needs ages of 0 or more")
		}
	}
	return nil
}

// Run prints what was learned as one JSON object.
func (c *learnCommand) Run(w world) error {
	s := seal.Study{At: c.At, MLE: c.MLE, SigmaB: c.SigmaB,
		Layout: seal.Layout{Weight: c.Weight, Group: c.Group, TimeScale: c.TimeScale}}
	if len(c.CurrentStatus) == 3 {
		s.Layout.Counts = seal.Counts{Age: c.CurrentStatus[0], Inspected: c.CurrentStatus[1], Wet: c.CurrentStatus[2]}
	}
	for _, t := range []struct {
		file string
		to   **seal.Table
	}{{c.Data, &s.Data}, {c.Prior, &s.Prior}, {c.Predict, &s.Covers}, {c.Calibrate, &s.Scored}} {
		if err := readTable(t.file, t.to); err != nil {
			return err
		}
	}
	found, err := s.Run()
	if err != nil {
		return err
	}
	enc := json.NewEncoder(w.out)
	enc.SetIndent("", "  ")
	return enc.Encode(sayLearned(found, s))
}

// readTable reads a whole file, if there is one; a row that cannot be used is
// an error.
func readTable(file string, to **seal.Table) error {
	if file == "" {
		return nil
	}
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	t := &seal.Table{Name: filepath.Base(file)}
	from, err := sheet.Open(f, info.Size(), t.Name, sheet.Options{})
	if err != nil {
		return fmt.Errorf("%s: %w", t.Name, err)
	}
	t.Columns = from.Columns
	for row, err := range from.Rows() {
		if err != nil {
			return fmt.Errorf("%s: %w", t.Name, err)
		}
		t.Rows = append(t.Rows, row.Cells)
		t.Lines = append(t.Lines, row.Line)
	}
	*to = t
	return nil
}
