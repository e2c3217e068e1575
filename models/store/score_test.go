package store

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
	"gorm.io/gorm"
)

// fullScore has every field set.
func fullScore(cover models.ID) models.Score {
	return models.Score{
		Cover: cover, Building: "b1", Room: "r1", On: "2026-11-25", At: noon, Method: "1", Fit: "f1", Inputs: `{"a":1}`,
		Condition: models.WetEstimated, PWet: models.Range{Mid: 0.4, Lo: 0.2, Hi: 0.6}, PWetYear: models.Range{Mid: 0.3, Lo: 0.1, Hi: 0.5},
		AgeYears: 3.5, HoursBelow: 5076, YearHours: 8760, DriveIndex: 1.1, NetDriveUp: true,
		SweatMonths: [12]bool{5: true, 6: true}, DryHoursShare: [12]float64{0: 1, 6: 0.1}, Driver: "moderate",
		TableRateMMY: ptr(0.05), RateFrom: "table", RateMMY: ptr(0.05), ScoredPart: "the bolts", RequiredMM: ptr(3.0), LastMM: ptr(6.1),
		RemainingLife: &models.Range{Mid: 20, Lo: 12, Hi: 40}, Likelihood: 2.5, Consequence: 3, Risk: 45,
		Sentences: []string{"It is wet about as often as not."}, Why: []models.Term{{Name: "hours", Value: "5,076 h", Method: "m", Source: "s"}},
		W: 0.8, Benefit: 12, Minutes: 35, Due: models.DueDate{Rule: models.RuleWorth, On: "2027-02-01", Why: "worth it"},
		Others: []models.DueDate{{Rule: models.RuleLimit, On: "2030-01-01", Why: "limit"}}, Action: models.ThisRound,
		PutOffTo: "2027-03-01", Window: "2027-01-01", FollowUps: 1,
	}
}

func TestScoreComesBackAsItWasStored(t *testing.T) {
	st, ctx := filled(t, 2), t.Context()
	_, err := st.Score(ctx, "c1")
	requireKind(t, models.Missing, err)
	m, err := st.Material(ctx, "c1")
	require.NoError(t, err)
	want := fullScore("c1")
	write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{want, m.Mark, "opening"}) })
	got, err := st.Score(ctx, "c1")
	require.NoError(t, err)
	require.Equal(t, want, got)

	page, err := st.Covers(ctx, models.CoverFilter{})
	require.NoError(t, err)
	row := page.Rows[0]
	require.Equal(t, models.CoverRow{
		ID: "c1", Building: "b1", Room: "r1", BuildingName: "Harbor House", RoomName: "Plant room 1", Tag: "V-1", Label: "K001",
		Kind: "gate_valve", State: models.InPlace, Seal: models.SealUnknown, Condition: want.Condition, PWet: want.PWet, Risk: 45, DueOn: "2027-02-01",
		Window: "2027-01-01", Rule: models.RuleWorth, Why: "worth it", Action: models.ThisRound, W: 0.8, Scored: true, Sweat: want.SweatMonths,
	}, row)
	require.False(t, page.Rows[1].Scored, "the other is pending")
}

func TestScoreThatIsNotANumberIsRefused(t *testing.T) {
	st := filled(t, 1)
	s := fullScore("c1")
	s.W = math.NaN()
	requireKind(t, models.Invalid, st.Write(t.Context(), func(tx *Tx) error { return tx.PutScore(t.Context(), Scored{Score: s, Mark: 1}) }))
}

func TestStepsOfAScore(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*models.Score)
		steps  int // with the first
	}{
		{"nothing", func(s *models.Score) {}, 1},
		{"a later instant", func(s *models.Score) { s.At = noon.AddDate(0, 0, 1) }, 1},
		{"four points of P(wet)", func(s *models.Score) { s.PWet.Mid += 0.04 }, 1},
		{"six points of P(wet)", func(s *models.Score) { s.PWet.Mid += 0.06 }, 2},
		{"risk", func(s *models.Score) { s.Risk++ }, 2},
		{"date", func(s *models.Score) { s.Due.On = "2027-02-02" }, 2},
		{"rule", func(s *models.Score) { s.Due.Rule = models.RuleLimit }, 2},
		{"action", func(s *models.Score) { s.Action = models.OpenNow }, 2},
		{"method", func(s *models.Score) { s.Method = "2" }, 2},
		{"fit", func(s *models.Score) { s.Fit = "f2" }, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			st, ctx := filled(t, 1), t.Context()
			s := fullScore("c1")
			write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{s, 1, "opening"}) })
			c.change(&s)
			write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{s, 1, "new day"}) })
			changes, err := st.ScoreChanges(ctx, "c1")
			require.NoError(t, err)
			require.Len(t, changes, c.steps)
			require.Equal(t, "opening", changes[len(changes)-1].Cause)
			if c.steps == 2 {
				require.Equal(t, models.ScoreChange{At: s.At, Risk: s.Risk, PWet: s.PWet.Mid, DueOn: s.Due.On, Action: s.Action,
					Rule: s.Due.Rule, Cause: "new day", Method: s.Method, Fit: s.Fit}, changes[0])
			}
		})
	}
}

