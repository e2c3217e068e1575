package register

import (
	"context"

	"drylag/models"
)

// DueFilter narrows the due chart. Empty fields do not narrow.
type DueFilter struct {
	Building models.ID
	Room     models.ID
	Months   int // 0: 12
}

// DueRoom is one room of the due chart.
type DueRoom struct {
	Room   models.RoomRow
	Sweat  [12]bool          // January first: months in which its metal sweats
	Covers []models.CoverRow // due within the months, or overdue, earliest first
}

// Due lists what is due within the months asked for or overdue, by room in
// walking order.
func (r *Register) Due(ctx context.Context, a models.Actor, f DueFilter) ([]DueRoom, error) {
	return nil, errUnfinished
}

// Morning is the first page's contents: what is off, reported, overdue, due.
func (r *Register) Morning(ctx context.Context, a models.Actor) (models.Morning, error) {
	return models.Morning{}, errUnfinished
}

// Trend is a building over the years, in numbers and in sentences.
func (r *Register) Trend(ctx context.Context, a models.Actor, building models.ID) (models.BuildingTrend, error) {
	return models.BuildingTrend{}, errUnfinished
}
