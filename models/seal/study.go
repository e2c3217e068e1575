package seal

import (
	"errors"
	"fmt"
	"math"
)

// Study is one run of the model over tables of any origin, as a command line
// asks for it. A nil table was not given: without data the prior speaks alone.
type Study struct {
	Data, Prior, Covers, Scored *Table

	Layout Layout
	At     []float64 // ages to predict, in the unit of time after Layout.TimeScale
	MLE    bool      // maximum likelihood: no prior, no building effect
	SigmaB *float64  // holds the spread between buildings; 0 is no building effect, nil learns it
}

// Findings answer a Study.
type Findings struct {
	Fit         Fit
	Buildings   int // in the data
	Predictions []CoverAt
	Steps       []GroupSteps // one nameless group unless Layout.Group is set
	Calibration *Calibration // nil unless predictions with outcomes were given
	LeftOut     []string     // columns that the data cannot tell from others
	Rejected    []RejectedRow
	Notes       []string // what was taken for granted and should be looked at
}

// CoverAt is the prediction for one cover at one age.
type CoverAt struct {
	ID  string
	Age float64
	Probability
}

// RejectedRow is a row of the data that teaches nothing, with the reason.
type RejectedRow struct {
	Line   int
	ID     string
	Reason error
}

// Run reads the tables and works the study out. An error names file, line and
// column of what cannot be read, or says why there is no fit.
func (s Study) Run() (Findings, error) {
	var out Findings
	kept, fleet, err := s.learnFrom(&out)
	if err != nil {
		return out, err
	}
	p, err := s.prior(kept, fleet)
	if err != nil {
		return out, err
	}
	if err := s.checkWords(&out, s.Data, kept, p); err != nil {
		return out, err
	}
	if err := s.fit(&out, p, kept.Episodes); err != nil {
		return out, err
	}
	if err := s.predict(&out, p); err != nil {
		return out, err
	}
	if out.Steps, err = s.steps(kept.Episodes); err != nil {
		return out, err
	}
	if s.Scored == nil {
		return out, nil
	}
	scored, err := ParseScored(s.Scored)
	if err != nil {
		return out, err
	}
	c := Calibrate(scored)
	out.Calibration = &c
	return out, nil
}

// learnFrom reads the data and sets aside what teaches nothing. In a fleet's,
// ages are years and have limits, and of several rows of one opening the last
// counts; other data may have any unit of time and any id.
func (s Study) learnFrom(out *Findings) (kept Rows, fleet bool, err error) {
	if s.Data == nil {
		return Rows{}, true, nil
	}
	rows, err := ParseEpisodes(s.Data, s.Layout)
	if err != nil {
		return Rows{}, false, err
	}
	fleet = s.Data.OfCovers(s.Layout)
	last := lastOfID(rows.Episodes)
	_, rejected := sift(rows.Episodes, func(i int, e *Episode) error {
		switch {
		case !fleet:
			return e.check()
		case e.ID != "" && last[e.ID] != i:
			return errSuperseded
		}
		return e.checkYears()
	})
	away := map[int]bool{}
	for _, r := range rejected {
		away[r.At] = true
		out.Rejected = append(out.Rejected, RejectedRow{rows.Lines[r.At], r.Episode.ID, r.Reason})
	}
	for i, e := range rows.Episodes {
		if !away[i] {
			kept.add(e, rows.Lines[i])
		}
	}
	out.Buildings = len(distinct(kept.Episodes, func(e *Episode) string { return e.Covariates.Building }))
	return kept, fleet, nil
}

// prior is the expert's for a fleet, an intercept with groups for other data,
// in both with the rows of the prior's table over it.
func (s Study) prior(rows Rows, fleet bool) (Prior, error) {
	p := Default()
	if !fleet {
		p = ForGroups(Groups(rows.Episodes))
	}
	if s.SigmaB != nil && *s.SigmaB == 0 {
		p.Spread = 0
	}
	if s.Prior == nil {
		return p, nil
	}
	return ParsePrior(s.Prior, p)
}

// fit learns, or maximizes the likelihood.
func (s Study) fit(out *Findings, p Prior, episodes []Episode) (err error) {
	if !s.MLE {
		o := Options{}
		if s.SigmaB != nil && p.Spread > 0 {
			o.SigmaB = *s.SigmaB
		}
		out.Fit, err = Learn(p, episodes, o)
		return err
	}
	if len(episodes) == 0 {
		return errors.New("there is no episode, so no likelihood to maximize; without --mle the prior answers")
	}
	if out.Fit, err = MaxLikelihood(p, episodes); err != nil {
		return err
	}
	left := map[string]bool{}
	for _, name := range out.Fit.Names {
		left[name] = true
	}
	for _, c := range p.Columns {
		if !left[c.Name] {
			out.LeftOut = append(out.LeftOut, c.Name)
		}
	}
	return nil
}

// predict answers for each cover at each age.
func (s Study) predict(out *Findings, p Prior) error {
	if s.Covers == nil {
		return nil
	}
	ids, covers, err := ParseCovers(s.Covers, s.Layout)
	if err != nil {
		return err
	}
	rows := Rows{}
	for i := range covers {
		rows.add(Episode{Covariates: covers[i]}, s.Covers.line(i))
	}
	if err := s.checkWords(out, s.Covers, rows, p); err != nil {
		return err
	}
	for i, o := range out.Fit.Outlooks(covers) {
		for _, u := range s.At {
			if u < 0 || math.IsNaN(u) || math.IsInf(u, 0) {
				return fmt.Errorf("%v is not an age to predict at", u)
			}
			out.Predictions = append(out.Predictions, CoverAt{ids[i], u, o.At(u)})
		}
	}
	return nil
}

// steps finds the step curve of all, or of each group.
func (s Study) steps(episodes []Episode) ([]GroupSteps, error) {
	if s.Layout.Group == "" {
		return StepsBy(episodes, func(*Episode) string { return "" })
	}
	return StepsBy(episodes, func(e *Episode) string { return e.Covariates.Group })
}