// A score made from inputs that changed meanwhile does not count as fresh.
func TestStaleMarkIsNotLost(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	stale := func() bool {
		s, err := st.Stale(ctx, "c1")
		require.NoError(t, err)
		return s
	}
	require.True(t, stale(), "a new cover")
	m, err := st.Material(ctx, "c1")
	require.NoError(t, err)
	add(t, st, openingOf("o1", "c1", "2026-11-20"), Derived{}) // while the score is worked out
	write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{fullScore("c1"), m.Mark, "new day"}) })
	require.True(t, stale())
	m, err = st.Material(ctx, "c1")
	require.NoError(t, err)
	write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{fullScore("c1"), m.Mark, "opening"}) })
	require.False(t, stale())

	for name, mark := range map[string]func(*Tx) error{
		"opening": func(tx *Tx) error {
			_, err := tx.AddOpening(ctx, openingOf("o2", "c1", "2026-11-21"), Derived{})
			return err
		},
		"look": func(tx *Tx) error {
			_, err := tx.AddLook(ctx, models.Look{ID: "k1", Cover: "c1", Building: "b1", On: "2026-11-21", EnteredAt: noon})
			return err
		},
		"earlier record": func(tx *Tx) error {
			_, err := tx.AddEarlier(ctx, models.EarlierRecord{ID: "e1", Cover: "c1", On: "2020-01-01"})
			return err
		},
		"reading": func(tx *Tx) error {
			_, err := tx.AddReading(ctx, models.ThicknessReading{ID: "t1", Cover: "c1", Unit: "mm", EnteredAt: noon})
			return err
		},
		"deferral": func(tx *Tx) error {
			_, err := tx.AddDeferral(ctx, models.Deferral{ID: "d1", Cover: "c1", Until: "2027-01-01", EnteredAt: noon})
			return err
		},
		"follow-up": func(tx *Tx) error {
			return tx.AddFollowUp(ctx, models.FollowUp{ID: "f1", Cover: "c1", Building: "b1", Kind: "dry", OpenedAt: noon})
		},
		"weather": func(tx *Tx) error {
			_, err := tx.AddClimate(ctx, models.HourlyClimate{ID: "w1", Building: "b1", TempC: []float64{1}, DewPointC: []float64{0}, ImportedAt: noon})
			return err
		},
		"state":    func(tx *Tx) error { return tx.SetCoverState(ctx, "c1", models.Off, "2026-11-21") },
		"room":     func(tx *Tx) error { return tx.MarkStaleRoom(ctx, "r1") },
		"building": func(tx *Tx) error { return tx.MarkStaleBuilding(ctx, "b1") },
		"loop":     func(tx *Tx) error { return tx.MarkStaleLoop(ctx, "l1") },
		"policy":   func(tx *Tx) error { _, err := tx.PutPolicy(ctx, models.DefaultPolicy()); return err },
	} {
		write(t, st, mark)
		require.True(t, stale(), name)
		m, err := st.Material(ctx, "c1")
		require.NoError(t, err)
		write(t, st, func(tx *Tx) error { return tx.PutScore(ctx, Scored{fullScore("c1"), m.Mark, name}) })
		require.False(t, stale(), name)
	}
}

