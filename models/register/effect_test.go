package register

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// Records in the order in which they are entered; the state follows their days.
func TestStateFollowsTheDaysOfTheRecords(t *testing.T) {
	type record struct {
		on  models.Date
		off bool
	}
	for _, c := range []struct {
		name    string
		cover   models.Cover
		records []record
		state   models.CoverState
		since   models.Date
	}{
		{"nothing recorded", models.Cover{State: models.InPlace}, nil, models.InPlace, ""},
		{"taken off", models.Cover{State: models.InPlace}, []record{{"2026-03-01", true}}, models.Off, "2026-03-01"},
		{"off since the first of a run", models.Cover{State: models.InPlace}, []record{{"2026-03-01", true}, {"2026-04-01", true}}, models.Off, "2026-03-01"},
		{"put back", models.Cover{State: models.Off, OffSince: "2026-03-01"}, []record{{"2026-03-01", true}, {"2026-05-01", false}}, models.InPlace, ""},
		{"a sheet from before, typed in late", models.Cover{State: models.Off, OffSince: "2026-03-01"}, []record{{"2026-03-01", true}, {"2026-02-01", false}}, models.Off, "2026-03-01"},
		{"entered as off, put back that day", models.Cover{State: models.Off, OffSince: "2026-03-01"}, []record{{"2026-03-01", false}}, models.InPlace, ""},
		{"off, back, off again", models.Cover{State: models.Off, OffSince: "2026-06-01"}, []record{{"2026-03-01", true}, {"2026-04-01", false}, {"2026-06-01", true}}, models.Off, "2026-06-01"},
		{"found off earlier than known", models.Cover{State: models.Off, OffSince: "2026-06-01"}, []record{{"2026-05-01", true}, {"2026-06-01", true}}, models.Off, "2026-05-01"},
		{"planned, then fitted", models.Cover{State: models.Planned}, []record{{"2026-03-01", false}}, models.InPlace, ""},
		{"retired stays", models.Cover{State: models.Retired}, []record{{"2026-03-01", true}}, models.Retired, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var looks []models.Look
			for i, r := range c.records {
				in := !r.off
				looks = append(looks, models.Look{On: r.on, InPlace: &in, EnteredAt: time.Unix(int64(i), 0)})
			}
			l := lifeOf(c.cover, nil, looks)
			require.Equal(t, c.state, l.state)
			require.Equal(t, c.since, l.offSince)
		})
	}
}

func TestWhatAnOpeningAsksFor(t *testing.T) {
	s := models.CoverSheet{}
	left := func(o *models.Opening, state models.Left) { o.Places[0].Left = state }
	for _, c := range []struct {
		name   string
		change func(*models.Opening)
		want   []ask
	}{
		{"sound and dry", func(*models.Opening) {}, nil},
		{"found wet, closed dry", func(o *models.Opening) { o.Moisture = "wet" }, nil},
		{"metal sweating when closed", func(o *models.Opening) { o.Closing.Metal = "sweating" }, []ask{{"dry", "not dry when closed on 1 Jun 2026", "2026-06-03"}}},
		{"blanket damp when closed", func(o *models.Opening) { o.Closing.Blanket = "damp" }, []ask{{"dry", "not dry when closed on 1 Jun 2026", "2026-06-03"}}},
		{"seam left open", func(o *models.Opening) { left(o, "open") }, []ask{{"tape", "seal left open on 1 Jun 2026", "2026-07-01"}}},
		{"seam patched", func(o *models.Opening) { left(o, "patched") }, nil},
		{"wet and left off", func(o *models.Opening) {
			o.Moisture, o.Closing = "wet", models.Closing{Cover: "left_off", OffWhy: "leak"}
		}, []ask{{"dry", "found wet and left off on 1 Jun 2026", "2026-06-03"}}},
		{"dry and left off", func(o *models.Opening) { o.Closing = models.Closing{Cover: "left_off", OffWhy: "leak"} }, nil},
		{"stopped", func(o *models.Opening) { o.Outcome = "stopped" }, []ask{{"engineer", "stopped for safety on 1 Jun 2026", "2026-06-01"}}},
		{"could not open", func(o *models.Opening) { o.Outcome = "could_not_open" }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := soundDry(s, "2026-06-01")
			c.change(&o)
			require.Equal(t, c.want, openingAsks(o))
		})
	}
}

func TestWhatClosesAFollowUp(t *testing.T) {
	s := models.CoverSheet{}
	dry, wet := soundDry(s, "2026-06-10"), wetLeftWet(s, "2026-06-10")
	poor := soundDry(s, "2026-06-10")
	poor.Places[0].Left = "lifting"
	stopped := models.Opening{Outcome: "stopped", On: "2026-06-10"}
	new := soundDry(s, "2026-06-10")
	new.Closing.Cover, new.Coated, new.Readings = "new", "high", []models.ThicknessReading{{Value: 7}}
	for _, c := range []struct {
		kind   string
		record models.Opening
		closes bool
	}{
		{"dry", dry, true}, {"dry", wet, false}, {"tape", dry, true}, {"tape", poor, false},
		{"look", wet, true}, {"look", stopped, false}, {"engineer", dry, false}, {"engineer", new, false},
		{"reading", dry, false}, {"reading", new, true}, {"cover", dry, false}, {"cover", new, true}, {"coat", dry, false}, {"coat", new, true},
	} {
		_, ok := openingAnswers(c.record, c.kind)
		require.Equal(t, c.closes, ok, "%s by %s", c.kind, c.record.Outcome)
	}
}

// A record answers only what was asked for by its day, even if it is entered later.
func TestARecordAnswersOnlyWhatWasAskedBefore(t *testing.T) {
	entered := time.Date(2026, 6, 20, 12, 0, 0, 0, time.UTC)
	open := []models.FollowUp{
		{Kind: "dry", From: "o1", By: "2026-06-12", OpenedAt: entered}, // asked by an opening of 10 June, typed in on the 20th
		{Kind: "look", By: "2026-06-30", OpenedAt: entered},            // asked by hand on the 20th
	}
	answers := func(string) (string, bool) { return "done", true }
	closed, stay, _ := settle(open, "2026-06-11", dayIn(models.Building{}), nil, answers)
	require.Len(t, closed, 1)
	require.Equal(t, "dry", closed[0].Kind)
	require.Len(t, stay, 1)
	closed, _, _ = settle(open, "2026-06-09", dayIn(models.Building{}), nil, answers)
	require.Empty(t, closed)
	closed, _, _ = settle(open, "2026-06-20", dayIn(models.Building{}), nil, answers)
	require.Len(t, closed, 2)
	_, _, wanted := settle(open, "2026-06-11", dayIn(models.Building{}), []ask{{kind: "look"}, {kind: "dry"}}, func(string) (string, bool) { return "", false })
	require.Empty(t, wanted, "what is open is not asked for twice")
}
