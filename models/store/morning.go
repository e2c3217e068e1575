package store

import (
	"context"

	"drylag/models"
)

// MorningCounts gives the counts of the first page over a scope: dueBy is the
// end of the round span, since the first day of what is called recent. Rows
// and days are left to the caller.
func (r Reader) MorningCounts(ctx context.Context, scope *[]models.ID, dueBy, since models.Date) (models.Morning, error) {
	var m models.Morning
	q := r.on(ctx).Table("covers c").Select(`COUNT(*) AS covers,
		COUNT(*) FILTER (WHERE c.state = 'off') AS off_count,
		COUNT(*) FILTER (WHERE c.action = 'look_now') AS look_now_count,
		COUNT(*) FILTER (WHERE c.overdue AND c.action = 'open_now') AS overdue_count,
		COUNT(*) FILTER (WHERE c.due_on <> '' AND c.due_on <= ?) AS due_round,
		COUNT(*) FILTER (WHERE c.condition = 'never_seen') AS never_seen,
		COUNT(*) FILTER (WHERE c.score_stale) AS pending`, dueBy).Where(live)
	var counts struct {
		Covers, OffCount, LookNowCount, OverdueCount, DueRound, NeverSeen, Pending int
	}
	if err := inScope(q, "c.building_id", scope).Scan(&counts).Error; err != nil {
		return m, storeError("cover", err)
	}
	m.Covers, m.OffCount, m.LookNowCount, m.OverdueCount = counts.Covers, counts.OffCount, counts.LookNowCount, counts.OverdueCount
	m.DueRound, m.NeverSeen, m.Pending = counts.DueRound, counts.NeverSeen, counts.Pending

	var recent struct{ Opened, Wet int }
	q = r.on(ctx).Table("openings_now").Select("COUNT(*) AS opened, COUNT(*) FILTER (WHERE wet) AS wet").Where("bared AND day >= ?", since)
	if err := inScope(q, "building_id", scope).Scan(&recent).Error; err != nil {
		return m, storeError("opening", err)
	}
	m.RecentOpened, m.RecentWet = recent.Opened, recent.Wet

	q = r.on(ctx).Table("follow_ups").Select("COUNT(*)").Where("closed_at IS NULL")
	err := inScope(q, "building_id", scope).Scan(&m.FollowUpCount).Error
	return m, storeError("follow-up", err)
}
