package store

import (
	"math"
	"testing"
	"time"

	"drylag/models"

	"github.com/stretchr/testify/require"
)

func TestAccounts(t *testing.T) {
	st, ctx := filled(t, 0), t.Context()
	want := models.User{ID: "u1", Login: "Ada.Example", Name: "Ada Example", Role: models.Crew, Buildings: []models.ID{"b1"},
		Until: "2027-01-31", Units: "IP", CreatedAt: noon}
	var saved models.User
	write(t, st, func(tx *Tx) (err error) { saved, err = tx.PutUser(ctx, want); return err })
	want.Version = 1
	require.Equal(t, want, saved)

	got, hash, err := st.UserByLogin(ctx, " ADA.example ")
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.Empty(t, hash)
	_, _, err = st.UserByLogin(ctx, "nobody")
	requireKind(t, models.Missing, err)

	again := models.User{ID: "u2", Login: "ada.EXAMPLE", Name: "Other", Role: models.Owner, AllBuildings: true, CreatedAt: noon}
	requireKind(t, models.Conflict, st.Write(ctx, func(tx *Tx) error { _, err := tx.PutUser(ctx, again); return err }))

	write(t, st, func(tx *Tx) error {
		if err := tx.SetPassword(ctx, "u1", "stored form"); err != nil {
			return err
		}
		return tx.SetLastSeen(ctx, "u1", noon.Add(time.Minute))
	})
	got, hash, err = st.UserByLogin(ctx, "ada.example")
	require.NoError(t, err)
	require.Equal(t, "stored form", hash)
	require.Equal(t, 1, got.Epoch, "a new password ends sessions")
	require.Equal(t, noon.Add(time.Minute), got.LastSeen)

	requireKind(t, models.Stale, st.Write(ctx, func(tx *Tx) error { _, err := tx.PutUser(ctx, want); return err }))
	got.Buildings, got.AllBuildings, got.Role = nil, true, models.Admin
	write(t, st, func(tx *Tx) error { _, err := tx.PutUser(ctx, got); return err })
	_, hash, err = st.UserByLogin(ctx, "ada.example")
	require.NoError(t, err)
	require.Equal(t, "stored form", hash, "an edit leaves the password")
	users, err := st.Users(ctx)
	require.NoError(t, err)
	got.Version++
	require.Equal(t, []models.User{got}, users)
	n, err := st.Admins(ctx)
	require.NoError(t, err)
	require.Equal(t, 1, n)
	requireKind(t, models.Missing, st.Write(ctx, func(tx *Tx) error { return tx.SetUnits(ctx, "nobody", "SI") }))
}

func TestSessions(t *testing.T) {
	st, ctx := filled(t, 0), t.Context()
	write(t, st, func(tx *Tx) error {
		_, err := tx.PutUser(ctx, models.User{ID: "u1", Login: "a", Name: "A", Role: models.Owner, CreatedAt: noon})
		return err
	})
	s := Session{Hash: "h1", Data: []byte{0, 1}, Expires: noon.Add(time.Hour)}
	write(t, st, func(tx *Tx) error { return tx.PutSession(ctx, s) })
	s.User, s.Data = "u1", []byte{2} // signed in
	write(t, st, func(tx *Tx) error { return tx.PutSession(ctx, s) })
	got, err := st.Session(ctx, "h1", noon)
	require.NoError(t, err)
	require.Equal(t, s, got)
	_, err = st.Session(ctx, "h1", noon.Add(time.Hour))
	requireKind(t, models.Missing, err)

	write(t, st, func(tx *Tx) error {
		if err := tx.PutSession(ctx, Session{Hash: "h2", User: "u1", Expires: noon.Add(time.Hour)}); err != nil {
			return err
		}
		if err := tx.PutSession(ctx, Session{Hash: "h3", Expires: noon.Add(time.Minute)}); err != nil {
			return err
		}
		return tx.EndSession(ctx, "h1")
	})
	require.Equal(t, map[string]int{"sessions": 2}, counts(t, st, "sessions"))
	write(t, st, func(tx *Tx) error { return tx.EndSessions(ctx, "u1") })
	_, err = st.Session(ctx, "h2", noon)
	requireKind(t, models.Missing, err)
	write(t, st, func(tx *Tx) error { return tx.Sweep(ctx, noon.Add(time.Hour), noon) })
	require.Equal(t, map[string]int{"sessions": 0}, counts(t, st, "sessions"))
}

