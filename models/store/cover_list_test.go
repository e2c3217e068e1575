package store

import (
	"context"
	"encoding/base64"
	"fmt"
	"strings"
	"testing"

	"drylag/models"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNaturalOrder(t *testing.T) {
	for _, c := range []struct{ first, second string }{
		{"V-2", "V-12"}, {"v-2", "V-3"}, {"A", "A B"}, {"Room 9", "room 10"}, {"007", "8"}, {"P-1a", "P-1b"},
		{"Ärm", "ärmel"},
	} {
		require.Less(t, natural(c.first), natural(c.second))
	}
	require.Equal(t, natural("V-7"), natural(" v-007 "))
	require.Less(t, number(-3), number(0))
	require.Less(t, number(9), number(10))
}

func tags(page models.CoverPage) (out []string) {
	for _, r := range page.Rows {
		out = append(out, r.Tag)
	}
	return out
}

// score gives covers a risk and a due date.
func score(t testing.TB, st *Store, cover models.ID, risk int, due models.Date) {
	t.Helper()
	write(t, st, func(tx *Tx) error {
		m, err := tx.Material(t.Context(), cover)
		if err != nil {
			return err
		}
		return tx.PutScore(t.Context(), scoredAs(cover, m.Mark, risk, due))
	})
}

// scoredAs is a score of this risk, due on that day.
func scoredAs(cover models.ID, mark, risk int, due models.Date) Scored {
	return Scored{Mark: mark, Cause: "test", Score: models.Score{Cover: cover, At: noon, On: "2026-11-25", Risk: risk,
		Due: models.DueDate{On: due, Rule: models.RuleWorth, Why: "because"}, Action: models.ThisRound,
		Condition: models.WetEstimated, PWet: models.Range{Mid: 0.4, Lo: 0.2, Hi: 0.6}}}
}

func TestOrdersOfTheList(t *testing.T) {
	st := filled(t, 12)
	score(t, st, "c3", 80, "2027-01-01")
	score(t, st, "c11", 20, "2026-12-01")
	score(t, st, "c5", 80, "")
	for _, c := range []struct{ sort, want string }{
		{"", "V-1 V-2 V-3 V-4 V-5 V-6 V-7 V-8 V-9 V-10 V-11 V-12"},
		{"walk", "V-1 V-2 V-3 V-4 V-5 V-6 V-7 V-8 V-9 V-10 V-11 V-12"},
		{"tag", "V-1 V-2 V-3 V-4 V-5 V-6 V-7 V-8 V-9 V-10 V-11 V-12"},
		{"risk", "V-3 V-5 V-11 V-1 V-2 V-4 V-6 V-7 V-8 V-9 V-10 V-12"},
		{"due", "V-11 V-3 V-1 V-2 V-4 V-5 V-6 V-7 V-8 V-9 V-10 V-12"},
	} {
		page, err := st.Covers(t.Context(), models.CoverFilter{Sort: c.sort})
		require.NoError(t, err)
		require.Equal(t, c.want, strings.Join(tags(page), " "), c.sort)
		require.Equal(t, 12, page.Total)
		require.Empty(t, page.Next)
	}
	for _, w := range models.CoverSorts {
		_, err := st.Covers(t.Context(), models.CoverFilter{Sort: w.Code})
		require.NoError(t, err)
	}
	_, err := st.Covers(t.Context(), models.CoverFilter{Sort: "c.note; DROP TABLE covers"})
	requireKind(t, models.Invalid, err)
}

func TestWalkingOrder(t *testing.T) {
	st, ctx := create(t), t.Context()
	write(t, st, func(tx *Tx) error {
		for i, name := range []string{"South", "North"} {
			b := models.ID(fmt.Sprintf("b%d", i))
			if _, err := tx.PutBuilding(ctx, models.Building{ID: b, Name: name, TimeZone: "UTC"}); err != nil {
				return err
			}
			for j, room := range []string{"Boiler room", "Attic"} {
				r := models.ID(fmt.Sprintf("%s-r%d", b, j))
				if _, err := tx.PutRoom(ctx, models.Room{ID: r, Building: b, Name: room}); err != nil {
					return err
				}
				for k := range 2 {
					id := models.ID(fmt.Sprintf("%s-%d", r, k))
					s := models.CoverSheet{Cover: models.Cover{ID: id, Component: id, State: models.InPlace},
						Component: models.Component{ID: id, Room: r, Tag: fmt.Sprintf("%s %s %d", name, room, k), Order: -k}}
					if _, err := tx.PutSheet(ctx, s); err != nil {
						return err
					}
				}
			}
		}
		return nil
	})
	walk := func() string {
		page, err := st.Covers(ctx, models.CoverFilter{})
		require.NoError(t, err)
		return strings.Join(tags(page), ", ")
	}
	require.Equal(t, "North Attic 1, North Attic 0, North Boiler room 1, North Boiler room 0, "+
		"South Attic 1, South Attic 0, South Boiler room 1, South Boiler room 0", walk())

	write(t, st, func(tx *Tx) error { // an order beats a name; a new name moves the building
		room, err := tx.Room(ctx, "b1-r0")
		if err != nil {
			return err
		}
		room.Order = -1
		if _, err := tx.PutRoom(ctx, room); err != nil {
			return err
		}
		b, err := tx.Building(ctx, "b0")
		if err != nil {
			return err
		}
		b.Name = "Annex"
		_, err = tx.PutBuilding(ctx, b)
		return err
	})
	require.Equal(t, "South Attic 1, South Attic 0, South Boiler room 1, South Boiler room 0, "+
		"North Boiler room 1, North Boiler room 0, North Attic 1, North Attic 0", walk())
	page, err := st.Covers(ctx, models.CoverFilter{Text: "annex"})
	require.NoError(t, err)
	require.Equal(t, 4, page.Total)
}

func TestFilters(t *testing.T) {
	st, ctx := filled(t, 6), t.Context()
	score(t, st, "c2", 55, "2026-12-24")
	write(t, st, func(tx *Tx) error {
		if err := tx.SetCoverState(ctx, "c3", models.Off, "2026-11-01"); err != nil {
			return err
		}
		s, err := tx.Sheet(ctx, "c4")
		if err != nil {
			return err
		}
		s.Component.Kind, s.Component.Loop, s.Component.Where = "pump", models.None, "behind 100% of the Öl_tank"
		_, err = tx.PutSheet(ctx, s)
		return err
	})
	b1, other, none := []models.ID{"b1"}, []models.ID{"b2"}, []models.ID{}
	for _, c := range []struct {
		name string
		f    models.CoverFilter
		want string
	}{
		{"everything", models.CoverFilter{}, "V-1 V-2 V-3 V-4 V-5 V-6"},
		{"scope", models.CoverFilter{Scope: &b1}, "V-1 V-2 V-3 V-4 V-5 V-6"},
		{"other scope", models.CoverFilter{Scope: &other}, ""},
		{"no scope", models.CoverFilter{Scope: &none}, ""},
		{"building", models.CoverFilter{Building: "b1"}, "V-1 V-2 V-3 V-4 V-5 V-6"},
		{"no such building", models.CoverFilter{Building: "b' OR 1=1 --"}, ""},
		{"room", models.CoverFilter{Room: "r1"}, "V-1 V-2 V-3 V-4 V-5 V-6"},
		{"loop", models.CoverFilter{Loop: "l1"}, "V-1 V-2 V-3 V-5 V-6"},
		{"kind", models.CoverFilter{Kind: "pump"}, "V-4"},
		{"state", models.CoverFilter{State: "off"}, "V-3"},
		{"action", models.CoverFilter{Action: string(models.ThisRound)}, "V-2"},
		{"condition", models.CoverFilter{Condition: string(models.WetEstimated)}, "V-2"},
		{"rule", models.CoverFilter{Rule: string(models.RuleWorth)}, "V-2"},
		{"due by", models.CoverFilter{DueBy: "2026-12-24"}, "V-2"},
		{"due earlier", models.CoverFilter{DueBy: "2026-12-23"}, ""},
		{"risk", models.CoverFilter{RiskAtLeast: 55}, "V-2"},
		{"more risk", models.CoverFilter{RiskAtLeast: 56}, ""},
		{"tag, any case", models.CoverFilter{Text: " v-4 "}, "V-4"},
		{"label", models.CoverFilter{Text: "k005"}, "V-5"},
		{"where, not ASCII", models.CoverFilter{Text: "öL_T"}, "V-4"},
		{"percent is no wild card", models.CoverFilter{Text: "100% of"}, "V-4"},
		{"percent alone", models.CoverFilter{Text: "v%4"}, ""},
		{"underscore is no wild card", models.CoverFilter{Text: "V_4"}, ""},
		{"backslash", models.CoverFilter{Text: `V\-4`}, ""},
		{"quote", models.CoverFilter{Text: `' OR '1'='1`}, ""},
		{"room name", models.CoverFilter{Text: "plant room"}, "V-1 V-2 V-3 V-4 V-5 V-6"},
	} {
		t.Run(c.name, func(t *testing.T) {
			page, err := st.Covers(ctx, c.f)
			require.NoError(t, err)
			require.Equal(t, c.want, strings.Join(tags(page), " "))
			require.Equal(t, len(page.Rows), page.Total)
		})
	}
}

func TestSearchPutsTheTagFirst(t *testing.T) {
	st, ctx := filled(t, 12), t.Context()
	write(t, st, func(tx *Tx) error {
		s, err := tx.Sheet(ctx, "c2")
		if err != nil {
			return err
		}
		s.Component.Where = "above V-1"
		_, err = tx.PutSheet(ctx, s)
		return err
	})
	f := models.CoverFilter{Text: "v-1", Limit: 2}
	var got []string
	for {
		page, err := st.Covers(ctx, f)
		require.NoError(t, err)
		require.Equal(t, 5, page.Total)
		got = append(got, tags(page)...)
		if page.Next == "" {
			break
		}
		f.After = page.Next
	}
	require.Equal(t, []string{"V-1", "V-10", "V-11", "V-12", "V-2"}, got)
}

func TestBadCursorIsInvalid(t *testing.T) {
	st := filled(t, 5)
	page, err := st.Covers(t.Context(), models.CoverFilter{Limit: 2})
	require.NoError(t, err)
	made := func(text string) string { return base64.RawURLEncoding.EncodeToString([]byte(text)) }
	for name, f := range map[string]models.CoverFilter{
		"noise":               {After: "%%%"},
		"not base64":          {After: "abc="},
		"not JSON":            {After: made("not JSON")},
		"cut":                 {After: page.Next[:len(page.Next)-4]},
		"other order":         {After: page.Next, Sort: "risk"},
		"other search":        {After: page.Next, Text: "v"},
		"keys of other sorts": {After: made(`{"Sort":"walk","Keys":[{},[]]}`)},
		"a number for a text": {After: made(`{"Sort":"walk","Keys":[1,"c1"]}`)},
		"a text for a number": {Sort: "risk", After: made(`{"Sort":"risk","Keys":["1","w","c1"]}`)},
		"too few keys":        {After: made(`{"Sort":"walk","Keys":["w"]}`)},
		"no keys":             {After: made(`{"Sort":"walk"}`)},
		"null":                {After: made("null")},
	} {
		_, err := st.Covers(t.Context(), f)
		require.Error(t, err, name)
		require.Equal(t, models.Invalid, models.KindOf(err), name)
	}
}

// Under inserts, paging shows each cover that was there all the time exactly
// once, and none twice. Each run has a building of its own in one record.
func TestPagingShowsEachCoverOnce(t *testing.T) {
	st, run := create(t), 0
	rapid.Check(t, func(rt *rapid.T) {
		run++
		b := models.ID(fmt.Sprintf("b%d", run))
		n := rapid.IntRange(1, 12).Draw(rt, "covers")
		require.NoError(rt, drawCovers(rt, st, b, n))
		scope := []models.ID{b}
		f := models.CoverFilter{Limit: rapid.IntRange(1, 4).Draw(rt, "limit"),
			Sort: rapid.SampledFrom([]string{"", "walk", "due", "risk", "tag"}).Draw(rt, "sort"),
			Text: rapid.SampledFrom([]string{"", "v-1", "v-"}).Draw(rt, "text")}
		if rapid.Bool().Draw(rt, "by scope") {
			f.Scope = &scope
		} else {
			f.Building = b
		}
		want := map[models.ID]int{}
		require.NoError(rt, st.EachCover(t.Context(), f, func(rows []models.CoverRow) error {
			for _, r := range rows {
				want[r.ID]++
			}
			return nil
		}))
		seen := map[models.ID]int{}
		for first := true; first || f.After != ""; first = false {
			page, err := st.Covers(t.Context(), f)
			require.NoError(rt, err)
			for _, r := range page.Rows {
				seen[r.ID]++
			}
			f.After = page.Next
			require.NoError(rt, st.Write(t.Context(), func(tx *Tx) error {
				for range rapid.IntRange(0, 2).Draw(rt, "inserted") {
					n++
					if err := drawCover(rt, tx, b, n); err != nil {
						return err
					}
				}
				return nil
			}))
		}
		for id := range want {
			require.Equal(rt, 1, want[id], "cover %s", id)
			require.Equal(rt, 1, seen[id], "cover %s", id)
		}
		for id, times := range seen {
			require.Equal(rt, 1, times, "cover %s", id)
		}
	})
}

// drawCovers makes a building with n covers.
func drawCovers(rt *rapid.T, st *Store, b models.ID, n int) error {
	ctx := context.Background()
	return st.Write(ctx, func(tx *Tx) error {
		if _, err := tx.PutBuilding(ctx, models.Building{ID: b, Name: string(b), TimeZone: "UTC"}); err != nil {
			return err
		}
		if _, err := tx.PutRoom(ctx, models.Room{ID: b, Building: b, Name: "Plant room"}); err != nil {
			return err
		}
		for i := 1; i <= n; i++ {
			if err := drawCover(rt, tx, b, i); err != nil {
				return err
			}
		}
		return nil
	})
}

// drawCover makes one cover with few different tags, risks and dates, so that
// many are equal; some have no score.
func drawCover(rt *rapid.T, tx *Tx, b models.ID, i int) error {
	ctx := context.Background()
	id := models.ID(fmt.Sprintf("%s-%d", b, i))
	s := models.CoverSheet{Cover: models.Cover{ID: id, Component: id, State: models.InPlace},
		Component: models.Component{ID: id, Room: b, Tag: fmt.Sprintf("V-%d", rapid.IntRange(0, 12).Draw(rt, "tag"))}}
	if _, err := tx.PutSheet(ctx, s); err != nil || !rapid.Bool().Draw(rt, "scored") {
		return err
	}
	due := models.Date("2026-12-01").AddDays(rapid.IntRange(0, 3).Draw(rt, "due"))
	return tx.PutScore(ctx, scoredAs(id, 1, rapid.IntRange(0, 3).Draw(rt, "risk"), due))
}

func TestEveryListUsesAnIndex(t *testing.T) {
	st := filled(t, 3)
	for _, c := range []struct {
		f     models.CoverFilter
		index string
	}{
		{models.CoverFilter{}, "covers_walk"}, {models.CoverFilter{Sort: "due"}, "covers_due"},
		{models.CoverFilter{Sort: "risk"}, "covers_risk"}, {models.CoverFilter{Sort: "tag"}, "covers_tag"},
		{models.CoverFilter{Building: "b1"}, "covers_building_walk"},
		{models.CoverFilter{Building: "b1", Sort: "due"}, "covers_building_due"},
		{models.CoverFilter{Building: "b1", Sort: "risk"}, "covers_building_risk"},
		{models.CoverFilter{Room: "r1"}, "covers_room_walk"},
	} {
		order, err := orderOf(c.f)
		require.NoError(t, err)
		sql, args := order.sql(coverQuery(c.f), 50)
		plan := explain(t, st, sql, args...)
		require.Contains(t, plan, c.index)
		require.NotContains(t, plan, "TEMP B-TREE", plan)
	}
}

// explain is the plan of a query as SQLite tells it.
func explain(t testing.TB, st *Store, sql string, args ...any) string {
	t.Helper()
	var steps []struct{ Detail string }
	require.NoError(t, st.db.Raw("EXPLAIN QUERY PLAN "+sql, args...).Scan(&steps).Error)
	var lines []string
	for _, s := range steps {
		lines = append(lines, s.Detail)
	}
	return strings.Join(lines, "\n")
}

// Covers that an import adds in bulk are as those that PutSheet adds.
func TestAddSheetsIsAsPutSheet(t *testing.T) {
	one, many, ctx := filled(t, 0), filled(t, 0), t.Context()
	a, b := fullSheet(), sheetOf(2)
	a.Cover.Label = "Ä-9"
	b.Room, b.Loop, b.Building = a.Room, a.Loop, a.Building
	sheets := []models.CoverSheet{a, b}
	write(t, one, func(tx *Tx) error {
		for _, s := range sheets {
			if _, err := tx.PutSheet(ctx, s); err != nil {
				return err
			}
		}
		return nil
	})
	write(t, many, func(tx *Tx) error { return tx.AddSheets(ctx, sheets) })
	var want, got []map[string]any
	require.NoError(t, one.db.Raw("SELECT * FROM covers JOIN components p ON p.id = component_id").Scan(&want).Error)
	require.NoError(t, many.db.Raw("SELECT * FROM covers JOIN components p ON p.id = component_id").Scan(&got).Error)
	require.Len(t, want, 2)
	require.Equal(t, want, got)

	owners, err := many.LabelOwners(ctx, []string{"ä-9", "k002", "none", ""})
	require.NoError(t, err)
	require.Equal(t, map[string]models.ID{"ä-9": "cx", "k002": "c2"}, owners)
	keys, err := many.CoverKeys(ctx, "b1", "")
	require.NoError(t, err)
	require.Equal(t, []CoverKey{{"c2", "r1", "v-2", "K002"}, {"cx", "r1", "v-99", "Ä-9"}}, keys)
}
