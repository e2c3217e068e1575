package register

import (
	"context"
	"math"
	"strings"
	"time"

	"drylag/models"
	"drylag/models/store"
)

// SignIn checks a password. addr is the address the request comes from, as the
// server sees it behind its own proxies. A wrong log-in name and a wrong
// password are the same SignIn error and take the same time. Too many tries
// are TooMany; they never lock the person out from another address.
func (r *Register) SignIn(ctx context.Context, login, password, addr string) (models.User, error) {
	login = strings.TrimSpace(login)
	t, wait := r.guard.begin(strings.ToLower(login), addr, r.Now())
	if wait > 0 {
		return models.User{}, tooMany(wait)
	}
	u, stored, err := r.store.UserByLogin(ctx, login)
	if _, err := known(err); err != nil {
		return models.User{}, err
	}
	if len(password) > 4*passwordMost {
		password = "" // no account has one so long; do not hash a whole book
	}
	same, err := r.matches(ctx, password, stored)
	if err != nil {
		t.right()
		return models.User{}, err
	}
	if !same {
		return models.User{}, r.refuse(ctx, u, models.Errorf(models.SignIn, "The log-in name or the password is wrong."))
	}
	t.right()
	if err := r.ended(u); err != nil {
		return models.User{}, r.refuse(ctx, u, err)
	}
	return u, r.signedIn(ctx, &u)
}

// tooMany says when to try again.
func tooMany(wait time.Duration) error {
	return models.Errorf(models.TooMany, "Too many wrong tries. Try again in %.0f seconds.", math.Ceil(wait.Seconds()))
}

// refuse logs that a person was refused and gives the reason back. The log-in
// name as typed is not kept: people type passwords there.
func (r *Register) refuse(ctx context.Context, u models.User, reason *models.Error) error {
	err := r.store.Write(ctx, func(tx *store.Tx) error {
		return tx.AppendEvent(ctx, r.event(models.Actor{ID: u.ID}, "log-in refused", "user", u.ID, models.None, nil))
	})
	if err != nil {
		r.log.ErrorContext(ctx, "refusal not logged", "user", u.ID, "err", err)
	}
	return reason
}

// signedIn notes when the person was last seen, and logs it.
func (r *Register) signedIn(ctx context.Context, u *models.User) error {
	u.LastSeen = r.Now()
	return r.store.Write(ctx, func(tx *store.Tx) error {
		if err := tx.SetLastSeen(ctx, u.ID, u.LastSeen); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(u.Actor(), "logged in", "user", u.ID, models.None, nil))
	})
}

// ended tells why an account has no access any more, nil if it has.
func (r *Register) ended(u models.User) *models.Error {
	// The last day counts until it is over in the last zone on earth.
	lastZone := time.FixedZone("UTC-12", -12*3600)
	switch {
	case u.Disabled:
		return models.Errorf(models.SignIn, "This account is switched off. Ask the administrator.")
	case u.Until != "" && models.DateOf(r.now(), lastZone) > u.Until:
		return models.Errorf(models.SignIn, "This access ended on %s. Ask the administrator.", u.Until.Say())
	}
	return nil
}

// Actor is who a session's user is now, read afresh for every request. A
// disabled, ended or unknown account, or an epoch that was raised since the
// session began, is a SignIn error.
func (r *Register) Actor(ctx context.Context, user models.ID, epoch int) (models.Actor, error) {
	u, err := r.store.User(ctx, user)
	have, err := known(err)
	if err != nil {
		return models.Actor{}, err
	}
	if !have || u.Epoch != epoch {
		return models.Actor{}, models.Errorf(models.SignIn, "Log in again.")
	}
	if err := r.ended(u); err != nil {
		return models.Actor{}, err
	}
	return u.Actor(), nil
}

// Operator is the actor of commands given at the machine itself: whoever may
// run them there holds the database anyway.
func Operator() models.Actor {
	return models.Actor{ID: "operator", Name: "operator", Login: "operator", Role: models.Admin, All: true}
}
