package store

import (
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// dryOpening is openingOf, found dry.
func dryOpening(id, cover models.ID, on models.Date) models.Opening {
	o := openingOf(id, cover, on)
	o.Moisture, o.Blanket, o.Metal.FreshRust = "dry", "dry", ptr(false)
	return o
}

// years fills a record with openings over two years, one of them amended.
func years(t *testing.T) *Store {
	t.Helper()
	st := filled(t, 3)
	add(t, st, dryOpening("o1", "c1", "2025-03-31"), Derived{Ri: ptr(0)})
	add(t, st, openingOf("o2", "c2", "2025-04-01"), Derived{Ri: ptr(3)})
	add(t, st, openingOf("o3", "c3", "2025-06-30"), Derived{Ri: ptr(3)})
	unanswered := dryOpening("o4", "c1", "2025-06-30")
	unanswered.Moisture, unanswered.Blanket, unanswered.Metal.FreshRust = "", "", nil
	add(t, st, unanswered, Derived{})
	add(t, st, openingOf("o5", "c1", "2026-12-31"), Derived{Ri: ptr(5)})
	amended := dryOpening("o6", "c1", "2026-12-31")
	amended.Root, amended.Version, amended.Amends = "o5", 2, "wrong cover looked at"
	amended.Places = amended.Places[:2]
	add(t, st, amended, Derived{Ri: ptr(1)})
	shut := dryOpening("o7", "c2", "2026-12-30")
	shut.Outcome = "could_not_open"
	add(t, st, shut, Derived{})
	return st
}

func TestTrendsCountCurrentVersions(t *testing.T) {
	st, ctx := years(t), t.Context()
	quarters, err := st.WetByQuarter(ctx, "b1")
	require.NoError(t, err)
	require.Equal(t, []models.WetQuarter{
		{Quarter: "2025 Q1", Opened: 1}, {Quarter: "2025 Q2", Opened: 2, Wet: 2}, {Quarter: "2026 Q4", Opened: 1},
	}, quarters)

	grades, err := st.GradesByYear(ctx, "b1")
	require.NoError(t, err)
	require.Equal(t, []models.GradeYear{
		{Year: 2025, Ri: [6]int{0: 1, 3: 2}, NotGraded: 1}, {Year: 2026, Ri: [6]int{1: 1}},
	}, grades)

	places, err := st.PlaceCounts(ctx, "b1")
	require.NoError(t, err)
	require.Equal(t, []models.PlaceCount{
		{Place: "long seam", Seen: 6, Broken: 6}, {Place: "near end", Seen: 6}, {Place: "penetration", Seen: 5, Broken: 5},
	}, places)
	for _, empty := range []models.ID{"b2", ""} {
		quarters, err := st.WetByQuarter(ctx, empty)
		require.NoError(t, err)
		require.Empty(t, quarters)
	}
}

// The quarter that the table checks is the quarter of models.Date.
func TestQuarterOfEveryMonth(t *testing.T) {
	st := create(t)
	write(t, st, func(tx *Tx) error { return campus(t.Context(), tx, 12) })
	day := models.Date("2024-01-31")
	for i := 1; i <= 12; i++ {
		add(t, st, openingOf(models.ID("o"+string(coverID(i))), coverID(i), day), Derived{})
		var quarter string
		require.NoError(t, st.db.Raw("SELECT quarter FROM openings WHERE cover_id = ?", coverID(i)).Scan(&quarter).Error)
		require.Equal(t, day.Quarter(), quarter)
		day = models.Date(day.Time().AddDate(0, 0, 28).Format("2006-01-02"))
	}
}

func TestTrendsReadTheIndexOnly(t *testing.T) {
	st := years(t)
	for _, sql := range []string{wetByQuarter, gradesByYear} {
		plan := explain(t, st, sql, "b1")
		require.Contains(t, plan, "SEARCH o USING COVERING INDEX openings_trend (building_id=?)", plan)
		require.Contains(t, plan, "SEARCH n USING COVERING INDEX openings_version", plan)
	}
	plan := explain(t, st, "SELECT "+numbersOf+" FROM covers c WHERE "+live+" GROUP BY c.building_id", "", "")
	require.Contains(t, plan, "COVERING INDEX covers_numbers")
}

func TestNumbersOfABuilding(t *testing.T) {
	st, ctx := filled(t, 6), t.Context()
	score(t, st, "c1", 10, "2026-12-01")
	score(t, st, "c2", 10, "2027-06-01")
	s := fullScore("c3")
	s.Overdue, s.Due.On, s.Minutes, s.Condition, s.Action = true, "2026-01-01", 90, models.NeverSeen, models.LookNow
	add(t, st, openingOf("o1", "c4", "2026-11-20"), Derived{})
	write(t, st, func(tx *Tx) error {
		m, err := tx.Material(ctx, "c3")
		if err != nil {
			return err
		}
		if err := tx.PutScore(ctx, Scored{s, m.Mark, "new day"}); err != nil {
			return err
		}
		for _, f := range []models.FollowUp{
			{ID: "f1", Cover: "c4", Building: "b1", Kind: "dry", OpenedAt: noon},
			{ID: "f2", Cover: "c4", Building: "b1", Kind: "dry", OpenedAt: noon},
			{ID: "f3", Cover: "c1", Building: "b1", Kind: "dry", OpenedAt: noon},
		} {
			if err := tx.AddFollowUp(ctx, f); err != nil {
				return err
			}
		}
		if err := tx.SetCoverState(ctx, "c5", models.Off, "2026-11-01"); err != nil {
			return err
		}
		return tx.SetCoverState(ctx, "c6", models.Retired, "")
	})
	numbers, err := st.Numbers(ctx, nil, "2027-02-23")
	require.NoError(t, err)
	require.Len(t, numbers, 1)
	n := numbers[0]
	require.Equal(t, "Harbor House", n.Building.Name)
	n.Building = models.Building{}
	require.Equal(t, models.BuildingNumbers{Covers: 5, Off: 1, WetOpen: 1, NeverSeen: 1, Overdue: 1, Due: 2,
		Clear: models.Clearance{Covers: 2, Hours: 1.5}}, n)

	rooms, err := st.RoomRows(ctx, "b1", "2027-02-23")
	require.NoError(t, err)
	require.Len(t, rooms, 1)
	require.Equal(t, []any{"Plant room 1", "Harbor House", 5, 1, 2, 1},
		[]any{rooms[0].Name, rooms[0].BuildingName, rooms[0].Covers, rooms[0].Off, rooms[0].Due, rooms[0].NeverSeen})

	none := []models.ID{}
	m, err := st.MorningCounts(ctx, nil, "2027-02-23", "2026-10-26")
	require.NoError(t, err)
	require.Equal(t, models.Morning{Covers: 5, OffCount: 1, LookNowCount: 1, DueRound: 2, NeverSeen: 1,
		FollowUpCount: 3, Pending: 3, RecentOpened: 1, RecentWet: 1}, m, "what is reported is named there, and not as overdue again")
	s.Action = models.OpenNow
	write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{s, 1, "new day"}) })
	m, err = st.MorningCounts(ctx, nil, "2027-02-23", "2026-10-26")
	require.NoError(t, err)
	require.Equal(t, []int{0, 1}, []int{m.LookNowCount, m.OverdueCount})
	m, err = st.MorningCounts(ctx, &none, "2027-02-23", "2026-10-26")
	require.NoError(t, err)
	require.Equal(t, models.Morning{}, m)
	numbers, err = st.Numbers(ctx, &none, "2027-02-23")
	require.NoError(t, err)
	require.Empty(t, numbers)
}
