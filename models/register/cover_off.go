package register

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"drylag/models"
	"drylag/models/risk"
)

// CoversOff is every cover that is off in the actor's buildings, or in one of
// them, the highest risk first. Each is as of the day it is in its own building.
// Money is left out for who may not see trends.
func (r *Register) CoversOff(ctx context.Context, a models.Actor, of models.ID) (out models.OffCovers, err error) {
	if err := a.May(models.ActRead); err != nil {
		return out, err
	}
	if err := r.seesFilter(ctx, a, of, models.None, models.None); err != nil {
		return out, err
	}
	if out.Today, err = r.todayOf(ctx, a); err != nil {
		return out, err
	}
	years := bareYears{r: r, keys: map[string]string{}}
	filter := models.CoverFilter{Building: of, State: string(models.Off), Scope: scopeOf(a), Sort: "walk"}
	sums := map[models.ID]*models.OffSum{}
	err = r.store.EachCover(ctx, filter, func(rows []models.CoverRow) error {
		return r.eachOff(ctx, rows, &years, func(c models.OffCover, b models.Building) {
			if a.May(models.ActTrend) != nil {
				hideOffMoney(&c)
			}
			out.Covers = append(out.Covers, c)
			if sums[b.ID] == nil {
				sums[b.ID] = &models.OffSum{Building: b}
			}
			sums[b.ID].Add(c)
			out.All.Add(c)
		})
	})
	for _, s := range sums {
		out.Buildings = append(out.Buildings, *s)
	}
	slices.SortFunc(out.Buildings, func(x, y models.OffSum) int { return strings.Compare(x.Building.Name, y.Building.Name) })
	slices.SortStableFunc(out.Covers, worseOff)
	return out, err
}

// eachOff works out rows of covers that are off.
func (r *Register) eachOff(ctx context.Context, rows []models.CoverRow, years *bareYears, do func(models.OffCover, models.Building)) error {
	ids := make([]models.ID, len(rows))
	for i, row := range rows {
		ids[i] = row.ID
	}
	sheets, err := r.store.Sheets(ctx, ids)
	if err != nil {
		return err
	}
	at := map[models.ID]models.CoverSheet{}
	for _, s := range sheets {
		at[s.Cover.ID] = s
	}
	for _, row := range rows {
		s := at[row.ID]
		year, err := years.of(ctx, s)
		if err != nil {
			return err
		}
		c := risk.Off(s, year, r.Today(s.Building))
		c.CoverRow = row
		do(c, s.Building)
	}
	return nil
}

// worseOff puts the higher risk first, then what sweats more.
func worseOff(x, y models.OffCover) int {
	return cmp.Or(cmp.Compare(y.Risk, x.Risk), cmp.Compare(sweatOf(y), sweatOf(x)))
}

func sweatOf(c models.OffCover) float64 {
	if c.Sweat == nil {
		return 0
	}
	return *c.Sweat
}

func hideOffMoney(c *models.OffCover) {
	c.Price = ""
	c.Gaps = slices.DeleteFunc(slices.Clone(c.Gaps), func(g models.Gap) bool { return g.Of == "building" })
	for _, cost := range []*models.OffCost{c.SoFar, c.Month, c.Annual} {
		if cost != nil {
			cost.Money = nil
		}
	}
}
