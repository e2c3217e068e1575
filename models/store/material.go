package store

import (
	"context"

	"drylag/models"
)

// chunk is how many covers or openings are loaded by one query: far below the
// 32,766 arguments that SQLite takes, large enough to make queries few.
const chunk = 200

// Material is everything the record holds that a cover's score is made from.
type Material struct {
	Sheet     models.CoverSheet
	Openings  []models.Opening // current versions, oldest first
	Looks     []models.Look
	Earlier   []models.EarlierRecord
	Readings  []models.ThicknessReading
	FollowUps []models.FollowUp // open ones
	Deferrals []models.Deferral
	Mark      int // give it back with the score: Scored.Mark
}

// Material gives what one cover's score is made from.
func (r Reader) Material(ctx context.Context, cover models.ID) (Material, error) {
	var list []Material
	err := r.snapshot(ctx, func(r Reader) (err error) {
		list, err = r.materials(ctx, []models.ID{cover})
		return err
	})
	return one(list, err)("cover")
}

// Materials gives what the scores of these covers are made from, in walking
// order as given; unknown ids are left out. At most a few hundred at a time.
func (r Reader) Materials(ctx context.Context, ids []models.ID) ([]Material, error) {
	var list []Material
	for start := 0; start < len(ids); start += chunk {
		err := r.snapshot(ctx, func(r Reader) error {
			part, err := r.materials(ctx, ids[start:min(start+chunk, len(ids))])
			list = append(list, part...)
			return err
		})
		if err != nil {
			return nil, storeError("cover", err)
		}
	}
	return list, nil
}

// ScoringCount counts the covers that EachScoringInput streams.
func (r Reader) ScoringCount(ctx context.Context, onlyStale bool) (int, error) {
	q := `SELECT COUNT(*) FROM covers WHERE state NOT IN ('replaced', 'retired')`
	if onlyStale {
		q += ` AND score_stale`
	}
	var n int
	err := r.on(ctx).Raw(q).Scan(&n).Error
	return n, storeError("cover", err)
}

// EachScoringInput streams what the scores of all covers that can have one
// (not replaced, not retired) are made from, or only of those whose score is
// stale: in walking order, in batches, each batch from one state of the record
// and in a fixed number of queries. It stops at the first error of fn.
func (r Reader) EachScoringInput(ctx context.Context, onlyStale bool, fn func(batch []Material) error) error {
	afterWalk, afterID := "", models.None
	for {
		var batch []Material
		err := r.snapshot(ctx, func(r Reader) error {
			heads, err := r.scoringHeads(ctx, onlyStale, afterWalk, afterID)
			if err != nil || len(heads) == 0 {
				return err
			}
			last := heads[len(heads)-1]
			afterWalk, afterID = last.Walk, last.ID
			batch, err = r.materials(ctx, convert(heads, func(h scoringHead) models.ID { return h.ID }))
			return err
		})
		if err != nil {
			return storeError("cover", err)
		}
		if len(batch) == 0 {
			return nil
		}
		if err := fn(batch); err != nil {
			return err
		}
	}
}

type scoringHead struct {
	ID   models.ID
	Walk string
}

func (r Reader) scoringHeads(ctx context.Context, onlyStale bool, walk string, id models.ID) ([]scoringHead, error) {
	q := `SELECT id, walk FROM covers WHERE (walk, id) > (?, ?) AND state NOT IN ('replaced', 'retired')`
	if onlyStale {
		q += ` AND score_stale`
	}
	var heads []scoringHead
	err := r.on(ctx).Raw(q+` ORDER BY walk, id LIMIT ?`, walk, id, chunk).Scan(&heads).Error
	return heads, err
}

// materials loads at most a chunk of covers in a fixed number of queries.
func (r Reader) materials(ctx context.Context, ids []models.ID) ([]Material, error) {
	sheets, err := r.Sheets(ctx, ids)
	if err != nil {
		return nil, err
	}
	list := convert(sheets, func(s models.CoverSheet) Material { return Material{Sheet: s} })
	at := make(map[models.ID]*Material, len(list))
	for i := range list {
		at[list[i].Sheet.Cover.ID] = &list[i]
	}
	if err := r.fillHistory(ctx, ids, at); err != nil {
		return nil, err
	}
	return list, r.fillMarks(ctx, ids, at)
}

// fillHistory adds openings, looks, earlier records, readings, open
// follow-ups and deferrals.
func (r Reader) fillHistory(ctx context.Context, ids []models.ID, at map[models.ID]*Material) error {
	openings, err := r.openings(ctx, "openings_now", "cover_id IN ?", ids)
	if err != nil {
		return err
	}
	for _, o := range openings {
		at[o.Cover].Openings = append(at[o.Cover].Openings, o)
	}
	looks, err := r.looks(ctx, "cover_id IN ?", ids)
	if err != nil {
		return err
	}
	for _, l := range looks {
		at[l.Cover].Looks = append(at[l.Cover].Looks, l)
	}
	earlier, err := r.earlierOf(ctx, ids)
	if err != nil {
		return err
	}
	readings, err := r.readingsOf(ctx, ids)
	if err != nil {
		return err
	}
	deferrals, err := r.deferralsOf(ctx, ids)
	if err != nil {
		return err
	}
	for id, m := range at {
		m.Earlier, m.Readings, m.Deferrals = earlier[id], readings[id], deferrals[id]
	}
	return r.fillFollowUps(ctx, ids, at)
}

func (r Reader) fillFollowUps(ctx context.Context, ids []models.ID, at map[models.ID]*Material) error {
	var rows []followUpRow
	err := r.on(ctx).Where("cover_id IN ? AND closed_at IS NULL", ids).Order("opened_at, id").Find(&rows).Error
	for _, f := range rows {
		at[f.Cover].FollowUps = append(at[f.Cover].FollowUps, models.FollowUp(f))
	}
	return storeError("follow-up", err)
}

func (r Reader) fillMarks(ctx context.Context, ids []models.ID, at map[models.ID]*Material) error {
	var marks []struct {
		ID    models.ID
		Marks int
	}
	err := r.on(ctx).Raw("SELECT id, marks FROM covers WHERE id IN ?", ids).Scan(&marks).Error
	for _, m := range marks {
		at[m.ID].Mark = m.Marks
	}
	return storeError("cover", err)
}
