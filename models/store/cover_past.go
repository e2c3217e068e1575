package store

import (
	"context"
	"slices"
	"strings"

	"drylag/models"
)

// addPast fills in what the rows of a list do not hold themselves: a record
// from before drylag that is newer than the last opening, and how the seal was
// last left, or seen from outside since. Each is one query for all rows.
func (r Reader) addPast(ctx context.Context, rows []models.CoverRow) error {
	at := make(map[models.ID]*models.CoverRow, len(rows))
	ids := make([]models.ID, len(rows))
	for i := range rows {
		ids[i] = rows[i].ID
		at[ids[i]] = &rows[i]
	}
	for part := range slices.Chunk(ids, chunk) {
		if err := r.addSeals(ctx, part, at); err != nil {
			return err
		}
		if err := r.addEarlier(ctx, part, at); err != nil {
			return err
		}
	}
	return nil
}

// addEarlier counts records from before drylag as the last time the metal was
// bared, where no opening came later.
func (r Reader) addEarlier(ctx context.Context, ids []models.ID, at map[models.ID]*models.CoverRow) error {
	records, err := r.earlierOf(ctx, ids)
	for id, list := range records {
		last, row := list[len(list)-1], at[id]
		if last.On <= row.LastOpened {
			continue
		}
		row.LastOpened, row.LastWet, row.LastRust, row.AreaPct = last.On, last.Wet(), "", nil
	}
	return err
}

// sealRow is a cover's seal at its last opening, or at the last look since.
type sealRow struct {
	CoverID models.ID
	Seen    bool   // by a look
	Places  string // place, as found and as left of each, with sealMark between all of them
}

// sealMark stands in no word of a place or a state.
const sealMark = ";"

// sealsNow are the places of the last opening of each cover and those of the
// last look since that saw the seal, one row for each of the two: rows are what
// takes time. A look on the day of the opening came before it.
const sealsNow = `SELECT c.id AS cover_id, 0 AS seen,
	(SELECT group_concat(p.place || ';' || p.as_found || ';' || p.as_left, ';') FROM opening_places p WHERE p.opening_id = o.id) AS places
	FROM covers c JOIN openings o ON o.root_id = c.last_opening_root
	AND o.version = (SELECT MAX(n.version) FROM openings n WHERE n.root_id = o.root_id) WHERE c.id IN ?
	UNION ALL SELECT c.id, 1, (SELECT group_concat(p.place || ';' || p.as_found || ';', ';') FROM look_places p WHERE p.look_id =
		(SELECT n.id FROM looks n WHERE n.cover_id = c.id AND n.day > c.last_opened
		AND EXISTS (SELECT 1 FROM look_places x WHERE x.look_id = n.id) ORDER BY n.day DESC, n.id DESC LIMIT 1))
	FROM covers c WHERE c.id IN ?`

// addSeals sums up the seal of each cover as it is now.
func (r Reader) addSeals(ctx context.Context, ids []models.ID, at map[models.ID]*models.CoverRow) error {
	var rows []sealRow
	if err := r.on(ctx).Raw(sealsNow, ids, ids).Scan(&rows).Error; err != nil {
		return storeError("place", err)
	}
	left, seen := map[models.ID][]models.PlaceFinding{}, map[models.ID][]models.PlaceFinding{}
	for _, row := range rows {
		if row.Seen {
			seen[row.CoverID] = row.places()
		} else {
			left[row.CoverID] = row.places()
		}
	}
	for _, id := range ids {
		at[id].Seal = models.SealNow(left[id], seen[id])
	}
	return nil
}

// places reads the places of a row.
func (s sealRow) places() []models.PlaceFinding {
	var out []models.PlaceFinding
	for words := range slices.Chunk(strings.Split(s.Places, sealMark), 3) {
		if len(words) == 3 {
			out = append(out, models.PlaceFinding{Place: models.Place(words[0]), Found: models.Found(words[1]), Left: models.Left(words[2])})
		}
	}
	return out
}
