package register

import (
	"context"

	"drylag/models"
)

// SignIn checks a password. addr is the address the request comes from, from
// the server's own view of its proxies. A wrong log-in name and a wrong
// password are the same SignIn error and take the same time. Too many tries
// are TooMany; they never lock the person out from another address.
func (r *Register) SignIn(ctx context.Context, login, password, addr string) (models.User, error) {
	return models.User{}, errUnfinished
}

// Actor is who a session's user is now, read afresh for every request. A
// disabled, ended or unknown account, or an epoch that was raised since the
// session began, is a SignIn error.
func (r *Register) Actor(ctx context.Context, user models.ID, epoch int) (models.Actor, error) {
	return models.Actor{}, errUnfinished
}

// Operator is the actor of commands given at the machine itself: whoever may
// run them there holds the database anyway.
func Operator() models.Actor {
	return models.Actor{ID: "operator", Name: "operator", Login: "operator", Role: models.Admin, All: true}
}