func TestLinksWorkOnce(t *testing.T) {
	st, ctx := filled(t, 0), t.Context()
	use := func(hash, kind string, at time.Time) error {
		return st.Write(ctx, func(tx *Tx) error { _, err := tx.UseToken(ctx, hash, kind, at); return err })
	}
	write(t, st, func(tx *Tx) error {
		for _, hash := range []string{"old", "new"} { // the newer one ends the older
			if err := tx.AddToken(ctx, Token{Hash: hash, Kind: SetupToken, ExpiresAt: noon.Add(time.Hour)}); err != nil {
				return err
			}
		}
		return nil
	})
	requireKind(t, models.Missing, use("old", SetupToken, noon))
	requireKind(t, models.Denied, use("new", ResetToken, noon))
	requireKind(t, models.Denied, use("new", SetupToken, noon.Add(time.Hour)))
	require.NoError(t, use("new", SetupToken, noon))
	requireKind(t, models.Denied, use("new", SetupToken, noon))
}

func TestStoredAnswers(t *testing.T) {
	st, ctx := create(t), t.Context()
	want := Answer{User: "u1", Key: "k1", Request: "r", Status: 201, Body: []byte(`{"a": 1}`), At: noon}
	write(t, st, func(tx *Tx) error { return tx.AddAnswer(ctx, want) })
	got, err := st.StoredAnswer(ctx, "u1", "k1")
	require.NoError(t, err)
	require.Equal(t, want, got)
	_, err = st.StoredAnswer(ctx, "u2", "k1")
	requireKind(t, models.Missing, err)
	requireKind(t, models.Conflict, st.Write(ctx, func(tx *Tx) error { return tx.AddAnswer(ctx, want) }))
	want.User = "u2"
	write(t, st, func(tx *Tx) error { return tx.AddAnswer(ctx, want) })
	write(t, st, func(tx *Tx) error { return tx.Sweep(ctx, noon, noon.Add(1e6)) })
	require.Equal(t, map[string]int{"answers": 0}, counts(t, st, "answers"))
}

func TestPolicy(t *testing.T) {
	st, ctx := create(t), t.Context()
	p, err := st.Policy(ctx)
	require.NoError(t, err)
	require.Equal(t, models.DefaultPolicy(), p)
	p.ThresholdP, p.RoundDays = ptr(0.25), 60
	p.FoundWetCost, p.SpoilChance, p.FleetIntervalMonths = 1.5, 0.1, ptr(18.0)
	write(t, st, func(tx *Tx) error { _, err := tx.PutPolicy(ctx, p); return err })
	requireKind(t, models.Stale, st.Write(ctx, func(tx *Tx) error { _, err := tx.PutPolicy(ctx, p); return err }))
	got, err := st.Policy(ctx)
	require.NoError(t, err)
	p.Version = 1
	require.Equal(t, p, got)
}

func TestClimateComesBackToTheLastBit(t *testing.T) {
	st, ctx := filled(t, 1), t.Context()
	want := models.HourlyClimate{ID: "w1", Building: "b1", Room: "r1", Source: "logger", Name: "Logger 4", Start: noon, UTCOffsetH: -5,
		AltitudeM: 12.5, TempC: []float64{20.1, math.NaN(), math.Copysign(0, -1)}, DewPointC: []float64{11.3, math.NaN(), 1.0 / 3},
		Gaps: []string{"hour 2"}, ImportedAt: noon, Importer: "u1", SHA256: "s1"}
	put := func(c models.HourlyClimate) (again bool) {
		write(t, st, func(tx *Tx) (err error) { again, err = tx.AddClimate(ctx, c); return err })
		return again
	}
	require.False(t, put(want))
	got, err := st.Climate(ctx, "w1")
	require.NoError(t, err)
	for i := range want.TempC {
		require.Equal(t, math.Float64bits(want.TempC[i]), math.Float64bits(got.TempC[i]))
		require.Equal(t, math.Float64bits(want.DewPointC[i]), math.Float64bits(got.DewPointC[i]))
	}
	head := want
	head.TempC, head.DewPointC, got.TempC, got.DewPointC = nil, nil, nil, nil
	require.Equal(t, head, got)

	same := want
	same.ID = "w2"
	require.True(t, put(same), "the same file again")
	same.Room = models.None
	require.False(t, put(same), "the same file for the building")
	list, err := st.Climates(ctx, "b1", models.None)
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.Nil(t, list[0].TempC, "lists carry no hours")
	list, err = st.Climates(ctx, "b1", "r1")
	require.NoError(t, err)
	require.Equal(t, []models.HourlyClimate{head}, list)

	uneven := want
	uneven.ID, uneven.SHA256, uneven.DewPointC = "w3", "s3", []float64{1}
	requireKind(t, models.Invalid, st.Write(ctx, func(tx *Tx) error { _, err := tx.AddClimate(ctx, uneven); return err }))
}
