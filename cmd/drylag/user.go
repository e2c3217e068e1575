package main

import (
	"fmt"

	"drylag/models"
)

// userCommand looks after accounts from the console.
type userCommand struct {
	List  userListCommand  `cmd:"" help:"List the accounts."`
	Reset userResetCommand `cmd:"" help:"Print a one-time link with which a person sets a new password."`
}

type userListCommand struct{ folder }

// Run lists the accounts.
func (c *userListCommand) Run(w world) error {
	return inHouse(w, c.Dir, func(h *house) error { return listUsers(w, h) })
}

func listUsers(w world, h *house) error {
	users, err := h.register.Users(w.ctx, operator())
	if err != nil {
		return err
	}
	for _, u := range users {
		state := ""
		if u.Disabled {
			state = ", disabled"
		}
		fmt.Fprintf(w.out, "%-20s %s (%s%s)\n", u.Login, u.Name, models.Roles.Say(string(u.Role)), state)
	}
	return nil
}

type userResetCommand struct {
	folder
	Login string `arg:"" help:"Log-in name."`
	Link  string `help:"Address at which people reach the service." env:"DRYLAG_URL" default:"http://127.0.0.1:8080"`
}

// Run prints the link; the old password works until it is used.
func (c *userResetCommand) Run(w world) error {
	return inHouse(w, c.Dir, func(h *house) error { return c.makeLink(w, h) })
}

func (c *userResetCommand) makeLink(w world, h *house) error {
	users, err := h.register.Users(w.ctx, operator())
	if err != nil {
		return err
	}
	for _, u := range users {
		if u.Login == c.Login {
			token, err := h.register.ResetLink(w.ctx, operator(), u.ID)
			if err != nil {
				return err
			}
			fmt.Fprintf(w.out, "Open once, within 48 hours:\n  %s/reset?key=%s\n", c.Link, token)
			return nil
		}
	}
	return fmt.Errorf("there is no account %q; drylag user list shows them", c.Login)
}
