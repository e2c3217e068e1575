package risk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
)

func TestTheDateThatMakesItOverdueIsShown(t *testing.T) {
	date := func(rule models.DueRule, on models.Date) models.DueDate { return models.DueDate{Rule: rule, On: on} }
	worth, limit := date(models.RuleWorth, "2025-01-01"), date(models.RuleLimit, "2026-06-01")
	reported, off := date(models.RuleReported, "2026-11-01"), date(models.RuleOff, "2026-10-01")
	ahead := date(models.RuleThickness, "2027-01-01")
	for _, c := range []struct {
		name   string
		dates  []models.DueDate // earliest first
		putOff models.Date
		want   models.DueDate
	}{
		{"a limit that has passed leads a worth date before it", []models.DueDate{worth, limit, ahead}, "", limit},
		{"of two, the first that passed", []models.DueDate{worth, limit, reported}, "", limit},
		{"a must date ahead does not lead", []models.DueDate{worth, ahead}, "", worth},
		{"put off, it is no longer overdue", []models.DueDate{worth, limit}, "2026-12-31", worth},
		{"off leads", []models.DueDate{worth, limit, off, reported}, "", off},
		{"off cannot be put off", []models.DueDate{worth, off}, "2026-12-31", off},
		{"the day itself is not past", []models.DueDate{worth, date(models.RuleLimit, today)}, "", worth},
	} {
		first, others := shownFirst(c.dates, today, c.putOff)
		require.Equal(t, c.want, first, c.name)
		require.Len(t, others, len(c.dates)-1, c.name)
		require.NotContains(t, others, first, c.name)
	}
}

func TestOverdueIsSaidOfTheDateShown(t *testing.T) {
	in := gateValve()
	in.Sheet.Cover.Fitted = "2010-01-01"
	in.Openings = []models.Opening{closedOn("2013-06-01", "wet", "lifting")}
	s := assess(t, in)
	require.True(t, s.Overdue)
	require.Equal(t, models.RuleLimit, s.Due.Rule, "ten years after 2013")
	require.Contains(t, s.Due.Why, "10 years after 1 Jun 2013")
	require.Equal(t, models.OpenNow, s.Action)
	earlier := false
	for _, d := range s.Others {
		earlier = earlier || d.On < s.Due.On
	}
	require.True(t, earlier, "a date that was worth opening came before, and is listed")

	rapid.Check(t, func(rt *rapid.T) {
		in := gateValve()
		in.Sheet.Building.LimitYears = ref(rapid.Float64Range(0.5, 12).Draw(rt, "limit"))
		in.Openings = []models.Opening{closedOn(today.AddDays(-rapid.IntRange(0, 4000).Draw(rt, "days")),
			rapid.SampledFrom([]string{"dry", "wet"}).Draw(rt, "found"), rapid.SampledFrom([]models.Left{"renewed", "lifting"}).Draw(rt, "left"))}
		if rapid.Bool().Draw(rt, "put off") {
			in.Deferrals = []models.Deferral{{Cover: "c1", Until: today.AddDays(rapid.IntRange(-90, 90).Draw(rt, "until")), EnteredAt: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)}}
		}
		s, err := Assess(in)
		require.NoError(rt, err)
		require.Equal(rt, s.Overdue, s.Due.Rule.Must() && s.Due.On < today)
		for _, d := range s.Others {
			require.False(rt, !s.Overdue && passed(d, today, s.PutOffTo), "%v has passed", d)
		}
	})
}
