package register

import (
	"testing"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

// seenOff records that the cover of a sheet was found off on a day.
func (w *world) seenOff(s models.CoverSheet, on models.Date) models.CoverSheet {
	w.t.Helper()
	_, err := w.RecordLook(w.ctx, w.admin, models.Look{ID: newID(), Cover: s.Cover.ID, On: on, By: "Ben", InPlace: new(false)})
	require.NoError(w.t, err)
	out, err := w.Cover(w.ctx, w.admin, s.Cover.ID)
	require.NoError(w.t, err)
	return out
}

func TestCoversOffKeepToTheirBuildings(t *testing.T) {
	w := newWorld(t)
	none, err := w.CoversOff(w.ctx, w.engineer, models.None)
	require.NoError(t, err)
	require.Empty(t, none.Covers)
	require.Equal(t, []string{"No cover is off."}, OffSentences(none.All, "IP", true))

	for i := range w.building {
		w.weather(i)
		w.seenOff(w.cover[i], "2026-10-26")
	}
	all, err := w.CoversOff(w.ctx, w.admin, models.None)
	require.NoError(t, err)
	require.Len(t, all.Covers, 2)
	require.Equal(t, []string{"North Wing", "South Wing"}, []string{all.Buildings[0].Building.Name, all.Buildings[1].Building.Name})
	require.Equal(t, 2, all.All.Covers)
	require.InEpsilon(t, all.Buildings[0].Annual.KWh+all.Buildings[1].Annual.KWh, all.All.Annual.KWh, 1e-9)

	own, err := w.CoversOff(w.ctx, w.engineer, models.None)
	require.NoError(t, err)
	require.Len(t, own.Covers, 1)
	require.Equal(t, w.cover[0].Cover.ID, own.Covers[0].ID)
	require.Equal(t, 30, *own.Covers[0].Days)
	_, err = w.CoversOff(w.ctx, w.engineer, w.building[1].ID)
	require.Equal(t, models.Missing, kind(err))
	_, err = w.CoversOff(w.ctx, models.Actor{}, models.None)
	require.Equal(t, models.SignIn, kind(err))
}

func TestCoversOffFollowWhatChanges(t *testing.T) {
	w := newWorld(t)
	s := w.seenOff(w.cover[0], "2026-10-26")
	get := func(a models.Actor) models.OffCover {
		list, err := w.CoversOff(w.ctx, a, models.None)
		require.NoError(t, err)
		require.Len(t, list.Covers, 1)
		return list.Covers[0]
	}
	assumed := get(w.engineer)
	require.True(t, assumed.Year.AirAssumed)
	require.Nil(t, assumed.Annual.Money)
	require.Equal(t, "cop", assumed.Gaps[0].Field)

	w.weather(0)
	known := get(w.engineer)
	require.False(t, known.Year.AirAssumed, "new weather makes a new year")
	require.NotEqual(t, assumed.Annual.KWh, known.Annual.KWh)
	require.Equal(t, known, get(w.engineer), "from memory it is the same")

	b := w.building[0]
	b.COP, b.Tariff = new(5.0), new(0.15)
	_, err := w.SaveBuilding(w.ctx, w.admin, b)
	require.NoError(t, err)
	priced := get(w.engineer)
	require.InEpsilon(t, 0.03*known.Annual.KWh, *priced.Annual.Money, 1e-9, "arithmetic: 0.15 / 5 a kWh")
	crew := models.Actor{ID: newID(), Role: models.Crew, Buildings: []models.ID{b.ID}}
	hidden := get(crew)
	require.Nil(t, hidden.Annual.Money)
	require.Nil(t, hidden.SoFar.Money)
	require.Empty(t, hidden.Price)
	require.Empty(t, hidden.Gaps, "no price is asked of who may not see money")

	s.Component.NPS = new(12.0)
	s, err = w.SaveCover(w.ctx, w.admin, s)
	require.NoError(t, err)
	require.Greater(t, get(w.engineer).Annual.KWh, known.Annual.KWh, "a larger part takes up more")

	l := w.loop[0]
	l.Stopped = models.Season{From: "11-01", To: "03-31"}
	_, err = w.SaveLoop(w.ctx, w.admin, l)
	require.NoError(t, err)
	stopped := get(w.engineer)
	require.True(t, stopped.Stopped)
	require.Zero(t, *stopped.Sweat)
	require.Positive(t, stopped.SoFar.KWh, "it ran in October")

	s.Component.NPS = nil
	_, err = w.SaveCover(w.ctx, w.admin, s)
	require.NoError(t, err)
	require.Equal(t, "nps", get(w.engineer).Gaps[0].Field)
}

func TestOffSentences(t *testing.T) {
	cost := func(kWh float64, money *float64) models.OffCost { return models.OffCost{KWh: kWh, Money: money} }
	const budget = "Energy alone does not carry a budget: it is the water and the rust on the bare metal that make an open cover dear."
	for _, c := range []struct {
		name  string
		sum   models.OffSum
		units string
		money bool
		want  string
	}{
		{"priced", models.OffSum{Covers: 3, Sweat: 6.06, Annual: cost(5432, new(163.0)), Currency: "$"}, "SI", true,
			"3 covers are off. The bare metal sweats about 6.1 L of water a day now and brings about 5,400 kWh of heat a year into the chilled water for about $160, give or take 30 %."},
		{"gallons, not sized, not priced", models.OffSum{Covers: 2, Unsized: 1, Sweat: 3.785411784, Annual: cost(980, nil), Unpriced: 1}, "IP", true,
			"2 covers are off; of 1 the size is recorded. The bare metal sweats about 1 gal of water a day now and brings about 980 kWh of heat a year into the chilled water (its cost is not given: no price of chilled water is entered), give or take 30 %."},
		{"stopped, money hidden", models.OffSum{Covers: 1, Annual: cost(980, nil), Unpriced: 1}, "IP", false,
			"1 cover is off. The bare metal sweats nothing today and brings about 980 kWh of heat a year into the chilled water, give or take 30 %."},
		{"two currencies", models.OffSum{Covers: 2, Sweat: 12, Annual: cost(98, new(5.0)), Mixed: true}, "SI", true,
			"2 covers are off. The bare metal sweats about 12 L of water a day now and brings about 98 kWh of heat a year into the chilled water (its money is not added up: the buildings count in more than one currency), give or take 30 %."},
		{"one without a price", models.OffSum{Covers: 2, Sweat: 12, Annual: cost(98, new(5.04)), Unpriced: 1}, "SI", true,
			"2 covers are off. The bare metal sweats about 12 L of water a day now and brings about 98 kWh of heat a year into the chilled water for about 5 without 1 whose building has no price of chilled water, give or take 30 %."},
	} {
		require.Equal(t, []string{c.want, budget}, OffSentences(c.sum, c.units, c.money), c.name)
	}
	require.Equal(t, []string{"1 cover is off; what the bare metal costs cannot be worked out, since no size of its parts is recorded."},
		OffSentences(models.OffSum{Covers: 1, Unsized: 1}, "SI", true))
}

func TestOffSumKeepsCurrenciesApart(t *testing.T) {
	in := func(currency string, money *float64) models.OffCover {
		return models.OffCover{Currency: currency, Days: new(3), Sweat: new(1.0), Annual: &models.OffCost{KWh: 10, Money: money}}
	}
	var sum models.OffSum
	for _, c := range []models.OffCover{in("$", new(1.0)), in("$", new(2.0)), in("€", nil), {}} {
		sum.Add(c)
	}
	require.Equal(t, models.OffSum{Covers: 4, Undated: 1, Unsized: 1, Unpriced: 1, Days: 9, Sweat: 3, Currency: "$",
		Annual: models.OffCost{KWh: 30, Money: new(3.0)}}, sum)
	sum.Add(in("€", new(1.0)))
	require.True(t, sum.Mixed)
}
