package register

import (
	"context"
	"slices"
	"strings"

	"drylag/models"
)

// CoverFile is everything the record holds about one cover.
func (r *Register) CoverFile(ctx context.Context, a models.Actor, id models.ID) (file models.CoverFile, err error) {
	if err := a.May(models.ActRead); err != nil {
		return file, err
	}
	if file.Sheet, err = cover(ctx, r.store.Reader, a, id); err != nil {
		return file, err
	}
	if file.Score, err = r.scoreOrNil(ctx, id); err != nil {
		return file, err
	}
	if file.Changes, err = r.store.ScoreChanges(ctx, id); err != nil {
		return file, err
	}
	slices.SortStableFunc(file.Changes, func(x, y models.ScoreChange) int { return y.At.Compare(x.At) })
	if file.History, err = r.history(ctx, id); err != nil {
		return file, err
	}
	if file.Readings, err = r.store.Readings(ctx, id); err != nil {
		return file, err
	}
	if file.FollowUps, err = r.store.FollowUps(ctx, followUpsOf(id)); err != nil {
		return file, err
	}
	file.LastAir, err = r.lastAir(ctx, file.Sheet.Room.ID)
	return file, err
}

// scoreOrNil is the cover's score; nil where none was worked out yet.
func (r *Register) scoreOrNil(ctx context.Context, cover models.ID) (*models.Score, error) {
	s, err := r.store.Score(ctx, cover)
	have, err := known(err)
	if err != nil || !have {
		return nil, err
	}
	return &s, nil
}

// history lists what was recorded about a cover, newest first.
func (r *Register) history(ctx context.Context, cover models.ID) ([]models.HistoryItem, error) {
	names, err := r.names(ctx)
	if err != nil {
		return nil, err
	}
	items, err := r.openingItems(ctx, cover, names)
	if err != nil {
		return nil, err
	}
	looks, err := r.store.Looks(ctx, cover)
	if err != nil {
		return nil, err
	}
	for _, l := range looks {
		items = append(items, models.HistoryItem{On: l.On, Look: &l, By: names[l.Recorder]})
	}
	earlier, err := r.store.EarlierRecords(ctx, cover)
	if err != nil {
		return nil, err
	}
	for _, e := range earlier {
		items = append(items, models.HistoryItem{On: e.On, Earlier: &e})
	}
	deferrals, err := r.store.Deferrals(ctx, cover)
	if err != nil {
		return nil, err
	}
	for _, d := range deferrals {
		items = append(items, models.HistoryItem{On: models.Date(d.EnteredAt.Format("2006-01-02")), Deferral: &d, By: names[d.By]})
	}
	slices.SortStableFunc(items, func(x, y models.HistoryItem) int { return strings.Compare(string(y.On), string(x.On)) })
	return items, nil
}

// openingItems lists a cover's openings, newest first, with all versions of
// those that were amended.
func (r *Register) openingItems(ctx context.Context, cover models.ID, names map[models.ID]string) ([]models.HistoryItem, error) {
	openings, err := r.store.Openings(ctx, cover)
	if err != nil {
		return nil, err
	}
	var items []models.HistoryItem
	for _, o := range slices.Backward(openings) {
		item := models.HistoryItem{On: o.On, Opening: &o, By: names[o.Recorder]}
		if o.Version > 1 {
			if item.Versions, err = r.store.OpeningVersions(ctx, o.Root); err != nil {
				return nil, err
			}
		}
		items = append(items, item)
	}
	return items, nil
}

// names are the names of all accounts, for "entered by".
func (r *Register) names(ctx context.Context) (map[models.ID]string, error) {
	users, err := r.store.Users(ctx)
	if err != nil {
		return nil, err
	}
	out := map[models.ID]string{Operator().ID: Operator().Name}
	for _, u := range users {
		out[u.ID] = u.Name
	}
	return out, nil
}
