package seal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
)

// Episode is the time from one dry closing to the next opening. The seal was
// known dry up to age Dry and known wet from age Wet on.
//
//	opened dry at u                          Dry u, Wet +Inf
//	opened wet at u                          Dry 0, Wet u
//	wet at u, dry at v without breaking it   Dry v, Wet u
//
// Covariates are those at the closing.
type Episode struct {
	ID         string // of the opening that ended it; "" if none is kept
	Covariates Covariates
	Dry        float64 // years, 0 if never seen dry
	Wet        float64 // years, +Inf if still dry
	Weight     float64 // so many alike; 0 counts as 1
}

func (e *Episode) weight() float64 {
	if e.Weight == 0 {
		return 1
	}
	return e.Weight
}

// endedWet tells whether water was found.
func (e *Episode) endedWet() bool { return !math.IsInf(e.Wet, 1) }

// lastLook is the age at the opening that ended the episode.
func (e *Episode) lastLook() float64 {
	if e.endedWet() {
		return e.Wet
	}
	return e.Dry
}

// check says what makes an episode impossible, in any unit of time.
func (e *Episode) check() error {
	switch {
	case math.IsNaN(e.Dry) || math.IsNaN(e.Wet) || e.Dry < 0 || math.IsInf(e.Dry, 0):
		return errors.New("an age must be a number, 0 or more")
	case e.Wet <= e.Dry:
		return fmt.Errorf("found wet at %v, not after it was last known dry at %v", e.Wet, e.Dry)
	case e.Dry == 0 && !e.endedWet():
		return errors.New("neither a dry nor a wet look")
	case !(e.weight() > 0) || math.IsInf(e.Weight, 1):
		return errors.New("the weight must be above 0")
	}
	return nil
}

// The shortest and the longest time under cover that teaches anything, in years.
const (
	minAge = 1 / 365.25
	maxAge = 40
)

// Validate gives the reason why an episode cannot be learned from: its last
// look less than a day or more than 40 years after closing, dates reversed, or a
// covariate that is no number.
func (e *Episode) Validate() error {
	if err := e.checkYears(); err != nil {
		return err
	}
	return e.Covariates.Validate()
}

// checkYears is check with the limits of ages in years.
func (e *Episode) checkYears() error {
	if err := e.check(); err != nil {
		return err
	}
	switch last := e.lastLook(); {
	case last < minAge:
		return errors.New("opened less than a day after closing")
	case last > maxAge:
		return errors.New("opened more than 40 years after closing")
	}
	return nil
}

// Validate says which covariate cannot be.
func (c *Covariates) Validate() error {
	switch c.Seal {
	case "", Sound, Repaired, Poor, Unknown:
	default:
		return fmt.Errorf("seal %q is none of sound, repaired, poor, unknown", c.Seal)
	}
	_, err := c.checkNumbers()
	return err
}

// checkNumbers says which number cannot be, with the name of its column.
func (c *Covariates) checkNumbers() (column string, err error) {
	switch {
	case c.Drive != nil && !(*c.Drive >= 0):
		return "drive", errors.New("the drive ratio must be 0 or more")
	case c.ServiceC != nil && !(math.Abs(*c.ServiceC) < 1000):
		return "service_c", errors.New("the service temperature must be in °C")
	case c.AgeYears != nil && !(*c.AgeYears >= 0):
		return "age_y", errors.New("the cover's age must be 0 or more")
	case c.Openings < 0:
		return "n_open", errors.New("the earlier openings must be 0 or more")
	}
	return "", nil
}

// Rejected is an episode that teaches nothing, with the reason.
type Rejected struct {
	At      int // its place in what was sifted
	Episode Episode
	Reason  error
}

// errSuperseded is the reason of every episode but the last with one ID.
var errSuperseded = errors.New("a later one has the same id; the last counts")

// Sift keeps the episodes to learn from, in order. Of several with one ID the
// last wins; the others and those that fail Validate come back with their reason.
func Sift(episodes []Episode) (kept []Episode, rejected []Rejected) {
	last := lastOfID(episodes)
	return sift(episodes, func(i int, e *Episode) error {
		if e.ID != "" && last[e.ID] != i {
			return errSuperseded
		}
		return e.Validate()
	})
}

// lastOfID is the place of the last episode with each ID.
func lastOfID(episodes []Episode) map[string]int {
	last := make(map[string]int)
	for i := range episodes {
		if id := episodes[i].ID; id != "" {
			last[id] = i
		}
	}
	return last
}

// sift parts the episodes by whether check finds a reason against them.
func sift(episodes []Episode, check func(i int, e *Episode) error) (kept []Episode, rejected []Rejected) {
	for i := range episodes {
		if err := check(i, &episodes[i]); err != nil {
			rejected = append(rejected, Rejected{i, episodes[i], err})
			continue
		}
		kept = append(kept, episodes[i])
	}
	return kept, rejected
}

// appendTo appends what a fit reads of an episode, for its version.
func (e *Episode) appendTo(b []byte) []byte {
	c := &e.Covariates
	for _, x := range [...]float64{e.Dry, e.Wet, e.weight(), orNaN(c.Drive), orNaN(c.ServiceC), orNaN(c.AgeYears),
		float64(c.Openings), oneIf(c.Dual), oneIf(c.PrevWet)} {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	}
	for _, word := range [...]string{c.Building, string(c.Seal), string(c.Method), string(c.Kind), c.Group} {
		b = append(append(b, word...), 0)
	}
	return b
}

func orNaN(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}
