package register

import (
	"context"

	"drylag/models"
)

// SetupLink makes the one-time token with which the first administrator sets
// up his account. It ends after 24 hours and is stored only as a hash; a new
// one ends the one before. Conflict if there is an administrator.
func (r *Register) SetupLink(ctx context.Context) (token string, err error) { return "", errUnfinished }

// Setup makes the first administrator with a token of SetupLink.
func (r *Register) Setup(ctx context.Context, token, login, name, password string) (models.User, error) {
	return models.User{}, errUnfinished
}

// Users lists the accounts by name.
func (r *Register) Users(ctx context.Context, a models.Actor) ([]models.User, error) {
	return nil, errUnfinished
}

// User is one account.
func (r *Register) User(ctx context.Context, a models.Actor, id models.ID) (models.User, error) {
	return models.User{}, errUnfinished
}

// AddUser makes an account without password and the one-time token, good for
// 48 hours, with which its person chooses one.
func (r *Register) AddUser(ctx context.Context, a models.Actor, u models.User) (models.User, string, error) {
	return models.User{}, "", errUnfinished
}

// SaveUser changes an account: name, role, buildings, end of access, disabled.
// It acts on the person's next request. Stale if changed meanwhile.
func (r *Register) SaveUser(ctx context.Context, a models.Actor, u models.User) (models.User, error) {
	return models.User{}, errUnfinished
}

// ResetLink makes the one-time token, good for 48 hours, with which a person
// chooses a new password. It is handed over by the administrator: no e-mail.
func (r *Register) ResetLink(ctx context.Context, a models.Actor, id models.ID) (token string, err error) {
	return "", errUnfinished
}

// UseLink sets a password with a token of AddUser or ResetLink and ends the
// account's sessions.
func (r *Register) UseLink(ctx context.Context, token, password string) (models.User, error) {
	return models.User{}, errUnfinished
}

// ChangePassword changes the actor's own password and ends his other sessions:
// the user that comes back carries the new epoch for this session.
func (r *Register) ChangePassword(ctx context.Context, a models.Actor, old, password string) (models.User, error) {
	return models.User{}, errUnfinished
}

// SetUnits chooses the units in which the actor is shown quantities, "IP" or "SI".
func (r *Register) SetUnits(ctx context.Context, a models.Actor, units string) error {
	return errUnfinished
}

// EndSessions ends every session of an account: the actor's own, or anybody's
// for an administrator.
func (r *Register) EndSessions(ctx context.Context, a models.Actor, user models.ID) error {
	return errUnfinished
}
