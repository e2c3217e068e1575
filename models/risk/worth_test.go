package risk

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drylag/models"
)

// week is a round of the week after today.
var week = Outing{From: "2026-11-30", To: "2026-12-04", Days: []models.Date{"2026-11-30", "2026-12-01"}}

func worthIn(t require.TestingT, in Input, o Outing) Worth {
	w, err := WorthIn(in, o)
	require.NoError(t, err)
	return w
}

// dry gives every month of a cover's air the same share of dry hours.
func dry(in Input, share float64) Input {
	for m := range in.Air.Months {
		in.Air.Months[m] = MonthAir{Hours: 730, Dry: 730 * share}
	}
	return in
}

func TestWorthInARound(t *testing.T) {
	off := dry(gateValve(), 1)
	off.Sheet.Cover.State, off.Sheet.Cover.OffSince = models.Off, today
	limit := dry(gateValve(), 1) // class 4, ten years after the fitting
	limit.Sheet.Cover.Fitted, limit.Sheet.Cover.Since = "2016-12-02", "2016-12-02"
	passed := limit
	passed.Sheet.Cover.Fitted, passed.Sheet.Cover.Since = "2016-11-28", "2016-11-28"
	reported := dry(gateValve(), 1)
	reported.FollowUps = []models.FollowUp{{Kind: "look", By: "2026-11-30"}}
	fresh := dry(gateValve(), 1)
	fresh.Openings = []models.Opening{closedOn("2026-11-20", "dry", "renewed")}
	putOff := limit
	putOff.Deferrals = []models.Deferral{{Until: "2027-01-15"}}
	rows := []struct {
		name            string
		in              Input
		o               Outing
		candidate, must bool
		reason          string
		least           float64
		source          string
	}{
		{"off", off, week, true, true, "off since", 0, "risk method, 7: off is must"},
		{"limit inside the round", limit, week, true, false, "10 years after 2 Dec 2016", 100, "7: due by b inside the round: at least one opening"},
		{"limit passed when it begins", passed, week, true, true, "10 years after 28 Nov 2016", 100, "7: b overdue is must"},
		{"reported", reported, week, true, true, "follow-up open: look at it", 0, "7: d is must"},
		{"opened last week", fresh, week, false, false, "^$", 0, "nothing due"},
		{"opened last week, pinned", fresh, Outing{From: week.From, To: week.To, Pinned: true}, true, false, "pinned in", 0, "7: or pinned"},
		{"put off beyond the round", putOff, week, false, false, "put off to 15 Jan 2027", 0, "6: a date can be put off once"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			w := worthIn(t, row.in, row.o)
			require.Equal(t, row.candidate, w.Candidate)
			require.Equal(t, row.must, w.Must)
			require.Regexp(t, row.reason, w.Reason)
			require.GreaterOrEqual(t, w.Benefit, row.least)
		})
	}
}

func TestWorthIsTheIndexByTheDryShare(t *testing.T) {
	for _, share := range []float64{0, 0.25, 1} {
		w := worthIn(t, dry(gateValve(), share), week)
		require.InDelta(t, share, w.DryShare, 1e-12)
		require.InDelta(t, 100*w.W*share, w.Benefit, 0.05, "to a tenth of a percent")
		byChance := week
		byChance.ByChance = true
		require.InDelta(t, 100*w.PWet.Mid*share, worthIn(t, dry(gateValve(), share), byChance).Benefit, 0.05)
	}
}

func TestDryMonthsOnly(t *testing.T) {
	in := dry(gateValve(), 1)
	in.Air.Months[11] = MonthAir{Hours: 744} // December sweats all through
	both := Outing{From: "2026-11-25", To: "2026-12-05", Days: []models.Date{"2026-11-26", "2026-12-01"}}
	require.InDelta(t, 0.5, worthIn(t, in, both).DryShare, 1e-12)
	both.DryOnly = true
	require.InDelta(t, 1, worthIn(t, in, both).DryShare, 1e-12, "only the day on which it may be opened counts")
	both.Days = both.Days[1:]
	require.Zero(t, worthIn(t, in, both).Benefit)
}

// The chance on the middle day is that of a cover left alone until then.
func TestChanceOnTheMiddleDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := gateValve()
		days := rapid.IntRange(0, 700).Draw(t, "days")
		o := Outing{From: today.AddDays(days), To: today.AddDays(days + rapid.IntRange(0, 30).Draw(t, "span"))}
		w := worthIn(t, in, o)
		then := in
		then.Today = o.Middle()
		s, err := Assess(then)
		require.NoError(t, err)
		require.Equal(t, s.PWet, w.PWet)
		require.Equal(t, s.W, w.W)
	})
}

func TestReclosing(t *testing.T) {
	in := gateValve()
	use, assumed, err := SuppliesOf(in.Sheet, nil)
	require.NoError(t, err)
	require.Positive(t, use.TapeM)
	require.Positive(t, use.SealantML, "a fillet at each of four penetrations")
	require.Zero(t, use.CoatingML+use.BlanketM2)
	require.Contains(t, assumed, "insulation thickness: usual on chilled water")

	asked, _, err := SuppliesOf(in.Sheet, []models.FollowUp{{Kind: "coat"}, {Kind: "cover"}})
	require.NoError(t, err)
	require.Positive(t, asked.CoatingML)
	require.Positive(t, asked.BlanketM2)

	in.Sheet.Cover.Closure = "straps"
	strapped, _, err := SuppliesOf(in.Sheet, nil)
	require.NoError(t, err)
	require.Zero(t, strapped.TapeM, "straps take no tape")
}
