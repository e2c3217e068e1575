package demo_test

import (
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"

	"drylag/models"
	"drylag/models/demo"
	"drylag/models/register"
	"drylag/models/store"
)

// built makes the campus of one fixed day in a fresh folder.
func built(t testing.TB) (*register.Register, []demo.Person) {
	t.Helper()
	now := time.Date(2026, 11, 25, 15, 0, 0, 0, time.UTC)
	st, err := store.Create(t.Context(), store.Config{Dir: t.TempDir() + "/data", Now: time.Now})
	require.NoError(t, err)
	t.Cleanup(func() { st.Close() })
	open := func(clock func() time.Time) *register.Register {
		return register.New(st, register.Options{Now: clock, NewID: func() models.ID { return models.ID(uuid.Must(uuid.NewV7()).String()) }})
	}
	people, err := demo.Build(t.Context(), open, now, func(s string) { t.Log(time.Now().Format("05.000"), s) })
	require.NoError(t, err)
	return open(func() time.Time { return now }), people
}

func TestCampusHasSomethingTrueToShow(t *testing.T) {
	reg, people := built(t)
	require.Len(t, people, 5)
	for _, p := range people {
		_, err := reg.SignIn(t.Context(), p.Login, p.Password, "127.0.0.1")
		require.NoError(t, err, p.Login)
	}
	all := models.Actor{ID: "x", Role: models.Admin, All: true}
	numbers, err := reg.Buildings(t.Context(), all)
	require.NoError(t, err)
	require.Len(t, numbers, 8)
	covers, off, wet, never := 0, 0, 0, 0
	for _, n := range numbers {
		covers, off, wet, never = covers+n.Covers, off+n.Off, wet+n.WetOpen, never+n.NeverSeen
	}
	t.Logf("%d covers, %d off, %d wet and open, %d never seen", covers, off, wet, never)
	require.Equal(t, 250, covers)
	require.Positive(t, off)
	require.Positive(t, wet)
	require.Positive(t, never)

	trend, err := reg.Trend(t.Context(), all, numbers[0].Building.ID)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(trend.Years), 5)
	for _, q := range trend.Quarters {
		t.Log(q.Quarter, q.Opened, q.Wet)
	}
	for _, s := range trend.Sentences {
		t.Log(s)
	}
	page, err := reg.Covers(t.Context(), all, models.CoverFilter{Limit: 300})
	require.NoError(t, err)
	actions, rules := map[models.Action]int{}, map[models.DueRule]int{}
	for _, r := range page.Rows {
		require.True(t, r.Scored, r.Tag)
		actions[r.Action]++
		rules[r.Rule]++
	}
	t.Log(actions, rules)
}
