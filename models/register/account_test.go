package register

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drylag/models"
)

const goodPassword = "copper kettle under stairs"

// setUp makes the first administrator.
func (w *world) setUp() models.User {
	w.t.Helper()
	token, err := w.SetupLink(w.ctx)
	require.NoError(w.t, err)
	u, err := w.Setup(w.ctx, token, "ada", "Ada", goodPassword)
	require.NoError(w.t, err)
	return u
}

func TestSetupLinkOnce(t *testing.T) {
	w := newEmpty(t)
	first, err := w.SetupLink(w.ctx)
	require.NoError(t, err)
	second, err := w.SetupLink(w.ctx)
	require.NoError(t, err)
	_, err = w.Setup(w.ctx, first, "ada", "Ada", goodPassword)
	require.Equal(t, models.Missing, kind(err), "a new link ends the one before")
	_, err = w.Setup(w.ctx, second, "ada", "Ada", "short")
	require.Equal(t, models.Invalid, kind(err))

	u, err := w.Setup(w.ctx, second, "ada", "Ada", goodPassword)
	require.NoError(t, err, "a refused password did not use the link up")
	require.Equal(t, models.Admin, u.Role)
	_, err = w.Setup(w.ctx, second, "eve", "Eve", goodPassword)
	require.Equal(t, models.Conflict, kind(err))
	_, err = w.SetupLink(w.ctx)
	require.Equal(t, models.Conflict, kind(err))
	_, err = w.SignIn(w.ctx, "ADA", goodPassword, "10.0.0.1")
	require.NoError(t, err)
}

func TestSetupLinkEndsAfterADay(t *testing.T) {
	w := newEmpty(t)
	token, err := w.SetupLink(w.ctx)
	require.NoError(t, err)
	w.clock.turn(24 * time.Hour)
	_, err = w.Setup(w.ctx, token, "ada", "Ada", goodPassword)
	require.Equal(t, models.Missing, kind(err))
	_, err = w.SignIn(w.ctx, "ada", goodPassword, "10.0.0.1")
	require.Equal(t, models.SignIn, kind(err), "no account, no default password")
}

func TestPasswordLinksAndSessions(t *testing.T) {
	w := newEmpty(t)
	admin := w.setUp().Actor()
	u, link, err := w.AddUser(w.ctx, admin, models.User{Login: "ben", Name: "Ben", Role: models.Inspector, AllBuildings: true, Epoch: 7, Version: 9})
	require.NoError(t, err)
	require.Equal(t, 1, u.Version, "what the service sets is not taken from the form")
	_, err = w.SignIn(w.ctx, "ben", "", "10.0.0.1")
	require.Equal(t, models.SignIn, kind(err), "no password yet")

	u, err = w.UseLink(w.ctx, link, goodPassword)
	require.NoError(t, err)
	_, err = w.UseLink(w.ctx, link, goodPassword+" again")
	require.Equal(t, models.Missing, kind(err), "a link works once")
	a, err := w.Actor(w.ctx, u.ID, u.Epoch)
	require.NoError(t, err)

	changed, err := w.ChangePassword(w.ctx, a, goodPassword, "an iron lamp by the sea")
	require.NoError(t, err)
	_, err = w.Actor(w.ctx, u.ID, u.Epoch)
	require.Equal(t, models.SignIn, kind(err), "other sessions have ended")
	_, err = w.Actor(w.ctx, u.ID, changed.Epoch)
	require.NoError(t, err)
	_, err = w.ChangePassword(w.ctx, a, goodPassword, "an iron lamp by the lake")
	require.ErrorContains(t, err, "old_password")

	reset, err := w.ResetLink(w.ctx, admin, u.ID)
	require.NoError(t, err)
	w.clock.turn(48 * time.Hour)
	_, err = w.UseLink(w.ctx, reset, goodPassword)
	require.Equal(t, models.Missing, kind(err), "48 hours")

	require.NoError(t, w.EndSessions(w.ctx, admin, u.ID))
	_, err = w.Actor(w.ctx, u.ID, changed.Epoch)
	require.Equal(t, models.SignIn, kind(err))
	require.Equal(t, models.Denied, kind(w.EndSessions(w.ctx, a, admin.ID)))
}

