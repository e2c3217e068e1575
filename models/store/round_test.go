package store

import (
	"fmt"
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

// roundOf is a draft with every answer given and the covers in its first shift.
func roundOf(id models.ID, covers ...models.ID) models.Round {
	r := models.Round{
		ID: id, Name: "March", State: models.RoundDraft, Fit: "f1", By: "u1", ByName: "Person u1", CreatedAt: noon,
		Order: models.RoundOrder{
			Buildings: []models.ID{"b1"}, From: "2027-03-01", To: "2027-03-05", Reserve: 0.2,
			Shifts: []models.RoundShift{
				{ID: "2027-03-02 A", Day: "2027-03-02", Crew: "A", Inspector: "u1", Minutes: 240, People: 2, Lift: true},
				{ID: "2027-03-03 B", Day: "2027-03-03", Crew: "B", Minutes: 240, People: 2},
			},
			Stock:   &models.Supplies{TapeM: 50, SealantML: 900, CoatingML: 400, BlanketM2: 2},
			Windows: []models.RoundWindow{{ID: "w1", Name: "pump stop", Days: []models.Date{"2027-03-02"}, Covers: []models.ID{"c1"}}},
			Pins:    []models.RoundPin{{Cover: "c1", In: true, Reason: "asked for", By: "Person u1", At: noon}},
			Travel:  []models.RoundPlace{{ID: "b1", Minutes: 12}}, SetUp: []models.RoundPlace{{ID: "r1", Minutes: 7}},
			TravelMin: 10, SetUpMin: 5, DryOnly: true, ByChance: true,
		},
		Result: &models.RoundResult{At: noon, Benefit: 310.5, Bound: 320, Within: ptr(3.1), MustAll: 2, MustIn: 1, MustBound: 2, ShortMin: 30,
			Used: models.Supplies{TapeM: 3}, Binding: []string{"The hours of 2 March are full."}, RiskBefore: 90, RiskAfter: 40,
			Shifts:  []models.ShiftUse{{ID: "2027-03-02 A", Travel: 24, SetUp: 7, Handling: 100, Free: 20}},
			LeftOut: []models.LeftOut{{Cover: "c9", Reason: "no lift", Must: true}}},
	}
	for i, c := range covers {
		r.Stops = append(r.Stops, stopOf(id, c, i+1))
	}
	return r
}

func stopOf(round, cover models.ID, position int) models.RoundStop {
	return models.RoundStop{Round: round, Cover: cover, Building: "b1", Room: "r1", Shift: "2027-03-02 A", Position: position, Must: true,
		Reason: "the owner's limit", Benefit: 42.5, Minutes: 35, Use: models.Supplies{TapeM: 2.5, SealantML: 40, CoatingML: 15, BlanketM2: 0.5},
		PWet: 0.4, Risk: 45}
}

// putRound writes a round that must be stored.
func putRound(t *testing.T, st *Store, r models.Round) (saved models.Round) {
	t.Helper()
	write(t, st, func(tx *Tx) (err error) { saved, err = tx.PutRound(t.Context(), r); return err })
	return saved
}

func tryRound(t *testing.T, st *Store, r models.Round) error {
	t.Helper()
	return st.Write(t.Context(), func(tx *Tx) error { _, err := tx.PutRound(t.Context(), r); return err })
}

func answer(t *testing.T, st *Store, round, cover, opening models.ID, skipped string) error {
	t.Helper()
	return st.Write(t.Context(), func(tx *Tx) error { return tx.AnswerStop(t.Context(), round, cover, opening, skipped) })
}

// publish writes a round and publishes it.
func publishRound(t *testing.T, st *Store, r models.Round) models.Round {
	t.Helper()
	r = putRound(t, st, r)
	r.State, r.PublishedAt = models.RoundPublished, noon
	return putRound(t, st, r)
}

// sayStops are the covers of a round's stops, with what came of them.
func sayStops(stops []models.RoundStop) (said []string) {
	for _, s := range stops {
		text := string(s.Cover)
		switch {
		case s.Opening != models.None:
			text += " opened " + string(s.Opening)
		case s.Skipped != "":
			text += " skipped"
		case s.Replaced:
			text += " replaced"
		}
		said = append(said, text)
	}
	return said
}

func TestRoundComesBackAsItWasStored(t *testing.T) {
	st, ctx := people(t, 2), t.Context()
	parent := putRound(t, st, roundOf("n0"))
	require.Empty(t, parent.Stops)
	want := roundOf("n1", "c1", "c2")
	want.VariantOf, want.PublishedAt, want.ClosedAt = "n0", noon.Add(time.Hour), noon.Add(2*time.Hour)
	saved := putRound(t, st, want)
	want.Version = 1
	require.Equal(t, want, saved)
	got, err := st.Round(ctx, "n1")
	require.NoError(t, err)
	require.Equal(t, want, got)

	want.Order = models.RoundOrder{Buildings: []models.ID{"b1"}} // every answer taken back
	want.Result, want.Stops, want.VariantOf, want.PublishedAt, want.ClosedAt, want.Fit = nil, nil, "", time.Time{}, time.Time{}, ""
	saved = putRound(t, st, want)
	want.Version, want.Stops = 2, []models.RoundStop{}
	require.Equal(t, want, saved)
	_, err = st.Round(ctx, "none")
	requireKind(t, models.Missing, err)
}

func TestVersionsOfARound(t *testing.T) {
	st := people(t, 2)
	r := putRound(t, st, roundOf("n1", "c1"))
	stale := r
	r.Name = "April"
	r = putRound(t, st, r)
	require.Equal(t, 2, r.Version)
	stale.Stops = nil
	requireKind(t, models.Stale, tryRound(t, st, stale))
	requireKind(t, models.Conflict, tryRound(t, st, roundOf("n1")))
	none := roundOf("none")
	none.Version = 1
	requireKind(t, models.Missing, tryRound(t, st, none))
	lost := r
	lost.Stops = []models.RoundStop{stopOf("n1", "c2", 1)}
	lost.Stops[0].Shift = "2027-03-09 A"
	requireKind(t, models.Invalid, tryRound(t, st, lost))
	nowhere := r
	nowhere.Order.Buildings = []models.ID{"none"}
	requireKind(t, models.Conflict, tryRound(t, st, nowhere))
	got, err := st.Round(t.Context(), "n1")
	require.NoError(t, err)
	require.Equal(t, r, got, "what was refused changed nothing")
}

// A draft takes each new plan; a published round keeps what was done and shows
// what a later plan took out.
func TestPlansOfARound(t *testing.T) {
	st := people(t, 6)
	add(t, st, openingOf("o1", "c1", "2027-03-02"), Derived{})
	r := putRound(t, st, roundOf("n1", "c5", "c6"))
	r.Stops = roundOf("n1", "c1", "c2", "c3", "c4").Stops
	r = putRound(t, st, r)
	require.Equal(t, []string{"c1", "c2", "c3", "c4"}, sayStops(r.Stops), "the draft has the new plan only")

	r.State, r.PublishedAt = models.RoundPublished, noon
	r = putRound(t, st, r)
	require.NoError(t, answer(t, st, "n1", "c1", "o1", ""))
	require.NoError(t, answer(t, st, "n1", "c2", "", "no access"))

	next := r
	next.Stops = []models.RoundStop{stopOf("n1", "c5", 1), stopOf("n1", "c4", 2), stopOf("n1", "c1", 3)}
	next.Stops[1].Minutes, next.Stops[2].Minutes = 99, 99
	next.Stops[0].Opening, next.Stops[1].Skipped = "o1", "x" // answers do not come this way
	r = putRound(t, st, next)
	require.Equal(t, []string{"c1 opened o1", "c5", "c2 skipped", "c4", "c3 replaced"}, sayStops(r.Stops))
	minutes := map[models.ID]int{}
	for _, s := range r.Stops {
		minutes[s.Cover] = s.Minutes
	}
	require.Equal(t, map[models.ID]int{"c1": 35, "c2": 35, "c3": 35, "c4": 99, "c5": 35}, minutes, "a stop that is done keeps its row")

	r.Name = "renamed" // read and written back with its replaced stops
	again := putRound(t, st, r)
	require.Equal(t, r.Stops, again.Stops)
	again.Stops = append(roundOf("n1", "c3").Stops, again.Stops...)
	require.Equal(t, []string{"c1 opened o1", "c3", "c5", "c2 skipped", "c4"}, sayStops(putRound(t, st, again).Stops), "taken in again")
}

func TestAnswersOfAStop(t *testing.T) {
	st := people(t, 3)
	add(t, st, openingOf("o1", "c1", "2027-03-02"), Derived{})
	add(t, st, openingOf("o2", "c1", "2027-03-03"), Derived{})
	putRound(t, st, roundOf("n0", "c1"))
	publishRound(t, st, roundOf("n1", "c1", "c2"))
	for _, c := range []struct {
		name         string
		round, cover models.ID
		opening      models.ID
		skipped      string
		want         models.Kind
		said         string // of the stop of c1 afterwards
	}{
		{"of a draft", "n0", "c1", "o1", "", models.Conflict, "c1"},
		{"of no round", "none", "c1", "o1", "", models.Missing, "c1"},
		{"of no stop", "n1", "c3", "o1", "", models.Missing, "c1"},
		{"neither", "n1", "c1", "", "", models.Invalid, "c1"},
		{"both", "n1", "c1", "o1", "no access", models.Invalid, "c1"},
		{"no such opening", "n1", "c1", "none", "", models.Conflict, "c1"},
		{"passed over", "n1", "c1", "", "no access", ok, "c1 skipped"},
		{"for another reason", "n1", "c1", "", "no lift", ok, "c1 skipped"},
		{"opened after all", "n1", "c1", "o1", "", ok, "c1 opened o1"},
		{"sent again", "n1", "c1", "o1", "", ok, "c1 opened o1"},
		{"opened by another", "n1", "c1", "o2", "", models.Conflict, "c1 opened o1"},
		{"passed over after opening", "n1", "c1", "", "no access", models.Conflict, "c1 opened o1"},
	} {
		err := answer(t, st, c.round, c.cover, c.opening, c.skipped)
		if c.want == ok {
			require.NoError(t, err, c.name)
		} else {
			require.Error(t, err, c.name)
			require.Equal(t, c.want, models.KindOf(err), "%s: %v", c.name, err)
		}
		r, err := st.Round(t.Context(), "n1")
		require.NoError(t, err)
		require.Equal(t, c.said, sayStops(r.Stops)[0], c.name)
		require.Equal(t, 2, r.Version, "an answer is no edit of the round")
	}
}

// ok stands in tables for no error: no error has this kind.
const ok = models.Kind(-1)

func TestClosedRoundCannotChange(t *testing.T) {
	st, ctx := people(t, 3), t.Context()
	add(t, st, openingOf("o1", "c1", "2027-03-02"), Derived{})
	r := publishRound(t, st, roundOf("n1", "c1", "c2"))
	require.NoError(t, answer(t, st, "n1", "c1", "o1", ""))
	r.State, r.ClosedAt = models.RoundClosed, noon
	r.Stops = append(r.Stops, stopOf("n1", "c3", 3)) // the last plan comes with the closing
	r = putRound(t, st, r)
	require.Equal(t, []string{"c1 opened o1", "c2", "c3"}, sayStops(r.Stops))

	r.Name = "another"
	requireKind(t, models.Conflict, tryRound(t, st, r))
	requireKind(t, models.Conflict, answer(t, st, "n1", "c2", "", "late"))
	for _, sql := range []string{
		"UPDATE rounds SET name = 'x'", "UPDATE rounds SET state = 'published'", "DELETE FROM rounds",
		"INSERT OR REPLACE INTO rounds SELECT * FROM rounds",
		"UPDATE round_stops SET skipped = 'x' WHERE cover_id = 'c2'", "DELETE FROM round_stops WHERE cover_id = 'c2'",
		"INSERT OR REPLACE INTO round_stops SELECT * FROM round_stops WHERE cover_id = 'c2'",
		"INSERT INTO round_stops SELECT round_id, 'c4', " + stopColumns + " FROM round_stops WHERE cover_id = 'c2'",
		"DELETE FROM round_buildings", "UPDATE round_buildings SET building_id = building_id",
		"INSERT INTO round_buildings VALUES ('n1', 'b2')",
	} {
		err := st.Write(ctx, func(tx *Tx) error { return storeError("round", tx.on(ctx).Exec(sql).Error) })
		requireKind(t, models.Conflict, err)
		code, _ := sqliteCode(err)
		require.Equal(t, codeTrigger, code, sql)
	}
	require.Equal(t, map[string]int{"rounds": 1, "round_stops": 3, "round_buildings": 1}, counts(t, st, "rounds", "round_stops", "round_buildings"))
}

const stopColumns = `building_id, room_id, shift, position, must, reason, benefit, minutes, use_tape_m, use_sealant_ml, use_coating_ml,
	use_blanket_m2, p_wet, risk, opening_id, skipped, replaced, day, inspector_id`

// Neither an open round nor its opened stops go away.
func TestOpenedStopsAreNeverDeleted(t *testing.T) {
	st, ctx := people(t, 2), t.Context()
	add(t, st, openingOf("o1", "c1", "2027-03-02"), Derived{})
	r := publishRound(t, st, roundOf("n1", "c1", "c2"))
	require.NoError(t, answer(t, st, "n1", "c1", "o1", ""))
	for _, sql := range []string{"DELETE FROM rounds", "DELETE FROM round_stops WHERE cover_id = 'c1'"} {
		requireKind(t, models.Conflict, st.Write(ctx, func(tx *Tx) error { return storeError("round", tx.on(ctx).Exec(sql).Error) }))
	}
	r.State, r.Stops = models.RoundWithdrawn, nil
	r = putRound(t, st, r)
	r.State = models.RoundDraft
	r = putRound(t, st, r)
	require.Equal(t, []string{"c1 opened o1", "c2 replaced"}, sayStops(r.Stops))
}

func TestListsOfRounds(t *testing.T) {
	st, ctx := people(t, 1), t.Context()
	write(t, st, func(tx *Tx) error {
		_, err := tx.PutBuilding(ctx, models.Building{ID: "b2", Name: "Mill House", TimeZone: "UTC"})
		return err
	})
	both := roundOf("n2", "c1")
	both.Order.Buildings, both.Order.From = []models.ID{"b1", "b2", "b1"}, "2027-03-02"
	putRound(t, st, roundOf("n1"))
	publishRound(t, st, both)
	later := roundOf("n3")
	later.State, later.PublishedAt, later.Order.From = models.RoundPublished, noon.Add(time.Hour), "2027-02-01"
	putRound(t, st, later)
	published := []models.RoundState{models.RoundPublished}
	for _, c := range []struct {
		scope  *[]models.ID
		states []models.RoundState
		want   []models.ID
	}{
		{nil, nil, []models.ID{"n2", "n1", "n3"}},
		{nil, published, []models.ID{"n2", "n3"}},
		{nil, []models.RoundState{models.RoundDraft, models.RoundPublished}, []models.ID{"n2", "n1", "n3"}},
		{&[]models.ID{"b2"}, nil, []models.ID{"n2"}},
		{&[]models.ID{"b1", "b2"}, published, []models.ID{"n2", "n3"}},
		{&[]models.ID{"none"}, nil, []models.ID{}},
		{&[]models.ID{}, nil, []models.ID{}},
	} {
		list, err := st.Rounds(ctx, c.scope, c.states...)
		require.NoError(t, err)
		require.Equal(t, c.want, convert(list, func(r models.Round) models.ID { return r.ID }), "%+v", c)
		for _, r := range list {
			require.Nil(t, r.Stops)
			require.NotEmpty(t, r.Order.Shifts)
		}
	}
	for building, want := range map[models.ID]models.ID{"b1": "n3", "b2": "n2"} {
		r, err := st.OpenRoundOf(ctx, building)
		require.NoError(t, err)
		require.Equal(t, want, r.ID)
	}
	_, err := st.OpenRoundOf(ctx, "none")
	requireKind(t, models.Missing, err)
}

func TestOpenStops(t *testing.T) {
	st, ctx := people(t, 6), t.Context()
	add(t, st, openingOf("o1", "c1", "2027-03-02"), Derived{})
	r := roundOf("n1", "c1", "c2", "c3", "c4", "c5")
	r.Stops[3].Shift = "2027-03-03 B" // nobody's
	r.Order.Shifts = append(r.Order.Shifts, models.RoundShift{ID: "2027-03-01 C", Day: "2027-03-01", Inspector: "u2", Minutes: 60, People: 1})
	r.Stops[4].Shift = "2027-03-01 C"
	putRound(t, st, roundOf("n0", "c6"))
	publishRound(t, st, r)
	require.NoError(t, answer(t, st, "n1", "c1", "o1", ""))
	none, b1, b2 := []models.ID{}, []models.ID{"b1"}, []models.ID{"b2"}
	for _, c := range []struct {
		f    StopFilter
		want string
	}{
		{StopFilter{}, "[c5 c2 c3 c4]"}, {StopFilter{Cover: "c2"}, "[c2]"}, {StopFilter{Cover: "c1"}, "[]"}, {StopFilter{Cover: "c6"}, "[]"},
		{StopFilter{Inspector: "u1"}, "[c2 c3 c4]"}, {StopFilter{Inspector: "u2"}, "[c5 c4]"}, {StopFilter{Inspector: "u3"}, "[c4]"},
		{StopFilter{Scope: &b1, Cover: "c4", Inspector: "u1"}, "[c4]"}, {StopFilter{Scope: &b2}, "[]"}, {StopFilter{Scope: &none}, "[]"},
	} {
		list, err := st.OpenStops(ctx, c.f)
		require.NoError(t, err)
		require.Equal(t, c.want, fmt.Sprint(sayStops(list)), "%+v", c.f)
	}
}

func TestOpenStopsUseIndexes(t *testing.T) {
	st := people(t, 1)
	for index, f := range map[string]StopFilter{
		"round_stops_open (inspector_id=?)": {Inspector: "u1"},
		"round_stops_cover (cover_id=?":     {Cover: "c1"},
	} {
		sql, args := openStops(f)
		plan := explain(t, st, "SELECT s.* FROM round_stops s WHERE "+sql, args...)
		require.Contains(t, plan, "SEARCH s USING INDEX "+index, plan)
	}
	plan := explain(t, st, "SELECT s.* FROM round_stops s WHERE s.round_id = ? ORDER BY s.day, s.shift, s.position", "n1")
	require.Contains(t, plan, "SEARCH s USING INDEX round_stops_shift (round_id=?)")
	require.NotContains(t, plan, "TEMP B-TREE", plan)
}
