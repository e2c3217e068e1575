package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
)

func places(left ...models.Left) []models.PlaceFinding {
	var out []models.PlaceFinding
	for i, l := range left {
		out = append(out, models.PlaceFinding{Place: models.Penetration(i + 1), Left: l})
	}
	return out
}

// The words of the risk design, last section.
func TestSealLeftIsTheWorstPlace(t *testing.T) {
	for _, c := range []struct {
		left []models.Left
		want models.SealState
	}{
		{nil, models.SealUnknown},
		{[]models.Left{"renewed", "undisturbed", "na"}, models.SealSound},
		{[]models.Left{"renewed", "patched"}, models.SealRepaired},
		{[]models.Left{"patched", "renewed"}, models.SealRepaired},
		{[]models.Left{"patched", "lifting"}, models.SealPoor},
		{[]models.Left{"renewed", "open"}, models.SealPoor},
		{[]models.Left{"missing", ""}, models.SealPoor},
		{[]models.Left{"renewed", ""}, models.SealUnknown},
		{[]models.Left{"", "patched"}, models.SealUnknown},
	} {
		require.Equal(t, c.want, models.Opening{Places: places(c.left...)}.SealLeft(), "%v", c.left)
	}
}

func TestWetMeansOneThing(t *testing.T) {
	yes, no := true, false
	for _, c := range []struct {
		name string
		o    models.Opening
		want bool
	}{
		{"dry", models.Opening{Outcome: "opened", Moisture: "dry", Blanket: "dry"}, false},
		{"sweat came after opening", models.Opening{Outcome: "opened", Moisture: "sweat", Blanket: "dry"}, false},
		{"damp", models.Opening{Outcome: "opened", Moisture: "damp", Blanket: "dry"}, true},
		{"ice", models.Opening{Outcome: "opened", Moisture: "ice"}, true},
		{"blanket damp", models.Opening{Outcome: "opened", Moisture: "dry", Blanket: "damp"}, true},
		{"fresh rust", models.Opening{Outcome: "opened", Moisture: "dry", Metal: models.MetalFinding{FreshRust: &yes}}, true},
		{"no fresh rust", models.Opening{Outcome: "opened", Moisture: "dry", Metal: models.MetalFinding{FreshRust: &no}}, false},
		{"not opened", models.Opening{Outcome: "could_not_open", Moisture: "wet"}, false},
	} {
		require.Equal(t, c.want, c.o.Wet(), c.name)
	}
}

func TestClosedDryIsNeverAssumed(t *testing.T) {
	require.False(t, models.Closing{}.Dry())
	require.False(t, models.Closing{Metal: "dry"}.Dry())
	require.False(t, models.Closing{Metal: "sweating", Blanket: "dry"}.Dry())
	require.True(t, models.Closing{Metal: "dry", Blanket: "replaced"}.Dry())
}

func TestOpeningTellsEveryFaultAtOnce(t *testing.T) {
	s := models.CoverSheet{Cover: models.Cover{State: models.InPlace}}
	err := models.Opening{Outcome: "opened", On: "2026-12-01"}.Validate(s, "2026-11-25")
	require.Equal(t, models.Invalid, models.KindOf(err))
	fields := map[string]bool{}
	for _, f := range err.(*models.Error).Faults {
		fields[f.Field] = true
	}
	for _, want := range []string{"reason", "opened_by", "on", "moisture", "blanket", "rust_scale", "closing_metal", "closing_blanket",
		"closing_water", "closing_cover", "left_long_seam", "left_near_end", "left_far_end", "left_edges_corners", "left_facing"} {
		require.True(t, fields[want], want)
	}
	require.NoError(t, models.Opening{Outcome: "could_not_open", NotOpened: "no_access", Reason: "periodic", OpenedBy: "A", On: "2026-11-25"}.Validate(s, "2026-11-25"))
	require.NoError(t, models.Opening{Outcome: "stopped", Reason: "periodic", OpenedBy: "A", On: "2026-11-25"}.Validate(s, "2026-11-25"), "stopped for safety asks nothing more")
}

