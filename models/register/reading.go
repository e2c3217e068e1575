package register

import (
	"context"
	"time"

	"drylag/models"
)

// AirKept is how long a hand reading of a room's air stands for the visit.
const AirKept = 2 * time.Hour

// RecordRoomReading stores the air of a room read by hand. The same ID with the
// same content again changes nothing.
func (r *Register) RecordRoomReading(ctx context.Context, a models.Actor, rr models.RoomReading) (models.RoomReading, error) {
	return models.RoomReading{}, errUnfinished
}

// LastAir is the room's air read within AirKept; nil without error if none was.
func (r *Register) LastAir(ctx context.Context, a models.Actor, room models.ID) (*models.RoomReading, error) {
	return nil, errUnfinished
}

// RecordThickness stores wall readings taken without an opening. Each has its
// own UUID; what is there already changes nothing.
func (r *Register) RecordThickness(ctx context.Context, a models.Actor, cover models.ID, list []models.ThicknessReading) (Receipt, error) {
	return Receipt{}, errUnfinished
}