func TestAccountsActOnTheNextRequest(t *testing.T) {
	w := newEmpty(t)
	admin := w.setUp()
	a := admin.Actor()
	b, err := w.SaveBuilding(w.ctx, a, models.Building{Name: "North", TimeZone: "America/New_York"})
	require.NoError(t, err)
	_, _, err = w.AddUser(w.ctx, a, models.User{Login: "kim", Name: "Kim", Role: models.Crew, Buildings: []models.ID{b.ID}})
	require.ErrorContains(t, err, "until: ", "a crew's access has an end")
	_, _, err = w.AddUser(w.ctx, a, models.User{Login: "kim", Name: "Kim", Role: models.Owner, Buildings: []models.ID{newID()}})
	require.ErrorContains(t, err, "buildings: ")
	u, _, err := w.AddUser(w.ctx, a, models.User{Login: "kim", Name: "Kim", Role: models.Crew, Buildings: []models.ID{b.ID}, Until: "2026-11-25"})
	require.NoError(t, err)
	_, _, err = w.AddUser(w.ctx, a, models.User{Login: "KIM", Name: "Kim", Role: models.Owner, AllBuildings: true})
	require.ErrorContains(t, err, "login: ")
	require.Equal(t, models.Invalid, kind(err))

	actor, err := w.Actor(w.ctx, u.ID, u.Epoch)
	require.NoError(t, err)
	require.True(t, actor.Sees(b.ID))
	w.clock.turn(12 * time.Hour) // 03:00 UTC of the 26th: still the 25th in New York
	_, err = w.Actor(w.ctx, u.ID, u.Epoch)
	require.NoError(t, err)
	w.clock.turn(12 * time.Hour)
	_, err = w.Actor(w.ctx, u.ID, u.Epoch)
	require.Equal(t, models.SignIn, kind(err), "the last day is over")

	u.Until, u.Role = "", models.Owner
	saved, err := w.SaveUser(w.ctx, a, u)
	require.NoError(t, err)
	_, err = w.SaveUser(w.ctx, a, u)
	require.Equal(t, models.Stale, kind(err))
	u.Version = 0
	_, err = w.SaveUser(w.ctx, a, u)
	require.Equal(t, models.NeedsVersion, kind(err))
	saved.Disabled = true
	saved, err = w.SaveUser(w.ctx, a, saved)
	require.NoError(t, err)
	_, err = w.Actor(w.ctx, u.ID, saved.Epoch)
	require.Equal(t, models.SignIn, kind(err))

	admin, err = w.User(w.ctx, a, admin.ID)
	require.NoError(t, err)
	admin.Role = models.Owner
	_, err = w.SaveUser(w.ctx, a, admin)
	require.ErrorContains(t, err, "last administrator")
}

func TestGuessingIsSlowedWithoutLockingOut(t *testing.T) {
	w := newEmpty(t)
	w.setUp()
	refused, tooMany := 0, 0
	for range 100 {
		_, err := w.SignIn(w.ctx, "ada", "wrong password", "10.0.0.9")
		switch kind(err) {
		case models.SignIn:
			refused++
		case models.TooMany:
			tooMany++
		}
	}
	require.Equal(t, triesPair, refused)
	require.Equal(t, 100-triesPair, tooMany)
	_, err := w.SignIn(w.ctx, "ada", goodPassword, "10.0.0.9")
	require.Equal(t, models.TooMany, kind(err), "from there even the right one waits")
	require.ErrorContains(t, err, "30 seconds")
	_, err = w.SignIn(w.ctx, "ada", goodPassword, "10.0.0.1")
	require.NoError(t, err, "from elsewhere it does not")
	w.clock.turn(perPair)
	_, err = w.SignIn(w.ctx, "ada", goodPassword, "10.0.0.9")
	require.NoError(t, err)
}

func TestManyAddressesAgainstOneAccount(t *testing.T) {
	g, now := newGuard(), time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	let := 0
	for i := range 200 {
		for range 5 {
			if _, wait := g.begin("ada", fmt.Sprintf("10.0.%d.%d", i/250, i%250), now); wait == 0 {
				let++
			}
		}
	}
	// 20 wrong tries use the account's own budget up; then each new address has one.
	require.Equal(t, triesAccount+(200-triesAccount/triesPair), let)
	_, wait := g.begin("ada", "192.168.0.1", now)
	require.Zero(t, wait, "the person at a new address has his try")
}