func TestSeasonsRunOverNewYear(t *testing.T) {
	hot := models.Season{From: "10-15", To: "04-14"}
	for _, c := range []struct {
		month, day int
		in         bool
	}{{10, 14, false}, {10, 15, true}, {12, 31, true}, {1, 1, true}, {2, 29, true}, {4, 14, true}, {4, 15, false}, {7, 1, false}} {
		require.Equal(t, c.in, hot.Holds(c.month, c.day), "%d-%d", c.month, c.day)
	}
	require.False(t, models.Season{}.Holds(1, 1))
	warm := 50.0
	s := models.CoverSheet{Loop: models.Loop{Kind: "dual", HotC: &warm, Hot: hot, Stopped: models.Season{From: "04-10", To: "04-30"}}}
	require.Equal(t, models.HotWater, s.WaterOn(1, 1))
	require.Equal(t, models.StandingWater, s.WaterOn(4, 12), "a stop goes before the hot season")
	require.Equal(t, models.ColdWater, s.WaterOn(7, 1))
}

func TestDatesAreDaysOfTheBuilding(t *testing.T) {
	at := time.Date(2026, 3, 1, 3, 0, 0, 0, time.UTC)
	require.Equal(t, models.Date("2026-02-28"), models.DateOf(at, models.Building{TimeZone: "America/New_York"}.Zone()))
	require.Equal(t, models.Date("2024-02-29"), models.Date("2024-02-28").AddDays(1))
	require.Equal(t, "2026 Q4", models.Date("2026-11-25").Quarter())
	for _, bad := range []string{"", "2026-02-30", "25.11.2026", "2026-1-1", "9999-01-01"} {
		_, err := models.ParseDate(bad)
		require.Error(t, err, bad)
	}
	rapid.Check(t, func(rt *rapid.T) {
		d := models.Date("2000-01-01").AddDays(rapid.IntRange(0, 60000).Draw(rt, "day"))
		n := rapid.IntRange(-20000, 20000).Draw(rt, "n")
		require.Equal(rt, n, d.AddDays(n).DaysSince(d))
	})
}

func TestSizesAsTheTradeWritesThem(t *testing.T) {
	for nps, want := range map[float64]string{0.5: "1/2", 0.75: "3/4", 1: "1", 1.5: "1 1/2", 2.5: "2 1/2", 6: "6", 1.3: "1.3"} {
		require.Equal(t, want, models.SayNPS(nps))
	}
}

// What is not in the table is denied.
func TestNobodyMayWhatIsNotListed(t *testing.T) {
	for _, role := range models.Roles {
		require.False(t, models.May(models.Role(role.Code), "anything else"))
	}
	require.False(t, models.May("", models.ActRead))
	require.Equal(t, models.SignIn, models.KindOf(models.Actor{}.May(models.ActRead)))
	require.Equal(t, models.Denied, models.KindOf(models.Actor{ID: "u", Role: models.Crew}.May(models.ActPolicy)))
	require.False(t, models.Actor{}.Sees("b1"))
}

func TestSealNow(t *testing.T) {
	at := func(p models.Place, found models.Found, left models.Left) models.PlaceFinding {
		return models.PlaceFinding{Place: p, Found: found, Left: left}
	}
	for _, c := range []struct {
		name       string
		left, seen []models.PlaceFinding
		want       models.SealState
	}{
		{"nothing", nil, nil, models.SealUnknown},
		{"only empty answers", []models.PlaceFinding{at(models.NearEnd, "", "")}, nil, models.SealUnknown},
		{"renewed", []models.PlaceFinding{at(models.NearEnd, "open", "renewed")}, nil, models.SealSound},
		{"left lifting", []models.PlaceFinding{at(models.NearEnd, "sound", "lifting"), at(models.FarEnd, "", "renewed")}, nil, models.SealPoor},
		{"found open, as left not said", []models.PlaceFinding{at(models.NearEnd, "open", "")}, nil, models.SealPoor},
		{"broken since", []models.PlaceFinding{at(models.NearEnd, "", "renewed")}, []models.PlaceFinding{at(models.NearEnd, "missing", "")}, models.SealPoor},
		{"seen sound since", []models.PlaceFinding{at(models.NearEnd, "", "lifting")}, []models.PlaceFinding{at(models.NearEnd, "sound", "")}, models.SealSound},
		{"another place seen", []models.PlaceFinding{at(models.NearEnd, "", "lifting")}, []models.PlaceFinding{at(models.FarEnd, "sound", "")}, models.SealPoor},
		{"a look that did not see the place", []models.PlaceFinding{at(models.NearEnd, "", "lifting")}, []models.PlaceFinding{at(models.NearEnd, "", "")}, models.SealPoor},
	} {
		require.Equal(t, c.want, models.SealNow(c.left, c.seen), c.name)
	}
}
