package register

import (
	"context"

	"drylag/models"
)

// Score works out and stores the score of one cover as of today. cause is a
// word of models.ScoreChange. It is the service's own act and has no actor.
func (r *Register) Score(ctx context.Context, cover models.ID, cause string) (models.Score, error) {
	return models.Score{}, errUnfinished
}

// Rescore works out the scores of all covers afresh: the fleet's fit is learned
// anew, then every cover is scored, in chunks. progress may be nil. It stops
// when ctx ends; what is done by then stays.
func (r *Register) Rescore(ctx context.Context, cause string, progress func(done, total int)) error {
	return errUnfinished
}

// RescoreStale works out the scores that records, imports or edits made stale.
func (r *Register) RescoreStale(ctx context.Context, cause string) (done int, err error) {
	return 0, errUnfinished
}

// RoomAir is a room's typical year in short, against its own coldest metal.
type RoomAir struct {
	Source  string  // in words: which file or logger, its age, what was filled
	Assumed bool    // no humidity known at all
	MetalC  float64 // the metal it is held against, °C
	Hours   float64 // in the year
	Below   float64 // hours with the metal below the room's dew point
	Months  [12]RoomMonth
	Last    *models.RoomReading // read by hand within AirKept, nil: none
}

// RoomMonth is one month of a RoomAir.
type RoomMonth struct {
	Hours, Dry float64 // Dry: bare metal stays dry
	Sweats     bool    // the metal is below the dew point for half of the month or more
}

// Air is what is known about a room's air.
func (r *Register) Air(ctx context.Context, a models.Actor, room models.ID) (RoomAir, error) {
	return RoomAir{}, errUnfinished
}
