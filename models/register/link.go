package register

import (
	"context"

	"drylag/models"
	"drylag/models/store"
)

// ResetLink makes the one-time token, good for 48 hours, with which a person
// chooses a new password. It is handed over by the administrator: no e-mail.
func (r *Register) ResetLink(ctx context.Context, a models.Actor, id models.ID) (token string, err error) {
	if err := a.May(models.ActPeople); err != nil {
		return "", err
	}
	token = newToken()
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		u, err := tx.User(ctx, id)
		if err != nil {
			return err
		}
		if err := r.addReset(ctx, tx, token, u.ID); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "password link made", "user", u.ID, models.None, nil))
	})
	return token, err
}

// addReset stores a password link; one made before ends.
func (r *Register) addReset(ctx context.Context, tx *store.Tx, token string, user models.ID) error {
	return tx.AddToken(ctx, store.Token{Hash: hashToken(token), Kind: store.ResetToken, User: user, ExpiresAt: r.Now().Add(resetGood)})
}

// LinkUser is whose password a link of AddUser or ResetLink sets; it is not used
// up. Missing where it never was, was used or has ended.
func (r *Register) LinkUser(ctx context.Context, token string) (models.User, error) {
	id, err := r.store.TokenUser(ctx, hashToken(token), store.ResetToken, r.Now())
	if err != nil {
		return models.User{}, deadLink(err)
	}
	return r.store.User(ctx, id)
}

// CheckSetup tells whether a link of SetupLink still works, without using it up.
func (r *Register) CheckSetup(ctx context.Context, token string) error {
	_, err := r.store.TokenUser(ctx, hashToken(token), store.SetupToken, r.Now())
	if err != nil {
		return deadLink(err)
	}
	return nil
}

// UseLink sets a password with a token of AddUser or ResetLink and ends the
// account's sessions.
func (r *Register) UseLink(ctx context.Context, token, password string) (u models.User, err error) {
	if u, err = r.LinkUser(ctx, token); err != nil {
		return u, err
	}
	var f models.Faults
	if checkPassword(&f, password, u); f.Err() != nil {
		return models.User{}, f.Err()
	}
	hash, err := r.hash(ctx, password)
	if err != nil {
		return models.User{}, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		if _, err := tx.UseToken(ctx, hashToken(token), store.ResetToken, r.Now()); err != nil {
			return deadLink(err)
		}
		u, err = r.setPassword(ctx, tx, u.ID, hash, "password set by link")
		return err
	})
	return u, err
}

// setPassword stores a password, ends the sessions and logs it.
func (r *Register) setPassword(ctx context.Context, tx *store.Tx, id models.ID, hash, what string) (models.User, error) {
	if err := tx.SetPassword(ctx, id, hash); err != nil {
		return models.User{}, err
	}
	if err := tx.EndSessions(ctx, id); err != nil {
		return models.User{}, err
	}
	u, err := tx.User(ctx, id)
	if err != nil {
		return models.User{}, err
	}
	return u, tx.AppendEvent(ctx, r.event(u.Actor(), what, "user", id, models.None, nil))
}

// ChangePassword changes the actor's own password and ends all his sessions:
// the user that comes back carries the new epoch for this one.
func (r *Register) ChangePassword(ctx context.Context, a models.Actor, old, password string) (u models.User, err error) {
	if err := a.May(models.ActSelf); err != nil {
		return u, err
	}
	u, stored, err := r.store.UserByLogin(ctx, a.Login)
	if err != nil {
		return models.User{}, err
	}
	t, wait := r.guard.begin(string(u.ID), "own", r.Now())
	if wait > 0 {
		return models.User{}, tooMany(wait)
	}
	same, err := r.matches(ctx, old, stored)
	if err != nil {
		return models.User{}, err
	}
	var f models.Faults
	if !same {
		f.Add("old_password", "This is not your password.")
	} else {
		t.right()
	}
	if checkPassword(&f, password, u); f.Err() != nil {
		return models.User{}, f.Err()
	}
	hash, err := r.hash(ctx, password)
	if err != nil {
		return models.User{}, err
	}
	err = r.store.Write(ctx, func(tx *store.Tx) error {
		u, err = r.setPassword(ctx, tx, u.ID, hash, "password changed")
		return err
	})
	return u, err
}

// SetUnits chooses the units in which the actor is shown quantities, "IP" or "SI".
func (r *Register) SetUnits(ctx context.Context, a models.Actor, units string) error {
	if err := a.May(models.ActSelf); err != nil {
		return err
	}
	if units != "IP" && units != "SI" {
		return fault("units", "Choose IP or SI.")
	}
	return r.store.Write(ctx, func(tx *store.Tx) error {
		return tx.SetUnits(ctx, a.ID, units)
	})
}

// EndSessions ends every session of an account: the actor's own, or anybody's
// for an administrator.
func (r *Register) EndSessions(ctx context.Context, a models.Actor, user models.ID) error {
	need := models.ActPeople
	if user == a.ID {
		need = models.ActSelf
	}
	if err := a.May(need); err != nil {
		return err
	}
	return r.store.Write(ctx, func(tx *store.Tx) error {
		if err := tx.RaiseEpoch(ctx, user); err != nil {
			return err
		}
		if err := tx.EndSessions(ctx, user); err != nil {
			return err
		}
		return tx.AppendEvent(ctx, r.event(a, "sessions ended", "user", user, models.None, nil))
	})
}
