package risk

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// bareCylinder is the case bare_cylinder-001 of testdata/check/physics.json:
// painted metal at 7 °C, 114.3 mm across, in still air of 27 °C and 60 %.
const (
	bareWatts = 268.2378522     // W/m²
	bareWater = 3.117457726e-05 // kg/(m² s)
)

// bareElbow is that cylinder, painted, its cover off for 30 days on 25 November.
func bareElbow() models.CoverSheet {
	s := elbow(7)
	s.Cover.State, s.Cover.CoatedOn, s.Cover.OffSince = models.Off, "2024-01-01", "2026-10-26"
	return s
}

// off is a cover in still air of 27 °C and 60 % all year.
func off(t testing.TB, s models.CoverSheet, today models.Date) models.OffCover {
	t.Helper()
	bare, err := Bare(s, steadyYear(t, s, 27, 0.6))
	require.NoError(t, err)
	return Off(s, bare, today)
}

func TestBareYearIsTheHandbooksCylinder(t *testing.T) {
	s := bareElbow()
	got, err := Bare(s, steadyYear(t, s, 27, 0.6))
	require.NoError(t, err)
	require.Empty(t, got.Gaps)
	require.Positive(t, got.AreaM2)
	year := got.Year()
	require.InEpsilon(t, bareWatts*8.760, year.KWh/got.AreaM2, 0.001, "tolerance of the check case")
	require.InEpsilon(t, bareWater*3600*8760, year.WaterKg/got.AreaM2, 0.002, "tolerance of the check case")
	require.InDelta(t, 365, year.ColdDays, 1e-6)
	require.InEpsilon(t, year.KWh/365, got.Day(time.March).KWh, 1e-9)
	require.False(t, got.Frost())
}

// The prices are arithmetic: 1 ton-hour is 12,000 Btu, 3.5168528 kWh.
func TestOffCostsWhatTheRecordPrices(t *testing.T) {
	for _, c := range []struct {
		name     string
		building models.Building
		perKWh   float64 // of heat; 0: no money
		price    string
		missing  string
	}{
		{"COP and tariff", models.Building{Currency: "$", COP: ref(5.0), Tariff: ref(0.15)}, 0.03, "a plant with a COP of 5 and $0.15 a kWh", ""},
		{"ton-hour", models.Building{Currency: "$", TonHourCost: ref(0.2)}, 0.2 / 3.5168528, "$0.2 a ton-hour of chilled water", ""},
		{"ton-hour before COP", models.Building{COP: ref(5.0), Tariff: ref(0.15), TonHourCost: ref(0.2)}, 0.2 / 3.5168528, "0.2 a ton-hour of chilled water", ""},
		{"no tariff", models.Building{COP: ref(5.0)}, 0, "", "tariff"},
		{"no COP", models.Building{Tariff: ref(0.15)}, 0, "", "cop"},
		{"nothing", models.Building{}, 0, "", "cop"},
	} {
		s := bareElbow()
		s.Building = c.building
		got := off(t, s, "2026-11-25")
		require.Equal(t, 30, *got.Days, c.name)
		kWh := bareWatts * got.Year.AreaM2 / 1000 * 24 // a day
		require.InEpsilon(t, 30*kWh, got.SoFar.KWh, 0.001, c.name)
		require.InEpsilon(t, 30*kWh, got.Month.KWh, 0.001, "November has 30 days: "+c.name)
		require.InEpsilon(t, 365*kWh, got.Annual.KWh, 0.001, c.name)
		require.InEpsilon(t, bareWater*86400*got.Year.AreaM2, *got.Sweat, 0.002, c.name)
		require.Equal(t, c.price, got.Price, c.name)
		if c.perKWh == 0 {
			require.Nil(t, got.SoFar.Money, c.name)
			require.Len(t, got.Gaps, 1, c.name)
			require.Equal(t, c.missing, got.Gaps[0].Field, c.name)
			continue
		}
		require.Empty(t, got.Gaps, c.name)
		require.InEpsilon(t, c.perKWh*got.SoFar.KWh, *got.SoFar.Money, 1e-9, c.name)
		require.InEpsilon(t, c.perKWh*got.Annual.KWh, *got.Annual.Money, 1e-9, c.name)
	}
}