func TestMaterialHoldsEverything(t *testing.T) {
	st, ctx := history(t), t.Context()
	write(t, st, func(tx *Tx) error {
		for _, f := range []models.FollowUp{
			{ID: "f1", Cover: "c1", Building: "b1", Kind: "dry", Why: "wet", From: "o1", By: "2026-11-22", OpenedAt: noon, Opener: "u1"},
			{ID: "f2", Cover: "c1", Building: "b1", Kind: "tape", OpenedAt: noon, Opener: "u1"},
		} {
			if err := tx.AddFollowUp(ctx, f); err != nil {
				return err
			}
		}
		return tx.CloseFollowUp(ctx, "f2", "o1", noon, "taped")
	})
	m, err := st.Material(ctx, "c1")
	require.NoError(t, err)
	require.Equal(t, "V-1", m.Sheet.Component.Tag)
	require.Equal(t, "CHW north", m.Sheet.Loop.Name)
	require.Equal(t, "Harbor House", m.Sheet.Building.Name)
	require.Equal(t, []models.Opening{openingOf("o1", "c1", "2026-11-20")}, m.Openings)
	require.Equal(t, []models.Look{{ID: "k1", Cover: "c1", Building: "b1", On: "2026-11-21", By: "Crew A", InPlace: ptr(true),
		Places: []models.PlaceFinding{{Place: models.LongSeam, Found: "sound"}}, EnteredAt: noon}}, m.Looks)
	require.Equal(t, []models.EarlierRecord{{ID: "e1", Cover: "c1", On: "2020-01-02", Answer: "dry", Dried: true}}, m.Earlier)
	require.Len(t, m.Readings, 2)
	require.Equal(t, []models.Deferral{{ID: "d1", Cover: "c1", Until: "2027-01-02", EnteredAt: noon}}, m.Deferrals)
	require.Len(t, m.FollowUps, 1)
	require.Equal(t, models.ID("f1"), m.FollowUps[0].ID)
	_, err = st.Material(ctx, "none")
	requireKind(t, models.Missing, err)
}

func TestRescoringStreamsEveryCoverInAFixedNumberOfQueries(t *testing.T) {
	const n = 2*chunk + 17
	st, ctx := filled(t, n), t.Context()
	write(t, st, func(tx *Tx) error {
		for _, id := range []models.ID{"c5", "c6"} {
			if err := tx.SetCoverState(ctx, id, models.Retired, ""); err != nil {
				return err
			}
		}
		for i := 1; i <= n; i += 3 {
			if _, err := tx.AddOpening(ctx, openingOf(models.ID(fmt.Sprintf("o%d", i)), coverID(i), "2026-11-20"), Derived{}); err != nil {
				return err
			}
		}
		return nil
	})
	var queries []int
	count := 0
	require.NoError(t, st.Reader.db.Callback().Query().After("gorm:query").Register("count", func(*gorm.DB) { count++ }))
	require.NoError(t, st.Reader.db.Callback().Row().After("gorm:row").Register("count", func(*gorm.DB) { count++ }))
	seen, last := map[models.ID]int{}, ""
	require.NoError(t, st.EachScoringInput(ctx, false, func(batch []Material) error {
		queries = append(queries, count)
		count = 0
		for _, m := range batch {
			seen[m.Sheet.Cover.ID]++
			walk := placeOf(m.Sheet).Walk
			require.Less(t, last, walk, "walking order")
			last = walk
			require.Equal(t, m.Sheet.Cover.ID, coverID(indexOf(m)), "own sheet")
			for _, o := range m.Openings {
				require.Equal(t, m.Sheet.Cover.ID, o.Cover)
				require.Len(t, o.Places, 3)
				require.Len(t, o.Readings, 2)
			}
			require.Equal(t, indexOf(m)%3 == 1, len(m.Openings) == 1)
		}
		return nil
	}))
	require.Len(t, seen, n-2)
	require.NotContains(t, seen, models.ID("c5"))
	require.Len(t, queries, 3)
	for _, q := range queries {
		require.Equal(t, queries[0], q)
		require.Less(t, q, 20)
	}
}

// indexOf is the number of a cover of the campus.
func indexOf(m Material) (i int) {
	if _, err := fmt.Sscanf(strings.TrimPrefix(m.Sheet.Component.Tag, "V-"), "%d", &i); err != nil {
		return 0
	}
	return i
}

func TestRescoringOnlyWhatIsStale(t *testing.T) {
	st, ctx := filled(t, 5), t.Context()
	for _, id := range []models.ID{"c1", "c2", "c4"} {
		score(t, st, id, 10, "2027-01-01")
	}
	stale := func() (out []models.ID) {
		require.NoError(t, st.EachScoringInput(ctx, true, func(batch []Material) error {
			for _, m := range batch {
				out = append(out, m.Sheet.Cover.ID)
			}
			return nil
		}))
		n, err := st.ScoringCount(ctx, true)
		require.NoError(t, err)
		require.Len(t, out, n)
		return out
	}
	require.Equal(t, []models.ID{"c3", "c5"}, stale())
	write(t, st, func(tx *Tx) error { return tx.MarkStale(ctx, "c4", "c1") })
	require.Equal(t, []models.ID{"c1", "c3", "c4", "c5"}, stale())

	stop := models.Errorf(models.Busy, "stop")
	calls := 0
	require.ErrorIs(t, st.EachScoringInput(ctx, false, func([]Material) error { calls++; return stop }), stop)
	require.Equal(t, 1, calls)
	ended, cancel := context.WithCancel(ctx)
	cancel()
	require.ErrorIs(t, st.EachScoringInput(ended, false, func([]Material) error { return nil }), context.Canceled)
}