func TestManyAccountsFromOneAddress(t *testing.T) {
	g, now := newGuard(), time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	let := 0
	for i := range 100 {
		if _, wait := g.begin(fmt.Sprintf("user%d", i), "10.0.0.9", now); wait == 0 {
			let++
		}
	}
	require.Equal(t, triesAddress, let)
}

func TestRightPasswordsCostNothing(t *testing.T) {
	g, now := newGuard(), time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for i := range 100 { // a whole site behind one address at seven in the morning
		tr, wait := g.begin(fmt.Sprintf("user%d", i), "10.0.0.9", now)
		require.Zero(t, wait, i)
		tr.right()
	}
}

func TestLimitersAreBounded(t *testing.T) {
	g, now := newGuard(), time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for i := range limitersKept + 500 {
		g.begin(fmt.Sprintf("user%d", i), fmt.Sprintf("addr%d", i), now)
	}
	require.LessOrEqual(t, len(g.pairs), limitersKept)
	require.LessOrEqual(t, len(g.address), limitersKept)
	require.LessOrEqual(t, len(g.accounts), limitersKept)
}

func TestPasswordsThatAreRefused(t *testing.T) {
	u := models.User{Login: "maria.k", Name: "Maria Kowal"}
	for _, c := range []struct {
		password string
		ok       bool
	}{
		{"short", false}, {"ninechars", false}, {strings.Repeat("x", 201), false},
		{"password123", false}, {"P@ssw0rd2026!", false}, {"Qwertyuiop", false}, {"1234567890", false},
		{"aaaaaaaaaaaa", false}, {"MariaKowal", false}, {"maria kowal", false}, {"chilledwater", false},
		{"passwordpassword", false}, {string([]byte{0xff, 'a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i'}), false},
		{goodPassword, true}, {"żółw w kąpieli", true}, {strings.Repeat("ab", 100), true},
		{"日本語のパスワードです", true},
	} {
		var f models.Faults
		checkPassword(&f, c.password, u)
		require.Equal(t, c.ok, f.Err() == nil, "%q: %v", c.password, f)
	}
}

func TestStoredPasswords(t *testing.T) {
	w := newEmpty(t)
	long := strings.Repeat("0123456789 ", 7) // two that are equal in the first 72 bytes
	hash, err := w.hash(w.ctx, long+"a")
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$"), hash)
	same, err := w.matches(w.ctx, long+"b", hash)
	require.NoError(t, err)
	require.False(t, same)
	for _, none := range []string{"", nobody} {
		same, err = w.matches(w.ctx, "", none)
		require.NoError(t, err)
		require.False(t, same)
	}
}

func TestHashesAtOnceAreBounded(t *testing.T) {
	turns := make(turnstile, hashesAtOnce)
	var mu sync.Mutex
	running, most := 0, 0
	count := func(d int) {
		mu.Lock()
		defer mu.Unlock()
		running += d
		most = max(most, running)
	}
	var all sync.WaitGroup
	for range 50 {
		all.Go(func() {
			require.NoError(t, turns.pass(t.Context(), func() error {
				count(1)
				time.Sleep(time.Millisecond)
				count(-1)
				return nil
			}))
		})
	}
	all.Wait()
	require.LessOrEqual(t, most, hashesAtOnce)
}

func TestLogHoldsRefusalsAndNoSecrets(t *testing.T) {
	w := newEmpty(t)
	admin := w.setUp()
	_, err := w.SignIn(w.ctx, "typed-password-here", "secret-canary", "10.0.0.1")
	require.Error(t, err)
	_, err = w.SignIn(w.ctx, "ada", goodPassword, "10.0.0.1")
	require.NoError(t, err)
	events, err := w.Events(w.ctx, admin.Actor(), EventFilter{})
	require.NoError(t, err)
	var acts []string
	for _, e := range events {
		acts = append(acts, e.Act)
		for _, secret := range []string{"typed-password-here", "secret-canary", goodPassword} {
			require.NotContains(t, fmt.Sprint(e), secret)
		}
	}
	require.Equal(t, []string{"logged in", "log-in refused", "first administrator set up", "set-up link made"}, acts)
}
