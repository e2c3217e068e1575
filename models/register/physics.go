package register

import (
	"context"
	"fmt"

	"drylag/models"
	"drylag/models/risk"
)

// Physics is what air, heat and vapor do at one cover. Money is left out for who
// may not see trends.
func (r *Register) Physics(ctx context.Context, a models.Actor, cover models.ID) (models.Physics, error) {
	s, err := r.Cover(ctx, a, cover)
	if err != nil {
		return models.Physics{}, err
	}
	year, err := r.roomYear(ctx, s)
	if err != nil {
		return models.Physics{}, fmt.Errorf("year of cover %s: %w", cover, err)
	}
	p, err := risk.Physics(s, year)
	if err != nil {
		return p, err
	}
	if a.May(models.ActTrend) != nil && p.Heat != nil {
		hideMoney(p.Heat)
	}
	return p, nil
}

func hideMoney(h *models.HeatYear) {
	h.Price, h.Bare.Money = "", nil
	if h.Covered != nil {
		h.Covered.Money = nil
	}
}