// A day of steady air is a day whatever its month, so what was taken up counts
// the days with cold water.
func TestOffCountsOnlyDaysWithColdWater(t *testing.T) {
	for _, c := range []struct {
		name    string
		loop    models.Loop
		since   models.Date
		today   models.Date
		days    float64 // with cold water since
		month   float64 // of this month
		year    float64
		stopped bool
	}{
		{"runs all year", models.Loop{}, "2026-11-20", "2026-11-25", 5, 30, 365, false},
		{"off since today", models.Loop{}, "2026-11-25", "2026-11-25", 0, 30, 365, false},
		{"a year and a leap day", models.Loop{}, "2027-11-25", "2028-11-25", 366, 30, 365, false},
		{"stopped today", models.Loop{Stopped: models.Season{From: "11-15", To: "03-31"}}, "2026-11-10", "2026-11-25", 5, 14, 228, true},
		{"stopped, now running", models.Loop{Stopped: models.Season{From: "11-15", To: "03-31"}}, "2026-03-25", "2026-04-10", 9, 30, 228, false},
		{"hot season today", models.Loop{Kind: "dual", HotC: ref(60.0), Hot: models.Season{From: "10-15", To: "04-14"}}, "2026-10-10", "2026-11-25", 5, 0, 183, true},
	} {
		s := bareElbow()
		s.Loop, s.Cover.OffSince = c.loop, c.since
		got := off(t, s, c.today)
		perDay := bareWatts * got.Year.AreaM2 / 1000 * 24
		require.InDelta(t, c.days, got.SoFar.KWh/perDay, 0.001*c.days+1e-9, c.name)
		require.InDelta(t, c.month, got.Month.KWh/perDay, 0.001*c.month+1e-9, c.name)
		require.InDelta(t, c.year, got.Annual.KWh/perDay, 0.001*c.year, c.name)
		require.Equal(t, c.stopped, got.Stopped, c.name)
		require.Equal(t, c.stopped, *got.Sweat == 0, c.name)
	}
}

func TestOffWithoutWhatItNeeds(t *testing.T) {
	unsized := bareElbow()
	unsized.Component.NPS = nil
	undated := bareElbow()
	undated.Cover.OffSince = ""
	future := bareElbow()
	future.Cover.OffSince = "2026-12-01"
	frost := bareElbow()
	frost.Component.ServiceC = ref(-5.0)
	warm := bareElbow()
	warm.Component.ServiceC = ref(22.0)
	off := func(s models.CoverSheet) models.OffCover { return off(t, s, "2026-11-25") }

	got := off(unsized)
	require.Nil(t, got.Sweat)
	require.Nil(t, got.SoFar)
	require.Nil(t, got.Annual)
	require.Equal(t, "nps", got.Gaps[0].Field)
	require.Equal(t, 30, *got.Days, "how long it is off is known all the same")

	for _, s := range []models.CoverSheet{undated, future} {
		got = off(s)
		require.Nil(t, got.Days)
		require.Nil(t, got.SoFar, "what it has cost is not known")
		require.Positive(t, got.Annual.KWh)
	}

	require.True(t, off(frost).Year.Frost())
	require.Positive(t, *off(frost).Sweat)
	require.Zero(t, *off(warm).Sweat, "above the dew point nothing condenses")
	require.Positive(t, off(warm).Annual.KWh)

	s := bareElbow()
	s.Cover.CoatedOn = ""
	got = off(s)
	require.Less(t, got.Annual.KWh, off(bareElbow()).Annual.KWh, "bare oxidized steel radiates less than paint")
}

// The same hours summed by month and as one year are the same heat.
func TestBareYearAgreesWithThePhysicsOfTheCover(t *testing.T) {
	s := bareElbow()
	s.Component.Kind, s.Component.NPS = "gate_valve", ref(6.0)
	s.Loop.Stopped = models.Season{From: "12-01", To: "02-28"}
	y := steadyYear(t, s, 27, 0.6)
	bare, err := Bare(s, y)
	require.NoError(t, err)
	p, err := Physics(s, y)
	require.NoError(t, err)
	require.InEpsilon(t, p.Heat.Bare.KWh, bare.Year().KWh, 1e-9)
}

func BenchmarkBare(b *testing.B) {
	s := bareElbow()
	y := openYear(b, s)
	for b.Loop() {
		_, err := Bare(s, y)
		require.NoError(b, err)
	}
}
