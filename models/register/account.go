package register

import (
	"context"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// How long a one-time link is good for.
const (
	setupGood = 24 * time.Hour
	resetGood = 48 * time.Hour
)

// SetupLink makes the one-time token with which the first administrator sets
// up his account. It ends after 24 hours and is stored only as a hash; a new
// one ends the one before. Conflict if there is an administrator.
func (r *Register) SetupLink(ctx context.Context) (token string, err error) {
	token = newToken()
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		if err := noAdmin(ctx, tx); err != nil {
			return err
		}
		if err := tx.AddToken(ctx, store.Token{Hash: hashToken(token), Kind: store.SetupToken, ExpiresAt: r.Now().Add(setupGood)}); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(Operator(), "set-up link made", "user", models.None, models.None, nil))
	})
	return token, err
}

// noAdmin is Conflict where somebody is an administrator already.
func noAdmin(ctx context.Context, tx *store.Tx) error {
	n, err := tx.Admins(ctx)
	if err == nil && n > 0 {
		return models.Errorf(models.Conflict, "There is an administrator already: he can make a new password link for anybody.")
	}
	return err
}

// Setup makes the first administrator with a token of SetupLink.
func (r *Register) Setup(ctx context.Context, token, login, name, password string) (models.User, error) {
	u := models.User{ID: r.newID(), Login: strings.TrimSpace(login), Name: strings.TrimSpace(name), Role: models.Admin,
		AllBuildings: true, Units: "IP", CreatedAt: r.Now()}
	var f models.Faults
	checkPassword(&f, password, u)
	if err := faultsOf(u.Validate(), f.Err()); err != nil {
		return models.User{}, err
	}
	hash, err := r.hash(ctx, password)
	if err != nil {
		return models.User{}, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		if err := noAdmin(ctx, tx); err != nil {
			return err
		}
		if _, err := tx.UseToken(ctx, hashToken(token), store.SetupToken, r.Now()); err != nil {
			return deadLink(err)
		}
		if u, err = tx.PutUser(ctx, u); err != nil {
			return err
		}
		if err := tx.SetPassword(ctx, u.ID, hash); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(u.Actor(), "first administrator set up", "user", u.ID, models.None, nil))
	})
	return u, err
}

// deadLink says in one way that a link was never made, was used or has ended.
func deadLink(err error) error {
	if k := models.KindOf(err); k != models.Missing && k != models.Denied {
		return err
	}
	return models.Errorf(models.Missing, "This link has been used or has ended. Ask for a new one.")
}

// Users lists the accounts by name.
func (r *Register) Users(ctx context.Context, a models.Actor) ([]models.User, error) {
	if err := a.May(models.ActPeople); err != nil {
		return nil, err
	}
	return r.store.Users(ctx)
}

// User is one account.
func (r *Register) User(ctx context.Context, a models.Actor, id models.ID) (models.User, error) {
	if a.ID != id || a.May(models.ActSelf) != nil {
		if err := a.May(models.ActPeople); err != nil {
			return models.User{}, err
		}
	}
	return r.store.User(ctx, id)
}

// AddUser makes an account without password and the one-time token, good for
// 48 hours, with which its person chooses one.
func (r *Register) AddUser(ctx context.Context, a models.Actor, u models.User) (models.User, string, error) {
	if err := a.May(models.ActPeople); err != nil {
		return models.User{}, "", err
	}
	u = models.User{ID: r.newID(), Login: strings.TrimSpace(u.Login), Name: strings.TrimSpace(u.Name), Role: u.Role,
		AllBuildings: u.AllBuildings, Buildings: u.Buildings, Until: u.Until, Units: unitsOr(u.Units), CreatedAt: r.Now()}
	token := newToken()
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		if err := checkUser(ctx, tx, a, u); err != nil {
			return err
		}
		saved, err := tx.PutUser(ctx, u)
		if err != nil {
			return duplicate(err, "login", "Somebody has this log-in name already.")
		}
		u = saved
		if err := r.addReset(ctx, tx, token, u.ID); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "account added", "user", u.ID, models.None, accountOf(u)))
	})
	return u, token, err
}

func unitsOr(units string) string {
	if units == "" {
		return "IP"
	}
	return units
}

// checkUser reports every fault of an account, and buildings that are not there
// or that the actor does not see.
func checkUser(ctx context.Context, tx *store.Tx, a models.Actor, u models.User) error {
	errs := []error{u.Validate()}
	if u.Until != "" {
		if _, err := models.ParseDate(string(u.Until)); err != nil {
			errs = append(errs, fault("until", "Give the last day of access, as 2026-11-25."))
		}
	}
	if u.Role == models.Crew && u.Until == "" {
		errs = append(errs, fault("until", "A crew's access ends with the round: give its last day."))
	}
	for _, id := range u.Buildings {
		if _, err := building(ctx, tx.Reader, a, id); err != nil {
			errs = append(errs, fault("buildings", "There is no such building."))
		}
	}
	return faultsOf(errs...)
}

// accountOf is what the log keeps of an account: no name, no secret.
func accountOf(u models.User) any {
	return map[string]any{"role": u.Role, "all": u.AllBuildings, "buildings": u.Buildings, "until": u.Until, "disabled": u.Disabled}
}

// SaveUser changes an account: name, role, buildings, end of access, disabled.
// It acts on the person's next request. Stale if changed meanwhile. The last
// administrator stays one.
func (r *Register) SaveUser(ctx context.Context, a models.Actor, u models.User) (saved models.User, err error) {
	if err := a.May(models.ActPeople); err != nil {
		return saved, err
	}
	if err := needVersion("account", u.Version); err != nil {
		return saved, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		old, err := tx.User(ctx, u.ID)
		if err != nil {
			return err
		}
		next := old
		next.Login, next.Name, next.Role = strings.TrimSpace(u.Login), strings.TrimSpace(u.Name), u.Role
		next.AllBuildings, next.Buildings, next.Until = u.AllBuildings, u.Buildings, u.Until
		next.Units, next.Disabled, next.Version = unitsOr(u.Units), u.Disabled, u.Version
		if next.Disabled || next.Role != old.Role {
			next.Epoch++
		}
		if err := faultsOf(checkUser(ctx, tx, a, next), keepsAdmin(ctx, tx, old, next)); err != nil {
			return err
		}
		if saved, err = tx.PutUser(ctx, next); err != nil {
			return duplicate(err, "login", "Somebody has this log-in name already.")
		}
		return tx.AppendEvent(ctx, r.event(a, accountAct(old, saved), "user", saved.ID, models.None,
			map[string]any{"before": accountOf(old), "after": accountOf(saved)}))
	})
	return saved, err
}

func accountAct(old, now models.User) string {
	if old.Role != now.Role {
		return "role changed"
	}
	return "account changed"
}

// keepsAdmin refuses to leave nobody who may manage accounts.
func keepsAdmin(ctx context.Context, tx *store.Tx, old, next models.User) error {
	if old.Role != models.Admin || (next.Role == models.Admin && !next.Disabled) {
		return nil
	}
	n, err := tx.Admins(ctx)
	if err != nil || n > 1 || old.Disabled {
		return err
	}
	return fault("role", "This is the last administrator: make somebody else one first.")
}
